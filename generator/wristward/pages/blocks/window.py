"""The window of a block as a figure of its own: the chance over the height under both readings, and its words."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from wristward.block.report import percent, window_reports
from wristward.block.reported import WindowReport
from wristward.bridge.hosts.figures import chart_html
from wristward.figure.charts import Chart, Line
from wristward.measure.text import height_words
from wristward.pages import figures
from wristward.pages.atlas import Atlas
from wristward.pages.html import one_line, table

OF_100 = 100.0


def window_html(atlas: Atlas, *, nerve: str, volume_ml: float, arm: str, here: str, chart_id: str) -> str:
    """Return chart, sentences and table of a block.

    Args:
        atlas: Names, words, data.
        nerve: Id of a block of branches.yaml.
        volume_ml: Volume of the story, mL, within those of branches.yaml.
        arm: Reference arm.
        here: The page it stands on.
        chart_id: Prefix of the ids inside.
    """
    words = atlas.dataset.words
    reports = window_reports(atlas.dataset, nerve=nerve, volume_ml=volume_ml, arm=arm)
    report = reports["take_off"]
    title = words["fence.window.title"].format(nerve=report.name, ml=f"{volume_ml:g}", arm=report.arm.name)
    parts = []
    if report.in_reach:
        chart, start_z_mm = _chart(words, title, reports), report.window.best_mm
        url = figures.assets_url(here)
        parts.append(
            chart_html(chart, atlas.dataset, chart_id=chart_id, assets_url=url, z_mm=start_z_mm),
        )
        parts.append(_paragraph(report.sentence))
        parts.append(_events(words, reports))
    else:
        parts += [f"<p><strong>{escape(title)}</strong></p>", _paragraph(report.sentence)]
    parts += [_paragraph(said) for said in (report.grip, report.assumed.says) if said is not None]
    return f'<div class="ww-window">{one_line("".join(parts))}</div>'


def _chart(words: Mapping[str, str], title: str, reports: Mapping[str, WindowReport]) -> Chart:
    report = reports["take_off"]
    lines = tuple(
        Line(
            name=words[f"block.reading.{reading}"],
            values={round(z): OF_100 * chance for z, chance in zip(found.z_mm, found.both, strict=True)},
        )
        for reading, found in reports.items()
    )
    same = lines[0].values == lines[1].values
    return Chart(
        title=title,
        # One line where both readings count alike.
        axis=words["fence.window.axis"],
        lines=(Line(name=words["fence.window.both_readings"], values=lines[0].values),) if same else lines,
        top_mm=round(max(report.z_mm)),
        ceiling=OF_100,
    )


def _events(words: Mapping[str, str], reports: Mapping[str, WindowReport]) -> str:
    """Return how often each branch is caught at the best height of each reading."""
    best = {reading: report.window.best_mm for reading, report in reports.items()}
    headings = [words["fence.window.event"]]
    headings += [
        words["fence.window.at"].format(reading=words[f"block.reading.{reading}"], at=height_words(z_mm, words))
        for reading, z_mm in best.items()
    ]
    rows = []
    for at, event in enumerate(reports["take_off"].events):
        name = words["fence.window.in_role"].format(name=event.name, role=words[f"block.role.{event.role}"])
        rows.append([name, *(_caught(words, reports[reading], at, z_mm) for reading, z_mm in best.items())])
    return table(words["fence.window.events"], headings, rows, numbers=(1, 2))


def _caught(words: Mapping[str, str], report: WindowReport, event: int, z_mm: float) -> str:
    at = min(range(len(report.z_mm)), key=lambda index: abs(report.z_mm[index] - z_mm))
    return percent(report.events[event].chance_caught[at], words)


def _paragraph(text: str) -> str:
    return f"<p>{escape(text)}</p>"

"""The HTML that hosts the page "Block levels": every block's chart, table and words before any script runs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from wristward.block.blocks import READINGS
from wristward.block.report import percent
from wristward.block.reported import WindowReport
from wristward.bridge.hosts.figures import boxed, choices
from wristward.bridge.inline import data_element
from wristward.bridge.pack.blocks import blocks_script
from wristward.bridge.setting import Setting, setting_of
from wristward.data.dataset import Dataset
from wristward.figure.block_chart import BlockChart, ChanceLine, draw_block_chart, frame, plotly_of
from wristward.figure.drawing import draw_section
from wristward.measure.text import band_words, capital, height_words, in_cm
from wristward.section.section import Section

LINK = "block-levels"
FIGURE = "bl"
LIMITS: dict[str, tuple[float, float]] = {"base": (0, 50), "perMl": (0, 12), "sd": (0, 30)}
"""How far each slider goes but that of the volume, which the data says. What they ask for stays within the axes of the tables."""

STEPS = {"ml": 0.5, "base": 1, "perMl": 0.5, "sd": 1}


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockView:
    """One block as the page shows it first."""

    reports: Mapping[str, WindowReport]
    """By reading: what ``window_report`` returned."""

    parting_events: frozenset[str]
    """Events that the two readings count differently."""

    below: str
    """HTML under its chart: what stands in no script's hands."""


def block_asset_files(dataset: Dataset) -> dict[str, bytes]:
    """Return the file of the tables by name, the same bytes for the same data."""
    return {"wristward-blocks.js": blocks_script(dataset).encode("utf-8")}


def chart_of(view: BlockView, words: Mapping[str, str], *, z_mm: float) -> BlockChart:
    """Return the chart of a block at a level of the arm, mm."""
    first, second = (view.reports[reading] for reading in READINGS)
    partings = {event.id: event for event in second.events}
    spares = any(event.role == "unwanted" for event in first.events)
    each = [
        ChanceLine(
            key=f"caught.{event.id}",
            name=event.name,
            role=event.role,
            number=number,
            take_off=event.chance_caught,
            parting=partings[event.id].chance_caught if event.id in view.parting_events else None,
        )
        for number, event in enumerate(first.events, start=1)
    ]
    joint_title = words[f"block_levels.chart.{'joint' if spares else 'joint_caught'}"]
    return BlockChart(
        title=words["block_levels.chart.title"].format(nerve=first.name),
        joint_title=joint_title,
        joint=ChanceLine(
            key="both",
            name=joint_title,
            role="both",
            take_off=first.both,
            parting=second.both if view.parting_events else None,
        ),
        each=each,
        windows={reading: report.window.span_mm for reading, report in view.reports.items()},
        best={reading: (report.window.best_mm, report.window.best_chance) for reading, report in view.reports.items()},
        bathed_mm=first.assumed.length_mm,
        z_mm=z_mm,
        in_reach=first.in_reach,
    )


def block_levels_html(
    views: Sequence[BlockView],
    section: Section,
    dataset: Dataset,
    *,
    volumes_ml: tuple[float, float],
    assets_url: str,
    travel_url: str,
) -> str:
    """Return the page's figure: choices, a panel for each block, and the one section beside them.

    Args:
        views: The blocks, the one that is shown first in front; mean arm, all at the same volume.
        section: The section at which the page begins.
        dataset: The checked data.
        volumes_ml: Least and most, mL.
        assets_url: Address of the folder of ``asset_files``, from the page, with a slash at its end.
        travel_url: Address of "Elbow to wrist", from the page.
    """
    setting = setting_of(dataset)
    words, z_mm = setting.words, section.z_mm
    charts = {view.reports["take_off"].nerve: chart_of(view, words, z_mm=z_mm) for view in views}
    first = views[0].reports["take_off"]
    assumed = first.assumed
    limits = {"ml": volumes_ml, **LIMITS}
    spread = {"base": assumed.base_mm, "perMl": assumed.per_ml_mm, "sd": assumed.sd_mm}
    data = {
        "figure": FIGURE,
        "nerve": first.nerve,
        "z": round(z_mm),
        "ml": first.volume_ml,
        "arm": "mean",
        "link": LINK,
        "assets": assets_url,
        "travel": travel_url,
        "spread": spread,
        "limits": {name: list(pair) for name, pair in limits.items()},
        "charts": {
            nerve: {
                "frame": frame(chart),
                "plotly": _bare(plotly_of(chart, words)),
                "roles": {line.key: line.role for line in (chart.joint, *chart.each)},
            }
            for nerve, chart in charts.items()
        },
        "parts": {nerve: _parts(setting, nerve) for nerve in charts},
    }
    start = {"ml": first.volume_ml, **spread}
    figure = _section(section, setting, shown=_parts(setting, first.nerve)[0], travel_url=travel_url)
    panels = "".join(
        _panel(view, chart, words, z_mm=z_mm, beside=figure if view is views[0] else "")
        for view, chart in zip(views, charts.values(), strict=True)
    )
    return (
        f'<div class="w-blocks" data-wristward="block-levels">{_controls(setting, list(charts), limits, start)}'
        f'<p class="w-b-note" data-part="assumed">{escape(assumed.says)}</p>'
        f'<p class="w-b-failed" data-part="failed" hidden>{escape(words["block_levels.failed"])}</p>'
        f"<noscript><p>{escape(words['block_levels.noscript'])}</p></noscript>{panels}"
        f'<p class="w-live" data-part="live" role="status" data-script hidden></p>{data_element(data)}</div>'
    )


def _parts(setting: Setting, nerve: str) -> list[str]:
    """Return a nerve and the branches it goes on as, in the order in which one is to be lit."""
    return [nerve, *sorted(id_ for id_, entry in setting.legend.items() if entry.part_of == nerve)]


def _bare(figure: dict[str, Any]) -> dict[str, Any]:
    """Leave out the points: the browser sets them from the tables, the same for every arm and volume."""
    return {**figure, "data": [{**trace, "x": [], "y": []} for trace in figure["data"]]}


def _controls(
    setting: Setting, nerves: Sequence[str], limits: Mapping[str, tuple[float, float]], start: Mapping[str, float]
) -> str:
    words = setting.words

    def name_of(nerve: str) -> str:
        return words.get(f"block_levels.short.{nerve}", setting.legend[nerve].name)

    def slider(name: str) -> str:
        shown = words[f"block_levels.client.value.{name}"].format(value=f"{start[name]:g}")
        return (
            f'<p class="w-b-field"><label for="{FIGURE}-{name}">{escape(words[f"block_levels.{name}"])}</label>'
            f'<output for="{FIGURE}-{name}" data-part="{name}-shown">{escape(shown)}</output>'
            f'<input type="range" class="w-slider" id="{FIGURE}-{name}" data-part="{name}" min="{limits[name][0]:g}"'
            f' max="{limits[name][1]:g}" step="{STEPS[name]:g}" value="{start[name]:g}"></p>'
        )

    chips = "".join(
        f'<label class="w-chip"><input type="radio" name="{FIGURE}-nerve" value="{nerve}"'
        f"{' checked' if nerve == nerves[0] else ''}><span>{escape(name_of(nerve))}</span></label>"
        for nerve in nerves
    )
    arms = choices(f"{FIGURE}-arm", [(arm, words[f"client.arm.{arm}"]) for arm in setting.arms], "mean")
    return (
        f'<div class="w-b-controls" data-script hidden>'
        f'<fieldset class="w-b-nerves"><legend>{escape(words["block_levels.nerve"])}</legend>{chips}</fieldset>'
        f'<div class="w-b-settings">{slider("ml")}'
        f"<fieldset><legend>{escape(words['block_levels.arm'])}</legend>{arms}</fieldset></div>"
        f'<details class="w-b-assumptions"><summary>{escape(words["block_levels.assumptions"])}</summary>'
        f"<p>{escape(words['block_levels.assumptions_note'])}</p>"
        f"{slider('base')}{slider('perMl')}{slider('sd')}"
        f'<button type="button" class="w-button" data-part="reset" disabled>{escape(words["block_levels.reset"])}</button>'
        f"</details></div>"
    )


def _section(section: Section, setting: Setting, *, shown: str, travel_url: str) -> str:
    words = setting.words
    drawing = draw_section(section, setting.legend, words, figure_id=FIGURE, shown=shown)
    height = height_words(section.z_mm, words)
    return (
        f'<figure class="w-figure w-compact" data-part="section">{boxed(drawing)}'
        f'<figcaption><span data-part="caption">{escape(capital(height))}</span> '
        f'<a data-part="travel" href="{escape(travel_url, quote=True)}">{escape(words["block_levels.travel"])}</a>'
        f"</figcaption></figure>"
    )


def _panel(view: BlockView, chart: BlockChart, words: Mapping[str, str], *, z_mm: float, beside: str) -> str:
    report = view.reports["take_off"]
    nerve, name = report.nerve, report.name
    chart_id = f"{FIGURE}-{nerve.replace('_', '-')}"
    title = escape(chart.title, quote=True)
    setting = words["block_levels.client.setting"].format(
        ml=f"{report.volume_ml:g}",
        arm=words[f"figure.arm.{report.arm.id}"],
        height=height_words(z_mm, words),
        low=in_cm(round(max(0.0, z_mm - chart.bathed_mm / 2))),
        high=in_cm(round(min(chart.top_mm, z_mm + chart.bathed_mm / 2))),
    )
    cards = "".join(_card(view.reports[reading], reading, words) for reading in READINGS)
    return (
        f'<section class="w-b-panel" data-nerve="{nerve}"><h2 id="{nerve.replace("_", "-")}">'
        f"{escape(capital(name))}</h2>"
        f'<p class="w-b-sentence" data-part="sentence">{escape(report.sentence)}</p>'
        f'<div class="w-b-pair"><figure class="w-b-figure"><div data-part="picture">'
        f"{draw_block_chart(chart, words, chart_id=chart_id)}</div>"
        f'<div data-part="zoom" role="group" aria-label="{title}" hidden></div>'
        f'<input type="range" class="w-slider w-b-slider" data-part="slider" min="0" max="{chart.top_mm}" step="1"'
        f' value="{chart.top_mm - round(z_mm)}" aria-label="{escape(words["block_levels.slider"], quote=True)}"'
        f' data-script hidden><p class="w-b-told" data-part="told" data-script hidden></p></figure>'
        f'<div data-part="beside" class="w-b-beside">{beside}</div><div class="w-b-cards">{cards}'
        f'<p class="w-b-card w-b-card-bathed"><span class="w-b-swatch" aria-hidden="true"></span><span><strong>'
        f'{escape(words["block_levels.bathed"])}</strong> <span data-part="setting">{escape(setting)}</span></span></p>'
        f'<button type="button" class="w-button" data-part="zoom-button" aria-pressed="false" data-script hidden>'
        f"{escape(words['block_levels.zoom'])}</button></div></div>"
        f"{_table(view, words, z_mm=z_mm)}{view.below}</section>"
    )


def _card(report: WindowReport, reading: str, words: Mapping[str, str]) -> str:
    window = report.window
    if not report.in_reach:
        text = words["block_levels.client.card.beyond"]
    elif window.span_mm is None:
        text = words["block_levels.client.card.empty"].format(
            cm=in_cm(window.best_mm), chance=percent(window.best_chance, words)
        )
    else:
        low_mm, high_mm = window.span_mm
        text = band_words(words, low_mm=low_mm, high_mm=high_mm)
    label = words[f"block_levels.reading.{reading}"]
    # Where no level has the nerve in reach there is no best one to go to.
    off = "" if report.in_reach else " disabled"
    return (
        f'<p class="w-b-card w-b-card-{reading}"><span class="w-b-swatch" aria-hidden="true"></span>'
        f'<span><strong>{escape(label)}</strong> <span data-part="card-{reading}">{escape(text)}</span></span>'
        f'<button type="button" class="w-button" data-part="best-{reading}" data-script hidden{off}'
        f' aria-label="{escape(words["block_levels.best_of"].format(reading=label), quote=True)}">'
        f"{escape(words['block_levels.best'])}</button></p>"
    )


def _table(view: BlockView, words: Mapping[str, str], *, z_mm: float) -> str:
    first, second = (view.reports[reading] for reading in READINGS)
    at = round(z_mm)
    rows = []
    for number, (event, other) in enumerate(zip(first.events, second.events, strict=True), start=1):
        about = words["block_levels.event"].format(
            role=words[f"block.role.{event.role}"],
            cm=in_cm(round(event.mean_z_mm)),
            share=percent(event.prevalence, words),
        )
        name = capital(event.name)
        rows.append(
            f'<tr data-event="{event.id}"><th scope="row"><span class="w-b-key w-b-key-{event.role}">{number}</span>'
            f'<span><button type="button" disabled>{escape(name)}</button><small>{escape(about)}</small></span></th>'
            f'<td data-caught="take_off">{percent(event.chance_caught[at], words)}</td>'
            f'<td data-caught="parting">{percent(other.chance_caught[at], words)}</td></tr>'
        )
    heads = "".join(f'<th scope="col">{escape(words[f"block_levels.reading.{reading}"])}</th>' for reading in READINGS)
    return (
        f'<table class="w-b-table"><caption>{escape(words["block_levels.table.caption"])}</caption>'
        f'<thead><tr><th scope="col">{escape(words["block_levels.table.branch"])}</th>{heads}</tr></thead>'
        f"<tbody>{''.join(rows)}</tbody></table>"
    )

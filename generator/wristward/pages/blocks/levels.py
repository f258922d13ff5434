"""The page Block levels: for each nerve where it is caught and the muscles are spared, by both readings."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from wristward.block.blocks import READINGS, BlockModel, block_model, counted_at
from wristward.block.distribution import mean_height_mm, share_below
from wristward.block.report import percent, spared_finding, spared_words, window_reports
from wristward.block.reported import WindowReport
from wristward.block.sensitivity import Case, sensitivity
from wristward.block.window import Window
from wristward.bridge.hosts.blocks import BlockView
from wristward.measure.text import band_words, capital, in_cm, short_height
from wristward.pages import figures
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.common import BLOCK_LEVELS, BRANCHES, begin, link_to, stated
from wristward.pages.blocks.practice import practice_table
from wristward.pages.blocks.scan import scan_html
from wristward.pages.facts import rests_on
from wristward.pages.html import details, html_of, table
from wristward.pages.markdown import plain

LEAST_TOLD = 0.005
"""An event outside the sections in a smaller share of arms than this is not spoken of."""


def block_levels_page(atlas: Atlas) -> str:
    """Return the page as Markdown."""
    words, dataset = atlas.words, atlas.dataset
    model = block_model(dataset)
    views = block_views(atlas)
    reports = {nerve: view.reports for nerve, view in zip(model.blocks, views, strict=True)}
    start_mm = round(views[0].reports["take_off"].window.best_mm)
    spared = words("block_levels.spared_says")
    finding, says = spared_finding(dataset), spared_words(dataset)
    if finding is not None and says is not None:
        spared += f" {stated(atlas, says, finding, here=BLOCK_LEVELS)}"
    read = words(
        "block_levels.read",
        wanted=percent(model.wanted_at_least, atlas.dataset.words),
        spared=percent(model.spared_at_least, atlas.dataset.words),
    )
    more = words(
        "block_levels.more",
        branches=link_to(BRANCHES, words("teach.branches.title"), here=BLOCK_LEVELS),
        command=f"`{words('block_levels.command')}`",
    )
    head = begin(atlas, "block_levels", hide=("toc",))
    return "\n".join(
        [
            head,
            figures.block_levels(atlas, views, z_mm=start_mm, here=BLOCK_LEVELS),
            f"## {words('block_levels.spared_title')}\n\n{spared}\n",
            f"## {words('block_levels.read_title')}\n\n{read}\n",
            f"## {words('block_levels.practice_title')}\n\n{practice_table(atlas, model, reports)}",
            f"## {words('block_levels.more_title')}\n\n{more}\n",
        ]
    )


def block_views(atlas: Atlas) -> list[BlockView]:
    """Return every block of the model as the page shows it first: the mean arm at the default volume."""
    dataset = atlas.dataset
    model = block_model(dataset)
    return [
        _view(atlas, model, nerve, window_reports(dataset, nerve=nerve, volume_ml=model.default_ml))
        for nerve in model.blocks
    ]


def _view(atlas: Atlas, model: BlockModel, nerve: str, reports: Mapping[str, WindowReport]) -> BlockView:
    block = model.blocks[nerve]
    differs = {
        id_ for id_ in (*block.wanted, *block.unwanted, *block.apart) if counted_at(model.events[id_], "parting") != id_
    }
    best_mm = round(reports["take_off"].window.best_mm)
    parts = [scan_html(atlas, nerve, z_mm=best_mm)] if reports["take_off"].in_reach else []
    parts.append(_spared(atlas, reports["take_off"]))
    parts.append(_limits(atlas, reports, alike=not differs))
    parts.append(_note(atlas, nerve))
    parts.append(_apart(atlas, reports["take_off"]) if block.apart else "")
    parts.append(_beyond(atlas, model, nerve))
    parts.append(_sensitivity(atlas, model, nerve, reports) if reports["take_off"].in_reach else "")
    return BlockView(reports=reports, parting_events=frozenset(differs), below="".join(parts))


def _spared(atlas: Atlas, report: WindowReport) -> str:
    """Return the heading that calls muscles spared, and what goes with it wherever it is said; "" where none are."""
    if not any(event.role == "unwanted" for event in report.events):
        return ""
    heading = f"<h3>{escape(atlas.words('block_levels.spared', nerve=capital(report.name)))}</h3>"
    finding = spared_finding(atlas.dataset)
    if finding is None or report.grip is None:
        return heading
    return f"{heading}<p>{html_of(stated(atlas, report.grip, finding, here=BLOCK_LEVELS))}</p>"


def _limits(atlas: Atlas, reports: Mapping[str, WindowReport], *, alike: bool) -> str:
    words = atlas.words
    parts = [f"<h3>{escape(words('block_levels.limits'))}</h3>"]
    for reading in READINGS[:1] if alike else READINGS:
        key = "block_levels.limits_alike" if alike else "block_levels.limits_of"
        label = words(key, reading=words(f"block_levels.reading.{reading}"))
        in_reach = reports[reading].in_reach
        said = reports[reading].limits if in_reach else [words("block_levels.client.beyond")]
        items = "".join(f"<li>{escape(text)}</li>" for text in said)
        parts.append(f'<p><strong>{escape(label)}</strong></p><ul data-part="limits-{reading}">{items}</ul>')
    return "".join(parts)


def _note(atlas: Atlas, nerve: str) -> str:
    record = atlas.dataset.branches.blocks[nerve]
    if record.note is None:
        return ""
    source = html_of(rests_on(atlas, record, here=BLOCK_LEVELS))
    says = escape(atlas.words("block_levels.note", note=record.note))
    return f'<p>{says} <span class="ww-source">{source}.</span></p>'


def _apart(atlas: Atlas, report: WindowReport) -> str:
    words, window = atlas.words, report.window

    def at(z_mm: float) -> str:
        return words("teach.and").join(
            words(
                "block_levels.apart_one",
                name=event.name,
                share=percent(event.prevalence, atlas.dataset.words),
                chance=percent(event.chance_caught[round(z_mm)], atlas.dataset.words),
            )
            for event in report.events
            if event.role == "apart"
        )

    best_mm = window.best_mm
    high_mm = window.highest_mm
    says = words(
        "block_levels.apart_says",
        ml=f"{report.volume_ml:g}",
        best=short_height(best_mm, atlas.dataset.words),
        at_best=at(best_mm),
        high=short_height(high_mm, atlas.dataset.words),
        at_high=at(high_mm),
    )
    return f"<h3>{escape(words('block_levels.apart'))}</h3><p>{escape(says)}</p>"


def _beyond(atlas: Atlas, model: BlockModel, nerve: str) -> str:
    """Return in words what lies above or below the region: no section shows it."""
    block, said = model.blocks[nerve], []
    top_mm = float(atlas.dataset.region.reference_length_mm)
    for id_ in dict.fromkeys((*block.wanted, *block.unwanted, *block.apart, *block.beside)):
        event = model.events[id_]
        shares = {"above": 1 - float(share_below(event, top_mm)), "below": float(share_below(event, 0.0))}
        for side, share in shares.items():
            if share < LEAST_TOLD:
                continue
            says = atlas.words(
                f"block_levels.beyond_{side}",
                name=capital(atlas.words(f"block.event.{id_}")),
                cm=in_cm(round(mean_height_mm(event))),
                share=percent(share, atlas.dataset.words),
            )
            source = html_of(rests_on(atlas, atlas.dataset.branches.branches[id_], here=BLOCK_LEVELS))
            said.append(f'<li>{escape(capital(says))} <span class="ww-source">{source}.</span></li>')
    if not said:
        return ""
    return f"<h3>{escape(atlas.words('block_levels.beyond'))}</h3><ul>{''.join(said)}</ul>"


def _sensitivity(atlas: Atlas, model: BlockModel, nerve: str, reports: Mapping[str, WindowReport]) -> str:
    words = atlas.words
    length_mm = float(atlas.dataset.region.reference_length_mm)
    found = {
        reading: sensitivity(
            model, nerve, reading=reading, volume_ml=model.default_ml, length_scale=1.0, length_mm=length_mm
        )
        for reading in READINGS
    }
    rows = [
        [plain(words(f"block_levels.case.{first.id}")), _case(atlas, first), _case(atlas, second)]
        for first, second in zip(found["take_off"], found["parting"], strict=True)
    ]
    headings = [words("block_levels.case_heading"), *(words(f"block_levels.reading.{one}") for one in READINGS)]
    title = words("block_levels.sensitivity", nerve=capital(atlas.structures[nerve].name))
    note = f"<p>{escape(words('block_levels.sensitivity_note', ml=f'{model.default_ml:g}'))}</p>"
    orders = [
        f"<li>{escape(words(f'block_levels.reading.{one}'))}. {escape(reports[one].orders[one].says)}</li>"
        for one in READINGS
    ]
    return details(title, f"{note}{table(title, headings, rows)}<ul>{''.join(orders)}</ul>")


def _case(atlas: Atlas, case: Case) -> str:
    window: Window = case.window
    if window.low_mm is None or window.high_mm is None:
        return atlas.words(
            "block_levels.case_empty", cm=in_cm(window.best_mm), chance=percent(window.best_chance, atlas.dataset.words)
        )
    return band_words(atlas.dataset.words, low_mm=window.low_mm, high_mm=window.high_mm)

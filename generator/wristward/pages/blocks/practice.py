"""What common practice says of levels and volumes beside what the model finds: agreement and disagreement, computed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from wristward.block.blocks import BlockModel
from wristward.block.chance import Chances
from wristward.block.distribution import mean_height_mm
from wristward.block.report import percent, window_report
from wristward.block.reported import WindowReport
from wristward.block.window import Window, arm_chances
from wristward.data.records.practice import BeginsAbove, LieIn, MoreSparesFewer, PracticeRecord, ReachHigher
from wristward.measure.text import band_words, in_cm
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.common import BLOCK_LEVELS, statement
from wristward.pages.html import table
from wristward.pages.markdown import plain

NOTABLE = 0.02
"""A share of arms below which two volumes are said to do equally well."""

Reports = Mapping[str, Mapping[str, WindowReport]]


def practice_table(atlas: Atlas, model: BlockModel, reports: Reports) -> str:
    """Return a row for each statement of practice in the data: what it says, what the model says, whether they fit.

    Args:
        atlas: Words and data.
        model: Of the reference arm.
        reports: By nerve and reading, at the default volume.
    """
    words, file = atlas.words, atlas.dataset.branches
    rows = []
    for one in file.practice:
        says, fits = _COMPARED[one.kind](atlas, model, reports, one)
        rows.append(
            [
                words(f"block_levels.practice.about.{one.finding}"),
                statement(atlas, file.findings[one.finding], here=BLOCK_LEVELS),
                plain(says),
                words(f"block_levels.fits.{fits}"),
            ]
        )
    headings = [words(f"block_levels.practice.heading.{one}") for one in ("about", "practice", "model", "fits")]
    return table(words("block_levels.practice_title"), headings, rows)


def _lie_in(atlas: Atlas, model: BlockModel, reports: Reports, one: LieIn) -> tuple[str, str]:
    """A stretch: which windows lie in it."""
    stretch = atlas.dataset.region.stretches[one.stretch]
    low_mm, high_mm = stretch.z_mm
    windows = [reports[nerve]["take_off"].window for nerve in one.nerves]
    spans = [window.span_mm for window in windows]
    inside = [span is not None and low_mm <= span[0] and span[1] <= high_mm for span in spans]
    reached = [span is not None and span[0] <= high_mm and low_mm <= span[1] for span in spans]
    says = _found(atlas, one, **{nerve: _both(atlas, reports[nerve]) for nerve in one.nerves})
    says = f"{says} {atlas.words(f'block_levels.practice.stretch.{one.stretch}', cm=in_cm(round(high_mm)))}"
    return says, "all" if all(inside) else "some" if any(reached) else "none"


def _more_spares_fewer(atlas: Atlas, model: BlockModel, reports: Reports, one: MoreSparesFewer) -> tuple[str, str]:
    """More volume: how many arms keep their muscles at the same level, where it is given lower, and at another nerve."""
    here = reports[one.nerve]["take_off"].window
    less_ml, more_ml = model.default_ml, model.volumes_ml[-1]
    less, more = (_chances(atlas, model, one.nerve, ml) for ml in (less_ml, more_ml))
    other_mm = round(_wanted_mm(model, one.other))
    other = _chances(atlas, model, one.other, more_ml).spared[other_mm]
    lower = window_report(atlas.dataset, nerve=one.nerve, volume_ml=more_ml).window
    at = round(here.best_mm)

    def share(chance: float) -> str:
        return percent(chance, atlas.dataset.words)

    amounts = {"less_ml": f"{less_ml:g}", "more_ml": f"{more_ml:g}"}
    same_level = _found(
        atlas,
        one,
        **amounts,
        cm=in_cm(here.best_mm),
        less=share(less.spared[at]),
        more=share(more.spared[at]),
        caught_less=share(less.wanted[at]),
        caught_more=share(more.wanted[at]),
    )
    elsewhere = _found(
        atlas,
        one,
        "found_elsewhere",
        **amounts,
        best_less_cm=in_cm(here.best_mm),
        best_more_cm=in_cm(lower.best_mm),
        best_less=share(here.best_chance),
        best_more=share(lower.best_chance),
        other_cm=in_cm(other_mm),
        other=share(other),
    )
    no_loss = lower.best_chance > here.best_chance - NOTABLE or other > 1 - NOTABLE
    fits = "none" if more.spared[at] >= less.spared[at] else "less_partly" if no_loss else "less"
    return f"{same_level} {elsewhere}", fits


def _begins_above(atlas: Atlas, model: BlockModel, reports: Reports, one: BeginsAbove) -> tuple[str, str]:
    """Above the take-off that is wanted: whether the window begins there."""
    window = reports[one.nerve]["take_off"].window
    mean_mm = _wanted_mm(model, one.nerve)
    above = window.lowest_mm >= mean_mm
    says = _found(
        atlas, one, "found_above" if above else "found", low=in_cm(window.lowest_mm), cm=in_cm(round(mean_mm))
    )
    return says, "all" if above else "lower"


def _reach_higher(atlas: Atlas, model: BlockModel, reports: Reports, one: ReachHigher) -> tuple[str, str]:
    """Higher than another: which windows reach above that nerve's."""
    found = {nerve: reports[nerve]["take_off"].window for nerve in (*one.nerves, one.than)}
    highest = {nerve: window.highest_mm for nerve, window in found.items()}
    higher = [highest[nerve] > highest[one.than] for nerve in one.nerves]
    says = _found(atlas, one, **{nerve: _both(atlas, reports[nerve]) for nerve in one.nerves})
    return says, "all" if all(higher) else "some" if any(higher) else "none"


_COMPARED: dict[str, Callable[[Atlas, BlockModel, Reports, Any], tuple[str, str]]] = {
    "lie_in": _lie_in,
    "more_spares_fewer": _more_spares_fewer,
    "begins_above": _begins_above,
    "reach_higher": _reach_higher,
}
"""Kind of comparison → what returns the words, and the key of whether practice and model fit."""


def _found(atlas: Atlas, one: PracticeRecord, key: str = "found", **values: str) -> str:
    """Return what the model finds for a statement, in its own words."""
    return atlas.words(f"block_levels.practice.{key}.{one.finding}", **values)


def _wanted_mm(model: BlockModel, nerve: str) -> float:
    """Return the mean height of the first take-off that a nerve's block wants, mm."""
    return mean_height_mm(model.events[model.blocks[nerve].wanted[0]])


def _chances(atlas: Atlas, model: BlockModel, nerve: str, volume_ml: float) -> Chances:
    """Return the chances at a volume in the reference arm, by parting, which spares fewest."""
    length_mm = float(atlas.dataset.region.reference_length_mm)
    return arm_chances(model, nerve, reading="parting", volume_ml=volume_ml, length_scale=1.0, length_mm=length_mm)


def _both(atlas: Atlas, reports: Mapping[str, WindowReport]) -> str:
    """Return the windows by both readings, short."""
    first, second = (_span(atlas, reports[reading].window) for reading in ("take_off", "parting"))
    if first == second:
        return atlas.words("block_levels.practice.same", span=first)
    return atlas.words("block_levels.practice.each", take_off=first, parting=second)


def _span(atlas: Atlas, window: Window) -> str:
    words = atlas.words
    if window.span_mm is None:
        return words(
            "block_levels.practice.empty",
            cm=in_cm(window.best_mm),
            chance=percent(window.best_chance, atlas.dataset.words),
        )
    low_mm, high_mm = window.span_mm
    return band_words(atlas.dataset.words, low_mm=low_mm, high_mm=high_mm)

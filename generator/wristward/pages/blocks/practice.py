"""What common practice says of levels and volumes beside what the model finds: agreement and disagreement, computed."""

from __future__ import annotations

from collections.abc import Mapping

from wristward.block.blocks import BlockModel
from wristward.block.chance import Chances
from wristward.block.distribution import mean_height_mm
from wristward.block.report import WindowReport, percent, window_report
from wristward.block.window import Window, arm_chances
from wristward.measure.text import band_words, in_cm
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.common import BLOCK_LEVELS, statement
from wristward.pages.html import table
from wristward.pages.markdown import plain

MEDIAN, ULNAR = "median_nerve", "ulnar_nerve"
SUPERFICIAL_RADIAL, LATERAL = "superficial_radial_nerve", "lateral_antebrachial_cutaneous_nerve"

NOTABLE = 0.02
"""A share of arms below which two volumes are said to do equally well."""

Reports = Mapping[str, Mapping[str, WindowReport]]


def practice_table(atlas: Atlas, model: BlockModel, reports: Reports) -> str:
    """Return a row for each statement of practice about these blocks: what it says, what the model says, whether they fit.

    Args:
        atlas: Words and data.
        model: Of the reference forearm.
        reports: By nerve and reading, at the default volume.
    """
    words, findings = atlas.words, atlas.dataset.branches.findings
    asked = (
        ("common_practice_level", _level, (MEDIAN, ULNAR)),
        ("common_practice_volume", _volume, (MEDIAN, ULNAR)),
        ("common_practice_ulnar", _ulnar, (ULNAR,)),
        ("common_practice_cutaneous", _cutaneous, (SUPERFICIAL_RADIAL, LATERAL)),
    )
    rows = []
    for key, compare, nerves in asked:
        if key not in findings or any(nerve not in reports for nerve in nerves):
            continue
        says, fits = compare(atlas, model, reports)
        rows.append(
            [
                words(f"block_levels.practice.about.{key}"),
                statement(atlas, findings[key], here=BLOCK_LEVELS),
                plain(says),
                words(f"block_levels.fits.{fits}"),
            ]
        )
    headings = [words(f"block_levels.practice.heading.{one}") for one in ("about", "practice", "model", "fits")]
    return table(words("block_levels.practice_title"), headings, rows)


def _level(atlas: Atlas, model: BlockModel, reports: Reports) -> tuple[str, str]:
    """The distal third: which windows lie in it."""
    third_mm = float(atlas.dataset.region.reference_length_mm) / 3
    words = atlas.words
    windows = [reports[nerve]["take_off"].window for nerve in (MEDIAN, ULNAR)]
    inside = [not one.empty and one.highest_mm <= third_mm for one in windows]
    reached = [not one.empty and one.lowest_mm <= third_mm for one in windows]
    says = words(
        "block_levels.practice.level", median=_both(atlas, reports[MEDIAN]), ulnar=_both(atlas, reports[ULNAR])
    )
    says = f"{says} {words('block_levels.practice.third', cm=in_cm(round(third_mm)))}"
    return says, "all" if all(inside) else "some" if any(reached) else "none"


def _volume(atlas: Atlas, model: BlockModel, reports: Reports) -> tuple[str, str]:
    """More volume: how many arms keep their muscles at the same level, where it is given lower, and at the ulnar nerve."""
    here = reports[MEDIAN]["take_off"].window
    less_ml, more_ml = model.default_ml, model.volumes_ml[-1]
    less, more = (_chances(atlas, model, MEDIAN, ml) for ml in (less_ml, more_ml))
    ulnar_mm = round(mean_height_mm(model.events[model.blocks[ULNAR].wanted[0]]))
    ulnar = _chances(atlas, model, ULNAR, more_ml).spared[ulnar_mm]
    lower = window_report(atlas.dataset, nerve=MEDIAN, volume_ml=more_ml).window
    at = round(here.best_mm)

    def share(chance: float) -> str:
        return percent(chance, atlas.dataset.words)

    amounts = {"less_ml": f"{less_ml:g}", "more_ml": f"{more_ml:g}"}
    same_level = atlas.words(
        "block_levels.practice.volume",
        **amounts,
        cm=in_cm(here.best_mm),
        less=share(less.spared[at]),
        more=share(more.spared[at]),
        caught_less=share(less.wanted[at]),
        caught_more=share(more.wanted[at]),
    )
    elsewhere = atlas.words(
        "block_levels.practice.volume_elsewhere",
        **amounts,
        best_less_cm=in_cm(here.best_mm),
        best_more_cm=in_cm(lower.best_mm),
        best_less=share(here.best_chance),
        best_more=share(lower.best_chance),
        ulnar_cm=in_cm(ulnar_mm),
        ulnar=share(ulnar),
    )
    no_loss = lower.best_chance > here.best_chance - NOTABLE or ulnar > 1 - NOTABLE
    fits = "none" if more.spared[at] >= less.spared[at] else "less_partly" if no_loss else "less"
    return f"{same_level} {elsewhere}", fits


def _chances(atlas: Atlas, model: BlockModel, nerve: str, volume_ml: float) -> Chances:
    """Return the chances at a volume in the reference forearm, by entry, which spares fewest."""
    length_mm = float(atlas.dataset.region.reference_length_mm)
    return arm_chances(model, nerve, reading="entry", volume_ml=volume_ml, length_scale=1.0, length_mm=length_mm)


def _ulnar(atlas: Atlas, model: BlockModel, reports: Reports) -> tuple[str, str]:
    """Above the take-off of the dorsal branch: whether the window begins there."""
    window = reports[ULNAR]["take_off"].window
    mean_mm = mean_height_mm(model.events[model.blocks[ULNAR].wanted[0]])
    above = window.lowest_mm >= mean_mm
    key = "block_levels.practice.ulnar_above" if above else "block_levels.practice.ulnar"
    return atlas.words(key, low=in_cm(window.lowest_mm), cm=in_cm(round(mean_mm))), "all" if above else "lower"


def _cutaneous(atlas: Atlas, model: BlockModel, reports: Reports) -> tuple[str, str]:
    """Purely cutaneous nerves: whether they may be caught higher than the median nerve may be met."""
    found = {nerve: reports[nerve]["take_off"].window for nerve in (MEDIAN, SUPERFICIAL_RADIAL, LATERAL)}
    highest = {nerve: window.highest_mm for nerve, window in found.items()}
    higher = [highest[nerve] > highest[MEDIAN] for nerve in (SUPERFICIAL_RADIAL, LATERAL)]
    says = atlas.words(
        "block_levels.practice.cutaneous",
        radial=_both(atlas, reports[SUPERFICIAL_RADIAL]),
        lateral=_both(atlas, reports[LATERAL]),
    )
    return says, "all" if all(higher) else "some" if any(higher) else "none"


def _both(atlas: Atlas, reports: Mapping[str, WindowReport]) -> str:
    """Return the windows by both readings, short."""
    first, second = (_span(atlas, reports[reading].window) for reading in ("take_off", "entry"))
    if first == second:
        return atlas.words("block_levels.practice.same", span=first)
    return atlas.words("block_levels.practice.each", take_off=first, entry=second)


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

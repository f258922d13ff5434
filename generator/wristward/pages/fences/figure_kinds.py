"""What each figure of a fence must hold beyond its record, and its HTML."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import markdown

from wristward.block.blocks import block_model
from wristward.data.dataset import PartName
from wristward.data.records.record import Record, key_references, references
from wristward.errors import one_of, quoted, unknown
from wristward.figure.hand import hand_style
from wristward.pages import figures
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.coverage import operation_cover
from wristward.pages.blocks.window import window_html

Fault = tuple[tuple, str]
"""Path in the fence, and what is wrong there."""

ONCE = {"elbow_to_wrist": (), "coverage": ("operation",)}
"""Figures that a page can hold once, or once for each value of these options: their parts have fixed ids."""

PARTS_OF: dict[str, tuple[PartName, ...]] = {
    "coverage": ("operations", "territories", "hand_map"),
    "window": ("branches",),
}
"""Files of the data that a figure is made from, beyond the arm itself."""

LINK = re.compile(r'href="([^":]+)\.md(?=["#])')
EXTENSIONS = ("attr_list", "md_in_html", "tables")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One fence whose record is right."""

    record: Record
    number: int
    """Which fence of its page it is, from 1."""

    here: str
    """The page's ``src_uri``."""


def faults(asked: Asked, atlas: Atlas) -> Iterator[Fault]:
    """Yield what is wrong with a fence beyond its record: unknown names, and what cannot be drawn."""
    record = asked.record
    missing = [name for name in PARTS_OF.get(record.figure, ()) if not atlas.dataset.has(name)]
    if missing:
        yield (
            ("figure",),
            f"figure is '{record.figure}', and the data has no {one_of(f'{one}.yaml' for one in missing)}",
        )
        return
    known = _known(atlas)
    wrong = [*references(record), *key_references(record)]
    names = [(path, unknown(kind, name, known[kind])) for path, kind, name in wrong if name not in known[kind]]
    yield from names
    if getattr(record, "z_mm", None) is not None and record.z_mm not in atlas.sections:
        top_mm = max(atlas.sections)
        yield ("z_mm",), f"z_mm is {quoted(record.z_mm)} (allowed: a whole number from 0 to {top_mm})"
    elif not names:
        yield from _CHECKS.get(record.figure, _nothing)(record, atlas)


def draw(asked: Asked, atlas: Atlas) -> str:
    """Return the HTML of a fence without faults."""
    return _DRAWN[asked.record.figure](asked, atlas)


def _known(atlas: Atlas) -> dict[str, list[str]]:
    dataset = atlas.dataset
    return {
        "structure": list(atlas.structures),
        "arm": [name for name, arm in dataset.region.arms.items() if arm.is_scaled_only],
        "block": list(dataset.branches.blocks) if dataset.has("branches") else [],
        "operation": list(dataset.operations.operations) if dataset.has("operations") else [],
    }


def _nothing(record: Record, atlas: Atlas) -> Iterator[Fault]:
    return iter(())


def _check_section(record, atlas: Atlas) -> Iterator[Fault]:
    if record.show is not None and record.z_mm not in atlas.cut_at(record.show):
        yield ("show",), f"'{record.show}' is not cut at z {record.z_mm:g} mm"


def _check_cut(record, atlas: Atlas) -> Iterator[Fault]:
    name, key = (record.show, "show") if record.figure == "elbow_to_wrist" else (record.structure, "structure")
    if name is not None and not atlas.cut_at(name):
        yield (key,), f"'{name}' is cut nowhere"


def _check_chart(record, atlas: Atlas) -> Iterator[Fault]:
    charted = figures.charted(atlas, record.structure)
    if not charted:
        yield ("structure",), f"'{record.structure}' has no charts"
    elif record.figure == "chart" and record.of not in charted:
        yield ("of",), f"of is '{record.of}' (allowed for '{record.structure}': {one_of(charted)})"


def _check_window(record, atlas: Atlas) -> Iterator[Fault]:
    volumes = block_model(atlas.dataset).volumes_ml
    if not volumes[0] <= record.volume_ml <= volumes[-1]:
        yield ("volume_ml",), f"volume_ml is {record.volume_ml:g} (allowed: {volumes[0]:g} to {volumes[-1]:g})"


def _draw_section(asked: Asked, atlas: Atlas) -> str:
    record = asked.record
    return figures.section_figure(
        atlas, z_mm=record.z_mm, shown=record.show, here=asked.here, figure_id=f"f{asked.number}"
    )


def _draw_travel(asked: Asked, atlas: Atlas) -> str:
    return figures.elbow_to_wrist(atlas, here=asked.here, z_mm=asked.record.z_mm, shown=asked.record.show)


def _draw_charts(asked: Asked, atlas: Atlas) -> str:
    only = getattr(asked.record, "of", None)
    return figures.structure_charts(
        atlas, asked.record.structure, here=asked.here, only=only, chart_id=f"f{asked.number}"
    )


def _draw_window(asked: Asked, atlas: Atlas) -> str:
    record = asked.record
    return window_html(
        atlas,
        nerve=record.nerve,
        volume_ml=record.volume_ml,
        arm=record.arm,
        here=asked.here,
        chart_id=f"f{asked.number}",
    )


def _draw_coverage(asked: Asked, atlas: Atlas) -> str:
    text = hand_style() + "\n\n" + operation_cover(atlas, asked.record.operation, here=asked.here)
    # Inside a fence nobody else makes HTML of Markdown, or addresses of the built site of the pages' names.
    html = LINK.sub(r'href="\1.html', markdown.markdown(text, extensions=list(EXTENSIONS)))
    return f'<div class="ww-coverage">{html}</div>'


_CHECKS: dict[str, Callable[..., Iterator[Fault]]] = {
    "section": _check_section,
    "elbow_to_wrist": _check_cut,
    "chart": _check_chart,
    "charts": _check_chart,
    "window": _check_window,
}
_DRAWN: dict[str, Callable[[Asked, Atlas], str]] = {
    "section": _draw_section,
    "elbow_to_wrist": _draw_travel,
    "chart": _draw_charts,
    "charts": _draw_charts,
    "window": _draw_window,
    "coverage": _draw_coverage,
}

"""The figures that a page can ask for in a fence, a row each: options, what they must hold, and the drawing.

The options stand here and not with the records of the data: a figure is added in one place, and no file of the data
is read or written differently for it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated, Literal

import markdown

from wristward.block.blocks import block_model
from wristward.data.checks.part import Fault
from wristward.data.records.record import Millilitres, Record, Refers, StructureId, WholeHeight, key
from wristward.data.records.region import RegionRecord
from wristward.data.records.teaching import OperationId
from wristward.errors import one_of
from wristward.figure.hand import hand_style
from wristward.pages import figures
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.coverage import operation_cover
from wristward.pages.blocks.window import window_html
from wristward.pages.fences.figure_kind import Asked, FigureKind

LINK = re.compile(r'href="([^":]+)\.md(?=["#])')
TRAVEL = "travel"
"""The figure that goes through the whole region."""

EXTENSIONS = ("attr_list", "md_in_html", "tables")


class SectionFence(Record):
    """One section, with names under the pointer."""

    figure: Literal["section"] = key("What is shown.", example="section")
    z_mm: WholeHeight = key("Height of the cut, whole mm.", example=97)
    show: StructureId | None = key("Structure to light up; it must be cut at this height.", default=None)


def _check_section(record: SectionFence, atlas: Atlas) -> Iterator[Fault]:
    if record.show is not None and record.z_mm not in atlas.cut_at(record.show):
        yield ("show",), f"'{record.show}' is not cut at z {record.z_mm:g} mm"


def _draw_section(asked: Asked, atlas: Atlas) -> str:
    record = asked.record
    return figures.section_figure(
        atlas, z_mm=record.z_mm, shown=record.show, here=asked.here, figure_id=f"f{asked.number}"
    )


class TravelFence(Record):
    """The whole region with its slider, switches, list and words; one on a page."""

    figure: Annotated[str, Refers("travel")] = key("What is shown.")
    z_mm: WholeHeight | None = key("Height shown first, whole mm.", example=130, default=None)
    show: StructureId | None = key("Structure to light up first.", default=None)


def _check_travel(record: TravelFence, atlas: Atlas) -> Iterator[Fault]:
    if record.show is not None and not atlas.cut_at(record.show):
        yield ("show",), f"'{record.show}' is cut nowhere"


def _draw_travel(asked: Asked, atlas: Atlas) -> str:
    return figures.travel(atlas, here=asked.here, z_mm=asked.record.z_mm, shown=asked.record.show)


class ChartsFence(Record):
    """Every chart of a structure along the region: depth, the gap to its partner, a muscle's area."""

    figure: Literal["charts"] = key("What is shown.", example="charts")
    structure: StructureId = key("Structure that is charted.")


def _check_charts(record: ChartsFence, atlas: Atlas) -> Iterator[Fault]:
    if not figures.charted(atlas, record.structure):
        yield ("structure",), f"'{record.structure}' has no charts"


def _draw_charts(asked: Asked, atlas: Atlas) -> str:
    return figures.structure_charts(atlas, asked.record.structure, here=asked.here, chart_id=f"f{asked.number}")


class ChartFence(Record):
    """One chart of a structure along the region."""

    figure: Literal["chart"] = key("What is shown.", example="chart")
    structure: StructureId = key("Structure that is charted.")
    of: Literal["depth", "gap", "area"] = key(
        "Depth below the skin, gap to the partner that it runs with, or a muscle's area.", example="depth"
    )


def _check_chart(record: ChartFence, atlas: Atlas) -> Iterator[Fault]:
    charted = figures.charted(atlas, record.structure)
    if not charted:
        yield ("structure",), f"'{record.structure}' has no charts"
    elif record.of not in charted:
        yield ("of",), f"of is '{record.of}' (allowed for '{record.structure}': {one_of(charted)})"


def _draw_chart(asked: Asked, atlas: Atlas) -> str:
    record = asked.record
    return figures.structure_charts(
        atlas, record.structure, here=asked.here, only=record.of, chart_id=f"f{asked.number}"
    )


class WindowFence(Record):
    """Where along the region a block catches what it should and spares the muscles, under both readings."""

    figure: Literal["window"] = key("What is shown.", example="window")
    nerve: Annotated[str, Refers("block")] = key("Nerve with a block in branches.yaml.")
    volume_ml: Millilitres = key("Volume of the story, mL, within the volumes of branches.yaml.", example=5)
    arm: Annotated[str, Refers("arm")] = key("Reference arm of region.yaml.", example="small", default="mean")


def _check_window(record: WindowFence, atlas: Atlas) -> Iterator[Fault]:
    volumes = block_model(atlas.dataset).volumes_ml
    if not volumes[0] <= record.volume_ml <= volumes[-1]:
        yield ("volume_ml",), f"volume_ml is {record.volume_ml:g} (allowed: {volumes[0]:g} to {volumes[-1]:g})"


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


class CoverageFence(Record):
    """Which nerves an operation of the scenario needs, with the hand map."""

    figure: Literal["coverage"] = key("What is shown.", example="coverage")
    operation: OperationId = key("Operation of operations.yaml.")


def _draw_coverage(asked: Asked, atlas: Atlas) -> str:
    text = hand_style(atlas.dataset.hand_map) + "\n\n" + operation_cover(atlas, asked.record.operation, here=asked.here)
    # Inside a fence nobody else makes HTML of Markdown, or addresses of the built site of the pages' names.
    html = LINK.sub(r'href="\1.html', markdown.markdown(text, extensions=list(EXTENSIONS)))
    return f'<div class="ww-coverage">{html}</div>'


FIGURE_KINDS: dict[str, FigureKind] = {
    "chart": FigureKind(record=ChartFence, check=_check_chart, draw=_draw_chart),
    "charts": FigureKind(record=ChartsFence, check=_check_charts, draw=_draw_charts),
    "coverage": FigureKind(
        record=CoverageFence,
        draw=_draw_coverage,
        once=("operation",),
        made_from=("operations", "territories", "hand_map"),
    ),
    TRAVEL: FigureKind(record=TravelFence, check=_check_travel, draw=_draw_travel, once=()),
    "section": FigureKind(record=SectionFence, check=_check_section, draw=_draw_section),
    "window": FigureKind(record=WindowFence, check=_check_window, draw=_draw_window, made_from=("branches",)),
}
"""Every figure, in the order of the page Reference, by the name that a fence gives it but for ``TRAVEL``."""


def figure_kinds(region: RegionRecord) -> dict[str, FigureKind]:
    """Return every figure by the name that a fence gives it: the one that goes through the region is named by it."""
    return {region.travel if name == TRAVEL else name: kind for name, kind in FIGURE_KINDS.items()}

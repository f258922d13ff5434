"""Records of the figures that a page can ask for in a fence; checked like the data, and described in the same schema."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from wristward.data.records.record import Record, Refers, StructureId
from wristward.data.records.teaching import OperationId

SectionHeight = Annotated[int, Field(ge=0)]


class SectionFence(Record):
    """One section, with names under the pointer."""

    figure: Literal["section"] = Field(description="What is shown.", examples=["section"])
    z_mm: SectionHeight = Field(description="Height above the wrist crease, whole mm.", examples=[97])
    show: StructureId | None = Field(
        default=None, description="Structure to light up; it must be cut at this height.", examples=["median_nerve"]
    )


class TravelFence(Record):
    """The whole forearm with its slider, switches, list and words; one on a page."""

    figure: Literal["elbow_to_wrist"] = Field(description="What is shown.", examples=["elbow_to_wrist"])
    z_mm: SectionHeight | None = Field(
        default=None, description="Height shown first, whole mm above the wrist crease.", examples=[130]
    )
    show: StructureId | None = Field(
        default=None, description="Structure to light up first.", examples=["median_nerve"]
    )


class ChartsFence(Record):
    """Every chart of a structure along the forearm: depth, the gap to its partner, a muscle's area."""

    figure: Literal["charts"] = Field(description="What is shown.", examples=["charts"])
    structure: StructureId = Field(description="Structure that is charted.", examples=["median_nerve"])


class ChartFence(Record):
    """One chart of a structure along the forearm."""

    figure: Literal["chart"] = Field(description="What is shown.", examples=["chart"])
    structure: StructureId = Field(description="Structure that is charted.", examples=["median_nerve"])
    of: Literal["depth", "gap", "area"] = Field(
        description="Depth below the skin, gap to the partner that it runs with, or a muscle's area.",
        examples=["depth"],
    )


class WindowFence(Record):
    """Where along the forearm a block catches what it should and spares the forearm muscles, under both readings."""

    figure: Literal["window"] = Field(description="What is shown.", examples=["window"])
    nerve: Annotated[str, Refers("block")] = Field(
        description="Nerve with a block in branches.yaml.", examples=["ulnar_nerve"]
    )
    volume_ml: Annotated[float, Field(gt=0)] = Field(
        description="Volume of the story, mL, within the volumes of branches.yaml.", examples=[5]
    )
    arm: Annotated[str, Refers("arm")] = Field(
        default="mean", description="Reference arm of region.yaml.", examples=["small"]
    )


class CoverageFence(Record):
    """Which nerves an operation of the scenario needs, with the hand map."""

    figure: Literal["coverage"] = Field(description="What is shown.", examples=["coverage"])
    operation: OperationId = Field(description="Operation of operations.yaml.", examples=["thumb_base_joint"])


FENCES: dict[str, type[Record]] = {
    "chart": ChartFence,
    "charts": ChartsFence,
    "coverage": CoverageFence,
    "elbow_to_wrist": TravelFence,
    "section": SectionFence,
    "window": WindowFence,
}
"""Record of each figure, by its name."""

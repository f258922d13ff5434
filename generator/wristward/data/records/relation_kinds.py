"""Kinds of fact about a section: what an author may claim of structures, each a small checked map.

A claim names structures and numbers, nothing else; ``wristward.measure.relations`` decides it on a solved
section. A structure stands for itself and all its parts (heads, layers, tendons). Right and left arms read
alike: sides are anatomical.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator

from wristward.data.kinds import StructureKind
from wristward.data.records.record import (
    ArteryId,
    DirectionId,
    Many,
    MuscleId,
    NerveId,
    Record,
    Refers,
    SheetId,
    StructureId,
    fault,
)
from wristward.errors import quoted

Millimetres = Annotated[float, Field(ge=0, le=200)]


def _one_or_more(value: Any) -> Any:
    if isinstance(value, str):
        return (value,)
    return tuple(value) if isinstance(value, list) else value


OneOrMore = Annotated[
    tuple[StructureId, ...],
    BeforeValidator(_one_or_more, json_schema_input_type=StructureId | list[StructureId]),
    Field(min_length=1),
]
"""One structure, or a list of them, any of which will do."""

_STRUCTURE = Field(description="The structure the claim is about.")
_OTHER = Field(description="The other structure, or several of which the nearest counts.")
_TWO = Field(
    min_length=2,
    max_length=2,
    description="The two it lies between; a list inside the list stands for any of several.",
)


class InSeam(Record):
    """It touches both neighbours."""

    structure: StructureId = _STRUCTURE
    between: Annotated[Many[OneOrMore], _TWO]
    within_mm: Millimetres = Field(default=1.0, description="Largest gap to either that still counts.", examples=[1.0])


class Between(Record):
    """The two others lie on different sides of it: the angle it sees them under is wide."""

    structure: StructureId = _STRUCTURE
    between: Annotated[Many[OneOrMore], _TWO]
    least_deg: Annotated[float, Field(gt=0, le=180)] = Field(
        default=90.0, description="Smallest angle between the shortest lines to the two.", examples=[90]
    )


class Touches(Record):
    """Edge to edge, nothing but a septum lies between."""

    structure: StructureId = _STRUCTURE
    other: OneOrMore = _OTHER
    within_mm: Millimetres = Field(default=0.8, description="Largest gap that still counts.", examples=[0.8])
    toward: DirectionId | None = Field(
        default=None, description="Which side of the other it lies on, where they come closest."
    )


class ClearOf(Record):
    """It neither touches nor overlaps the other."""

    structure: StructureId = _STRUCTURE
    other: OneOrMore = _OTHER
    least_mm: Millimetres = Field(default=0.5, description="Smallest gap allowed.", examples=[1.0])


class Bounds(Record):
    """At least one of two limits."""

    min_mm: Millimetres | None = Field(default=None, description="Smallest value allowed.", examples=[1.0])
    max_mm: Millimetres | None = Field(default=None, description="Largest value allowed.", examples=[3.5])

    @model_validator(mode="after")
    def _some_limit(self) -> Bounds:
        if self.min_mm is None and self.max_mm is None:
            raise fault("needs min_mm or max_mm")
        if self.min_mm is not None and self.max_mm is not None and self.min_mm > self.max_mm:
            raise fault(f"min_mm {quoted(self.min_mm)} is more than max_mm {quoted(self.max_mm)}")
        return self


class Gap(Bounds):
    """Distance from edge to edge."""

    structure: StructureId = _STRUCTURE
    other: OneOrMore = _OTHER
    toward: DirectionId | None = Field(
        default=None, description="Which side of the other it lies on, where they come closest."
    )


class CentreDistance(Bounds):
    """Distance from centre to centre."""

    structure: StructureId = _STRUCTURE
    other: StructureId = _OTHER


class Depth(Bounds):
    """Distance from the skin to the near wall, along the shortest line."""

    structure: StructureId = _STRUCTURE


class SkinShare(Record):
    """Where its centre lies across the skin's width: 0 % at one margin, 100 % at that of the named side."""

    structure: StructureId = _STRUCTURE
    toward: DirectionId = Field(description="The side at whose margin the share is 100 %.")
    min_percent: Annotated[float, Field(ge=0, le=100)] = Field(description="Smallest share.", examples=[43])
    max_percent: Annotated[float, Field(ge=0, le=100)] = Field(description="Largest share.", examples=[53])


class FasciaGap(Bounds):
    """Distance from the deep fascia to the nearest wall, from inside; 0 reaches the fascia."""

    structure: StructureId = _STRUCTURE


class Side(Record):
    """Its centre lies further toward a side than the other's."""

    structure: StructureId = _STRUCTURE
    of: ArteryId = Field(description="The structure it is compared with.")
    toward: DirectionId = Field(description="The side it lies on.")
    least_mm: Annotated[float, Field(ge=-20, le=100)] = Field(
        default=0.0, description="Smallest lead of its centre along that side.", examples=[1.0]
    )


class DeepTo(Record):
    """On its way to the skin, a line from it passes through the cover."""

    structure: StructureId = _STRUCTURE
    cover: OneOrMore = Field(description="What covers it; any of these.")
    along: Annotated[str, Refers("direction", besides=("skin",))] = Field(
        default="skin",
        description="The line: the shortest one to the skin, or straight toward a side.",
    )
    least_share: Annotated[float, Field(gt=0, le=1)] = Field(
        default=0.5, description="Share of the lines from its outline that must pass through the cover.", examples=[0.5]
    )


class OnEveryLine(Record):
    """On every straight line toward a side that meets both, it lies wholly further that way."""

    structure: StructureId = _STRUCTURE
    of: OneOrMore = Field(description="What it is compared with.")
    toward: DirectionId = Field(description="The side it lies on.")
    allow_mm: Millimetres = Field(
        default=0.5, description="How far the two may interlock on one line; rounding of outlines.", examples=[0.5]
    )


class Inside(Record):
    """Its centre lies within a structure, or in the slit between its layers."""

    structure: StructureId = _STRUCTURE
    container: MuscleId = Field(description="What it lies in.")
    slit_mm: Millimetres = Field(
        default=3.5, description="Widest slit between the container's parts that counts as inside.", examples=[3.5]
    )


class OutsideFascia(Record):
    """It lies between skin and deep fascia."""

    structure: StructureId = _STRUCTURE


class Subfascial(Record):
    """It lies deep to the deep fascia."""

    structure: StructureId = _STRUCTURE


class Order(Record):
    """Centres follow one another toward a side. A list inside the list stands for neighbours in either order."""

    of: Annotated[Many[OneOrMore], Field(min_length=2)] = Field(description="Structures in order.")
    toward: DirectionId = Field(description="The side the list runs to.")
    skip_absent: bool = Field(default=False, description="Leave out what is not cut at a height.", examples=[True])


class RingOrder(Record):
    """Bearings follow one another round the limb, anticlockwise on the picture of a right arm, in one turn."""

    of: Annotated[Many[OneOrMore], Field(min_length=3)] = Field(
        description="Structures in order; a list inside the list stands for neighbours in either order.",
    )
    skip_absent: bool = Field(default=False, description="Leave out what is not cut at a height.", examples=[True])


class Contents(Record):
    """Exactly these lie between roof and floor: a line through the centre meets the one, then the other."""

    roof: SheetId = Field(description="What closes the space on the side named.")
    floor: OneOrMore = Field(description="What closes it on the other side; any of these.")
    toward: DirectionId = Field(description="The side the roof is on.")
    of: Annotated[Many[NerveId], Field(min_length=1)] = Field(description="All that lies within, by id.")


class Present(Record):
    """All of these are cut."""

    structures: OneOrMore = Field(description="What is cut.")
    as_tissue: StructureKind | None = Field(default=None, description="Cut as this tissue.", examples=["tendon"])


class Absent(Record):
    """None of these is cut."""

    structures: OneOrMore = Field(description="What is not cut.")

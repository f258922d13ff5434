"""Records of a level or knot file: the skin, the fascia and a knot for each structure drawn at one height."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, TypeVar

from pydantic import Discriminator, Field, Tag, model_validator

from wristward.data.kinds import KNOT_MAPS
from wristward.data.records.record import BoneId, Height, Many, Pair, Record, Sourced, StructureId, fault

R = TypeVar("R", bound=Record)

Outline = Annotated[Many[Pair], Field(min_length=8)]
BoneOutline = Annotated[Many[Pair], Field(min_length=6)]
_POINT = "mm in the section frame: +x {x_plus}, +y {y_plus}, right arm, seen from {seen_from}."
_SQUARE = [[[10, -8], [12, 0], [10, 8], [0, 9], [-10, 8], [-12, 0], [-10, -8], [0, -9]]]


class Skin(Sourced):
    """The skin's outline."""

    outline: Outline = Field(description=f"Closed ring without the repeated point, {_POINT}", examples=_SQUARE)


class Fascia(Sourced):
    """How deep the deep fascia lies under the skin."""

    depth_mm: Annotated[Many[Pair], Field(min_length=3)] = Field(
        description="[bearing_deg, depth_mm] pairs along rays from the skin outline's centroid; bearing 0 "
        "{x_plus}, 90 {y_plus}, 180 {x_minus}, -90 {y_minus}; the curve closes on itself.",
        examples=[[[0, 4], [90, 5], [180, 4], [-90, 3]]],
    )

    @model_validator(mode="after")
    def _depths(self) -> Fascia:
        bearings = [bearing % 360 for bearing, _ in self.depth_mm]
        if len(set(bearings)) != len(bearings):
            raise fault("two depths of the fascia share a bearing", key="depth_mm")
        if any(depth <= 0 for _, depth in self.depth_mm):
            raise fault("a depth of the fascia must be more than 0", key="depth_mm")
        return self


class BoneKnot(Sourced):
    """A bone's outline."""

    outline: BoneOutline = Field(description=f"Closed ring, star-shaped about its centroid, {_POINT}", examples=_SQUARE)


class AlongFascia(Record):
    """A sheet that follows the deep fascia."""

    from_deg: float = Field(description="Bearing at which it begins, from the skin's centroid.", examples=[40])
    to_deg: float = Field(description="Bearing at which it ends, counter-clockwise from from_deg.", examples=[140])
    inset_mm: Annotated[float, Field(ge=0)] = Field(default=0, description="How far inside the fascia.", examples=[0.5])


class SheetKnot(Sourced):
    """A membrane, retinaculum or aponeurosis cut across."""

    line: Annotated[Many[Pair], Field(min_length=2)] | None = Field(
        default=None, description=f"Open line, {_POINT}", examples=[[[-8, 2], [8, 1]]]
    )
    along_fascia: AlongFascia | None = Field(default=None, description="Instead of line: along the deep fascia.")
    thickness_mm: Annotated[float, Field(gt=0, le=10)] = Field(description="Thickness, mm.", examples=[0.7])

    @model_validator(mode="after")
    def _one_form(self) -> SheetKnot:
        return _just_one(self, "line", "along_fascia")


class Wrap(Record):
    """A spine that runs along a bone's surface."""

    wrap: BoneId = Field(description="The bone it runs around.")
    from_deg: float = Field(description="Bearing about the bone's centroid at which it begins.", examples=[85])
    to_deg: float = Field(description="Bearing at which it ends; the way goes from from_deg to to_deg.", examples=[-90])
    offset_mm: Annotated[float, Field(ge=0, le=30)] = Field(description="Distance from the bone, mm.", examples=[1.5])


def _spine_form(value: Any) -> str:
    return "points" if isinstance(value, (list, tuple)) else "wrap"


Spine = Annotated[
    Annotated[Annotated[Many[Pair], Field(min_length=1, max_length=12)], Tag("points")] | Annotated[Wrap, Tag("wrap")],
    Discriminator(_spine_form),
]


class MuscleKnot(Sourced):
    """A muscle belly, or the muscle drawn as its tendon distal to its last fibres."""

    area_mm2: Annotated[float, Field(gt=0, le=2000)] = Field(description="Area of the cut, mm².", examples=[320])
    spine: Spine | None = Field(
        default=None,
        description=f"1 to 12 points along the middle of the cut, {_POINT} Or wrap: around a bone.",
        examples=[[[-31, 12], [-24, 19]], {"wrap": "a_bone", "from_deg": 85, "to_deg": -90, "offset_mm": 1.5}],
    )
    outline: Outline | None = Field(
        default=None, description=f"Instead of spine: a traced ring, {_POINT}", examples=_SQUARE
    )

    @model_validator(mode="after")
    def _one_form(self) -> MuscleKnot:
        return _just_one(self, "spine", "outline")


class _Ellipse(Sourced):
    """Something small, drawn as an ellipse."""

    width_to_height: Annotated[float, Field(ge=1, le=20)] | None = Field(
        default=None, description="Width over height of the ellipse before tilting.", examples=[1.4]
    )
    tilt_deg: float | None = Field(default=None, description="Bearing of the ellipse's width.", examples=[10])


class TendonKnot(_Ellipse):
    """A tendon with a place of its own."""

    at: Pair = Field(description=f"Centre, {_POINT}", examples=[[4.5, 10.2]])
    area_mm2: Annotated[float, Field(gt=0, le=400)] = Field(description="Area of the cut, mm².", examples=[11])


class _Hinted(_Ellipse):
    """Something placed by relation, from a hint: a point, or a bearing for what lies under the skin."""

    at: Pair | None = Field(default=None, description=f"Hint for the centre, {_POINT}", examples=[[2, 12]])
    bearing_deg: float | None = Field(
        default=None,
        description="Instead of at, for subcutaneous ones: bearing from the skin's centroid.",
        examples=[120],
    )
    depth_share: Annotated[float, Field(ge=0, le=1)] | None = Field(
        default=None, description="With bearing_deg: 0 at the skin, 1 at the deep fascia.", examples=[0.6]
    )

    @model_validator(mode="after")
    def _one_form(self) -> _Hinted:
        return _just_one(self, "at", "bearing_deg")


class NerveKnot(_Hinted):
    """A nerve."""

    area_mm2: Annotated[float, Field(gt=0, le=60)] = Field(description="Area of the cut, mm².", examples=[6.8])


class VesselKnot(_Hinted):
    """An artery or a vein."""

    diameter_mm: Annotated[float, Field(gt=0, le=15)] = Field(description="Outer diameter, mm.", examples=[2.6])


LEVEL_FILES, KNOT_FILES = "levels/*.yaml", "knots/*.yaml"
"""Files of the heights that readers know by name, and of those between them; a height stands in one of the two."""

Knot = BoneKnot | SheetKnot | MuscleKnot | TendonKnot | NerveKnot | VesselKnot


class LevelRecord(Sourced):
    """One level or knot: what is drawn at one height. It may list only some structures."""

    z_mm: Height = Field(description="Distance {z}, mm.", examples=[195])
    skin: Skin | None = Field(default=None, description="Skin at this height; left out, it is interpolated.")
    fascia: Fascia | None = Field(default=None, description="Deep fascia at this height; left out, it is interpolated.")
    fill: Annotated[float, Field(gt=0, le=1)] | None = Field(
        default=None,
        description="Share of the space inside the fascia, less bones, sheets, nerves and vessels, that muscle fills.",
        examples=[0.94],
    )
    bones: dict[StructureId, BoneKnot] = Field(default={}, description="Bones cut here.")
    sheets: dict[StructureId, SheetKnot] = Field(default={}, description="Sheets cut here.")
    muscles: dict[StructureId, MuscleKnot] = Field(default={}, description="Muscles, also those cut as tendons here.")
    tendons: dict[StructureId, TendonKnot] = Field(default={}, description="Tendons with a place of their own.")
    nerves: dict[StructureId, NerveKnot] = Field(default={}, description="Nerves.")
    vessels: dict[StructureId, VesselKnot] = Field(default={}, description="Arteries and veins.")

    def knots(self) -> dict[str, Knot]:
        """Return what is drawn of each structure here, by its id."""
        return {id_: knot for group in KNOT_MAPS for id_, knot in self.group(group).items()}

    def group(self, name: str) -> Mapping[str, Knot]:
        """Return one of the maps of ``KNOT_MAPS``."""
        knots: Mapping[str, Knot] = getattr(self, name)
        return knots


def _just_one(record: R, *keys: str) -> R:
    """Return the record if exactly one of the keys is given."""
    given = [key for key in keys if getattr(record, key) is not None]
    if len(given) == 1:
        return record
    names = " or ".join(f"'{key}'" for key in keys)
    if not given:
        raise fault(f"{names} is missing")
    raise fault(f"both {' and '.join(repr(key) for key in given)} are given (allowed: one)")

"""Records of region.yaml and of the arms beside it: the frame, the landmarks, the arms and the names of heights."""

from __future__ import annotations

from typing import Annotated, Any, Literal, get_args

from pydantic import Field, model_validator

from wristward.data.records.quiz_kinds import kinds_of
from wristward.data.records.record import (
    ArteryId,
    BoneId,
    Height,
    Id,
    Many,
    Name,
    Pair,
    Record,
    Refers,
    Sourced,
    Words,
    fault,
)
from wristward.errors import quoted

Tone = Literal["flesh", "brick", "ochre", "straw", "clay", "rose"]
TONES: tuple[Tone, ...] = get_args(Tone)
"""Quiet tones that muscles are drawn in; ``figure/palette.py`` says their colours."""


class Axis(Record):
    """What the two ways along an axis are called."""

    plus: Id = Field(description="Direction of its positive end.", examples=["lateral"])
    minus: Id = Field(description="Direction of its negative end.", examples=["medial"])
    says: Words | None = Field(default=None, description="The positive end in other words.", examples=["outward"])


class Frame(Record):
    """What the numbers of a section mean."""

    arm: Literal["right", "left"] = Field(
        description="The arm that is drawn; the other is its mirror image.", examples=["right"]
    )
    pose: Name = Field(description="Pose of the limb that is drawn.", examples=["supinated"])
    seen_from: Name = Field(
        description="Where the reader stands, and looking where.", examples=["the distal end toward the proximal one"]
    )
    x: Axis = Field(description="Directions along x, of a right arm.")
    y: Axis = Field(description="Directions along y.")
    z: Words = Field(
        description="What z_mm counts: a direction, from where and along what.",
        examples=["proximal to the skin crease, along the axis of the limb"],
    )
    units: Words = Field(default="mm", description="Unit of lengths.", examples=["mm"])
    note: Words | None = Field(default=None, description="Anything else.", examples=["origin near the skin's centroid"])

    @model_validator(mode="after")
    def _four_directions(self) -> Frame:
        names = self.directions()
        for name in names:
            if names.count(name) > 1:
                raise fault(f"direction '{name}' stands twice (allowed: four different ones)", key="x")
        return self

    def directions(self) -> tuple[str, str, str, str]:
        """Return the four directions, anticlockwise on the picture of a right arm from +x on."""
        return (self.x.plus, self.y.plus, self.x.minus, self.y.minus)

    def eighths(self) -> tuple[str, ...]:
        """Return what each eighth of a turn is called, anticlockwise on the picture of a right arm from +x on."""
        (right, left), (up, down) = (self.x.plus, self.x.minus), (self.y.plus, self.y.minus)
        return (right, f"{up}_{right}", up, f"{up}_{left}", left, f"{down}_{left}", down, f"{down}_{right}")


class Landmark(Sourced):
    """A place on the arm that can be felt or seen on a radiograph."""

    name: Name = Field(description="Name for readers.", examples=["proximal skin crease"])
    z_mm: Height = Field(description="Height, mm.", examples=[9])
    short: Name | None = Field(default=None, description="Short name.", examples=["crease"])


class Redraw(Record):
    """A stretch over which the knots of the drawn arm do not count for a structure: this arm draws it anew."""

    structure: ArteryId = Field(description="The structure.")
    from_z_mm: Height = Field(description="Proximal end of the stretch, z in mm.", examples=[231])
    to_z_mm: Height = Field(description="Distal end, z in mm.", examples=[0])

    @model_validator(mode="after")
    def _downward(self) -> Redraw:
        if self.to_z_mm > self.from_z_mm:
            text = f"to_z_mm {quoted(self.to_z_mm)} is above from_z_mm {quoted(self.from_z_mm)}"
            raise fault(f"{text} (z falls from proximal to distal)", key="to_z_mm")
        return self


class ReferenceArm(Sourced):
    """An arm that readers can choose: the drawn one made longer or thicker, or with something drawn otherwise."""

    length_scale: Annotated[float, Field(gt=0.5, lt=2)] = Field(
        default=1.0, description="Factor on every z.", examples=[0.93]
    )
    girth_scale: Annotated[float, Field(gt=0.5, lt=2)] = Field(
        default=1.0, description="Factor on x and y.", examples=[0.9]
    )
    who: Words = Field(description="Whom it stands for.", examples=["a small adult"])
    name: Name | None = Field(default=None, description="Name for readers.", examples=["small arm"])
    z_mm: Height | None = Field(default=None, description="Height at which to look at what differs, mm.", examples=[30])
    variants: Many[Annotated[str, Refers("variant")]] = Field(
        default=(),
        description="Variants of branches.yaml that it shows; they say how common it is.",
    )
    branches: Many[Annotated[str, Refers("branch")]] = Field(
        default=(),
        description="Branches of branches.yaml that it has; they say how common they are.",
    )
    lifts: Many[Id] = Field(
        default=(),
        description="Relations that do not hold in it, each with a reason in reader/en/arms.yaml. All others are asked.",
        examples=[["nerve_between_heads"]],
    )
    redraws: Many[Redraw] = Field(
        default=(), description="Where knots of the drawn arm do not count, because this arm draws a structure anew."
    )
    structures: dict[Id, Any] = Field(
        default={},
        description="Changes of the catalogue, by id: a new structure, changed keys of one, or null where it is absent.",
        examples=[{"a_muscle": None}],
    )
    knots: Many[dict[str, Any]] = Field(
        default=(),
        description="What is drawn otherwise or besides, each entry as a file of knots/ and at any height, a level's too.",
        examples=[[{"z_mm": 30, "nerves": {"a_nerve": {"at": [-8, 13], "area_mm2": 5}}}]],
    )
    relations: Many[dict[str, Any]] = Field(
        default=(),
        description="Facts of this arm, each as in relations.yaml with an id of its own.",
        examples=[[{"id": "parts_touch", "says": "The parts touch.", "z_mm": [5, 60]}]],
    )

    @property
    def is_scaled_only(self) -> bool:
        """Whether it is the drawn arm but for its size."""
        return not (self.lifts or self.redraws or self.structures or self.knots or self.relations)


class AxisEnd(Record):
    """One end of the axis of rotation: a point, or the centre of a bone's cut."""

    z_mm: Height = Field(description="Height, mm.", examples=[240])
    bone: BoneId | None = Field(default=None, description="Through the centre of this bone's cut.")
    at: Pair | None = Field(default=None, description="Or through this point, section frame, mm.", examples=[[-8, -6]])

    @model_validator(mode="after")
    def _one_form(self) -> AxisEnd:
        if (self.bone is None) == (self.at is None):
            raise fault("an end of the axis needs one of 'at' or 'bone'")
        return self


class RotationAxis(Sourced):
    """The axis about which one bone turns round another."""

    proximal: AxisEnd = Field(description="Its proximal end.")
    distal: AxisEnd = Field(description="Its distal end.")
    says: Words | None = Field(
        default=None, description="The axis in words.", examples=["From the head of one bone to that of the other."]
    )


class Compartment(Record):
    """A compartment, whose muscles share a colour."""

    tone: Tone = Field(description="Colour of its muscles.", examples=["flesh"])


class Stretch(Record):
    """A stretch of the region with a name."""

    z_mm: Pair = Field(description="[lowest, highest] height, mm.", examples=[[0, 35]])

    asked: bool = Field(
        default=False, description="Whether a kind of question, called like it, asks about it.", examples=[True]
    )

    @model_validator(mode="after")
    def _rising(self) -> Stretch:
        low, high = self.z_mm
        if low >= high:
            raise fault(f"z_mm goes from {quoted(low)} to {quoted(high)} (allowed: [lowest, highest])", key="z_mm")
        return self


class LevelName(Record):
    """A name readers know a height by: it has a page, a step of the slider and a sheet for paper."""

    z_mm: Height = Field(description="Height, mm.", examples=[250])
    name: Name = Field(description="Name for readers.", examples=["skin crease"])
    id: Id | None = Field(default=None, description="Id, so that an overlay can change it.", examples=["skin_crease"])


class RegionRecord(Sourced):
    """The region: its frame, size and landmarks."""

    id: Id = Field(description="Id of the region.", examples=["limb"])
    name: Name = Field(description="Name of the region.", examples=["limb"])
    frame: Frame = Field(description="What the numbers mean.")
    reference_length_mm: Annotated[float, Field(gt=0, le=600)] = Field(
        description="How far the region reaches proximal to z 0, mm.", examples=[250]
    )
    travel: Id = Field(
        description="Name of the page and of the figure that go through the whole region; its address has hyphens.",
        examples=["end_to_end"],
    )
    strip: Many[BoneId] = Field(default=(), description="Bones that are drawn over the slider.")
    landmarks: dict[Id, Landmark] = Field(description="Landmarks by id.")
    arms: dict[Id, ReferenceArm] = Field(
        default={},
        description="Arms by id, each here or in a file of its own in arms/; the drawn one, mean, has both scales 1.",
    )
    rotation_axis: RotationAxis | None = Field(default=None, description="Axis about which the limb turns.")
    compartments: dict[Id, Compartment] = Field(
        default={}, description="Compartments of muscles by id, in the order in which they are told."
    )
    stretches: dict[Id, Stretch] = Field(default={}, description="Stretches by id, for what is said of a part of it.")
    level_names: Many[LevelName] = Field(default=(), description="The levels that readers meet: heights with a name.")

    def levels(self) -> dict[float, str]:
        """Return the name of each level within the region by its height, mm, proximal first."""
        named = sorted(self.level_names, key=lambda one: -one.z_mm)
        return {one.z_mm: one.name for one in named if 0 <= one.z_mm <= self.reference_length_mm}

    def asked_stretches(self) -> dict[str, Stretch]:
        """Return the stretches that a kind of question asks about."""
        return {name: stretch for name, stretch in self.stretches.items() if stretch.asked}

    def names(self) -> dict[str, tuple[str, ...]]:
        """Return the names that the region gives, by the kind as which other records refer to them."""
        return {
            "arm": tuple(self.arms),
            "landmark": tuple(self.landmarks),
            "stretch": tuple(self.stretches),
            "compartment": tuple(self.compartments),
            "direction": self.frame.directions(),
            "travel": (self.travel,),
            "kind of question": tuple(kinds_of(self.asked_stretches())),
        }

"""Records of region.yaml: the frame, the landmarks, the reference arms and the names of heights."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from generator.data.record import Height, Id, Many, Pair, Record, Sourced, StructureId, Words, fault


class Frame(Record):
    """What the numbers of a section mean."""

    arm: Literal["right", "left"] = Field(
        description="The arm that is drawn; the other is its mirror image.", examples=["right"]
    )
    pose: Words = Field(description="Pose of the forearm that is drawn.", examples=["supinated"])
    seen_from: Words = Field(description="Where the reader stands.", examples=["the hand, looking toward the elbow"])
    x: Words = Field(description="Where +x points.", examples=["ulnar"])
    y: Words = Field(description="Where +y points.", examples=["volar"])
    z: Words = Field(description="What z_mm counts.", examples=["proximal to the distal wrist crease"])
    units: Words = Field(default="mm", description="Unit of lengths.", examples=["mm"])
    note: Words | None = Field(default=None, description="Anything else.", examples=["origin near the skin's centroid"])


class Landmark(Sourced):
    """A place on the arm that can be felt or seen on a radiograph."""

    name: Words = Field(description="Name for readers.", examples=["proximal wrist crease"])
    z_mm: Height = Field(description="Height, mm.", examples=[9])
    short: Words | None = Field(default=None, description="Short name.", examples=["crease"])


class ReferenceArm(Sourced):
    """An arm as a scaling of the drawn one."""

    length_scale: Annotated[float, Field(gt=0.5, lt=2)] = Field(description="Factor on every z.", examples=[0.93])
    girth_scale: Annotated[float, Field(gt=0.5, lt=2)] = Field(description="Factor on x and y.", examples=[0.9])
    who: Words = Field(description="Whom it stands for.", examples=["a small adult"])
    name: Words | None = Field(default=None, description="Name for readers.", examples=["small arm"])


class AxisEnd(Record):
    """One end of the axis of rotation: a point, or the centre of a bone's cut."""

    z_mm: Height = Field(description="Height, mm.", examples=[240])
    bone: StructureId | None = Field(
        default=None, description="Through the centre of this bone's cut.", examples=["radius"]
    )
    at: Pair | None = Field(default=None, description="Or through this point, section frame, mm.", examples=[[-8, -6]])

    @model_validator(mode="after")
    def _one_form(self) -> AxisEnd:
        if (self.bone is None) == (self.at is None):
            raise fault("an end of the axis needs one of 'at' or 'bone'")
        return self


class RotationAxis(Sourced):
    """The axis about which the radius turns round the ulna."""

    proximal: AxisEnd = Field(description="Its end at the elbow.")
    distal: AxisEnd = Field(description="Its end at the wrist.")
    says: Words | None = Field(
        default=None, description="The axis in words.", examples=["From radial head to ulnar head."]
    )


class LevelName(Record):
    """A name readers know a height by."""

    z_mm: Height = Field(description="Height, mm.", examples=[260])
    name: Words = Field(description="Name for readers.", examples=["elbow crease"])
    id: Id | None = Field(default=None, description="Id, so that an overlay can change it.", examples=["elbow_crease"])


class RegionRecord(Sourced):
    """The region: its frame, size and landmarks."""

    id: Id = Field(default="forearm", description="Id of the region.", examples=["forearm"])
    name: Words = Field(default="forearm", description="Name of the region.", examples=["forearm"])
    frame: Frame = Field(description="What the numbers mean.")
    reference_length_mm: Annotated[float, Field(gt=0, le=600)] = Field(
        description="Elbow crease (line between the epicondyles) to distal wrist crease, mm.", examples=[260]
    )
    landmarks: dict[Id, Landmark] = Field(description="Landmarks by id.")
    arms: dict[Id, ReferenceArm] = Field(description="Reference arms by id; the drawn one has both scales 1.")
    rotation_axis: RotationAxis | None = Field(default=None, description="Axis of pronation and supination.")
    level_names: Many[LevelName] = Field(default=(), description="Heights with a name.")

"""Records of the structure catalogue: what exists, from where to where, and in which company it runs."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from pydantic import BeforeValidator, Field, model_validator

from wristward.data.records.record import (
    ArteryId,
    DirectionId,
    Height,
    Id,
    Many,
    MuscleId,
    Name,
    NerveId,
    Pair,
    Record,
    Refers,
    SheetId,
    Sourced,
    Words,
    fault,
)
from wristward.errors import quoted

CompartmentId = Annotated[str, Refers("compartment")]
_FROM = "Proximal end, z in mm."
_TO = "Distal end, z in mm."


class GoesOn(Record):
    """Whether a structure goes on beyond the ends given."""

    proximal: bool = Field(default=False, description="It goes on toward the arm.", examples=[True])
    distal: bool = Field(default=False, description="It goes on into the hand.", examples=[True])


class Fact(Sourced):
    """A sentence for readers, with its source."""

    says: Words = Field(
        description="The fact in our own words.", examples=["Passes between the two heads of the muscle."]
    )
    z_mm: Pair | None = Field(
        default=None, description="Range it holds over, [distal, proximal], mm.", examples=[[180, 206]]
    )


def _as_says(value: Any) -> Any:
    return {"says": value} if isinstance(value, str) else value


class Says(Sourced):
    """One line in our words."""

    says: Words = Field(description="The line.", examples=["Bends the joint."])


class Span(Sourced):
    """A stretch of the arm, proximal end first."""

    from_z_mm: Height = Field(description=_FROM, examples=[290])
    to_z_mm: Height = Field(description=_TO, examples=[95])

    @model_validator(mode="after")
    def _downward(self) -> Span:
        if self.to_z_mm >= self.from_z_mm:
            raise fault(
                f"to_z_mm {quoted(self.to_z_mm)} is not below from_z_mm {quoted(self.from_z_mm)} "
                "(z falls from proximal to distal)",
                key="to_z_mm",
            )
        return self


class Belly(Span):
    """The stretch with muscle fibres; ``to_z_mm`` is the last of them."""


class CourseRun(Span):
    """A stretch in one company. Gaps between runs are transitions."""

    seam: Annotated[Many[MuscleId], Field(min_length=2, max_length=2)] | None = Field(
        default=None,
        description="In the seam between these two neighbours.",
    )
    in_: Annotated[str, Refers("structure", besides=("subcutaneous",))] | None = Field(
        default=None, alias="in", description="subcutaneous, or inside this structure.", examples=["subcutaneous"]
    )
    on: SheetId | None = Field(default=None, description="On the surface of this structure.")
    side: DirectionId | None = Field(default=None, description="With on: which face.")
    free: Literal[True] | None = Field(default=None, description="In loose tissue, at the hint.", examples=[True])

    @model_validator(mode="after")
    def _one_form(self) -> CourseRun:
        given = [name for name, value in self.forms().items() if value is not None]
        if len(given) != 1:
            found = "none is given" if not given else " and ".join(f"'{name}'" for name in given) + " are given"
            raise fault(f"a course run needs one of 'free', 'in', 'on' or 'seam'; {found}")
        if self.side is not None and self.on is None:
            raise fault("'side' goes with 'on' only", key="side")
        if self.seam is not None and self.seam[0] == self.seam[1]:
            raise fault(f"a seam lies between two structures; both are '{self.seam[0]}'", key="seam")
        return self

    def forms(self) -> dict[str, Any]:
        """Return the four ways to say where it runs, by key."""
        return {"seam": self.seam, "in": self.in_, "on": self.on, "free": self.free}


class Beside(Sourced):
    """Another structure that this one keeps close to."""

    structure: ArteryId = Field(description="The structure it lies beside.")
    gap_mm: Annotated[float, Field(ge=0, le=60)] = Field(description="Gap between the two walls, mm.", examples=[0.5])
    bearing_deg: float | None = Field(
        default=None, description="Direction from the other structure; left out, the hint decides.", examples=[180]
    )
    from_z_mm: Height | None = Field(
        default=None, description=_FROM + " Left out: where this structure begins.", examples=[206]
    )
    to_z_mm: Height | None = Field(default=None, description=_TO + " Left out: where it ends.", examples=[10])
    blend_mm: Annotated[float, Field(gt=0, le=60)] | None = Field(
        default=None,
        description="Length over which the relation sets in and lets go, mm; the solver has its own.",
        examples=[15],
    )

    @model_validator(mode="after")
    def _downward(self) -> Beside:
        if self.from_z_mm is not None and self.to_z_mm is not None and self.to_z_mm >= self.from_z_mm:
            raise fault(
                f"to_z_mm {quoted(self.to_z_mm)} is not below from_z_mm {quoted(self.from_z_mm)} "
                "(z falls from proximal to distal)",
                key="to_z_mm",
            )
        return self


class Supply(Record):
    """A nerve's share in a muscle."""

    nerve: NerveId = Field(description="The nerve.")
    share: Annotated[float, Field(gt=0, le=1)] = Field(default=1.0, description="Its share.", examples=[0.5])


def _as_supply(value: Any) -> Any:
    if isinstance(value, str):
        return ({"nerve": value},)
    return tuple(value) if isinstance(value, list) else value


class _Structure(Sourced):
    """What every structure has; what some kinds say reads as nothing on the others, so that each can be asked of all."""

    name: Name = Field(description="English name, lower case.", examples=["nerve of the region"])
    latin: Name | None = Field(default=None, description="Latin name.", examples=["nervus regionis"])
    short: Name | None = Field(default=None, description="Short form for labels.", examples=["N"])
    from_z_mm: Height | None = Field(default=None, description="Present from here (proximal), z in mm.", examples=[250])
    to_z_mm: Height | None = Field(default=None, description="Present to here (distal), z in mm.", examples=[0])
    goes_on: GoesOn = Field(default=GoesOn(), description="Whether it goes on beyond these ends.")
    facts: Many[Fact] = Field(default=(), description="Facts for its page.")

    @property
    def is_group(self) -> bool:
        """Whether it only names its parts."""
        return False

    def ends_mm(self) -> tuple[float, float]:
        """Return from where to where it is present, z in mm, proximal end first.

        Raises:
            ValueError: Of a group, which has the ends of its parts.
        """
        if self.from_z_mm is None or self.to_z_mm is None:
            raise ValueError(f"{self.name} is a group and has no ends of its own")
        return self.from_z_mm, self.to_z_mm

    @model_validator(mode="after")
    def _ends(self) -> _Structure:
        if self.is_group:
            if self.from_z_mm is not None or self.to_z_mm is not None:
                raise fault("a group takes its ends from its parts (leave 'from_z_mm' and 'to_z_mm' out)")
            return self
        for key, z_mm in (("from_z_mm", self.from_z_mm), ("to_z_mm", self.to_z_mm)):
            if z_mm is None:
                raise fault(f"'{key}' is missing")
        top_mm, low_mm = self.ends_mm()
        if low_mm >= top_mm:
            raise fault(
                f"to_z_mm {quoted(self.to_z_mm)} is not below from_z_mm {quoted(self.from_z_mm)} "
                "(z falls from proximal to distal)",
                key="to_z_mm",
            )
        return self


class _NoMuscle:
    """What only muscles say, as it reads on every other structure."""

    parts: ClassVar[tuple[str, ...]] = ()
    compartment: ClassVar[str | None] = None
    supply: ClassVar[tuple[Supply, ...]] = ()
    belly: ClassVar[Belly | None] = None
    actions: ClassVar[Says | None] = None


class _NoCompanion:
    """What only tendons, nerves and vessels say, as it reads on every other structure."""

    course: ClassVar[tuple[CourseRun, ...]] = ()
    diameter_mm: ClassVar[float | None] = None
    beside: ClassVar[tuple[Beside, ...]] = ()
    partner: ClassVar[str | None] = None


class Companion(_Structure):
    """What may be placed by relation to others: tendons, nerves and vessels."""

    course: Many[CourseRun] = Field(default=(), description="Where it runs, proximal first.")
    diameter_mm: Annotated[float, Field(gt=0, le=15)] | None = Field(
        default=None, description="Diameter of one that is placed by beside alone, mm.", examples=[1.0]
    )
    beside: Many[Beside] = Field(default=(), description="Structures it keeps close to.")
    partner: ArteryId | None = Field(default=None, description="Whose gap is charted.")


class Bone(_Structure, _NoCompanion, _NoMuscle):
    """A bone."""

    part_of: ClassVar[str | None] = None

    kind: Literal["bone"] = Field(description="bone", examples=["bone"])


class Sheet(_Structure, _NoCompanion, _NoMuscle):
    """A membrane, retinaculum or aponeurosis."""

    kind: Literal["sheet"] = Field(description="sheet", examples=["sheet"])
    part_of: MuscleId | None = Field(default=None, description="The muscle it belongs to.")


class Muscle(_Structure, _NoCompanion):
    """A muscle, one head or layer of it, or a group that only names its parts."""

    kind: Literal["muscle"] = Field(description="muscle", examples=["muscle"])
    parts: Many[MuscleId] = Field(
        default=(),
        description="Makes this a group: its heads or layers. A group has no knots.",
    )
    part_of: MuscleId | None = Field(default=None, description="The group it is a head or layer of.")
    compartment: CompartmentId | None = Field(
        default=None,
        description="Where it belongs.",
    )
    supply: Annotated[
        tuple[Supply, ...], BeforeValidator(_as_supply, json_schema_input_type=NerveId | list[Supply])
    ] = Field(
        default=(),
        description="A nerve, or nerves with shares.",
    )
    belly: Belly | None = Field(default=None, description="Where it has muscle fibres.")
    stiffness: Annotated[float, Field(gt=0, le=10)] = Field(
        default=1.0, description="How hard it is to deform: 1 a belly, 2 or 3 a sheet of muscle.", examples=[1]
    )
    taper_mm: Annotated[float, Field(ge=4, le=30)] | None = Field(
        default=None,
        description="Where it begins or ends inside the region, its spine opens evenly over this many mm; "
        "left out, over 12 mm with slow ends. For wide sheets.",
        examples=[16],
    )
    actions: Annotated[Says, BeforeValidator(_as_says, json_schema_input_type=str | Says)] | None = Field(
        default=None, description="What it does, in one line.", examples=["Bends the joint."]
    )

    @property
    def is_group(self) -> bool:
        """Whether it only names its parts."""
        return bool(self.parts)


class Tendon(Companion, _NoMuscle):
    """A tendon with a place of its own."""

    kind: Literal["tendon"] = Field(description="tendon", examples=["tendon"])
    part_of: MuscleId = Field(description="The muscle it belongs to.")


class _Running(Companion, _NoMuscle):
    """A nerve or a vessel."""

    part_of: NerveId | None = Field(default=None, description="The trunk it is a branch of.")


class Nerve(_Running):
    """A nerve."""

    kind: Literal["nerve"] = Field(description="nerve", examples=["nerve"])


class Artery(_Running):
    """An artery."""

    kind: Literal["artery"] = Field(description="artery", examples=["artery"])


class Vein(_Running):
    """A vein."""

    kind: Literal["vein"] = Field(description="vein", examples=["vein"])


StructureRecord = Annotated[Bone | Sheet | Muscle | Tendon | Nerve | Artery | Vein, Field(discriminator="kind")]


class StructuresFile(Record):
    """One file of the structure catalogue."""

    structures: dict[Id, StructureRecord] = Field(description="Structures by id; ids are full names in snake_case.")

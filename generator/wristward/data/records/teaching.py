"""Records of teaching.yaml and hand_map.yaml: what the pages about blocks say beyond levels and territories.

Nothing here is a level or a share; those stand in branches.yaml and territories.yaml, and the pages compute from them.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from wristward.data.records.branch import BranchId
from wristward.data.records.practice import FindingId
from wristward.data.records.record import (
    Id,
    Many,
    MuscleId,
    Name,
    NerveId,
    Pair,
    Record,
    Refers,
    RegionHeight,
    Sourced,
    StructureId,
    Words,
)
from wristward.data.records.scenario import TerritoryId

OperationId = Annotated[str, Refers("operation")]
VariantId = Annotated[str, Refers("variant")]
Millilitres = Annotated[float, Field(gt=0, le=20)]


class SaidRecord(Sourced):
    """A statement with what it rests on."""

    says: Words = Field(description="In our own words.", examples=["Bends the tip."])


class StatementRecord(SaidRecord):
    """One of several statements on the same thing."""

    told: Id | None = Field(
        default=None,
        description="Name by which a translation says it, under told.statements; another text needs another name.",
        examples=["tied_tendons"],
    )


class SignRecord(SaidRecord):
    """A movement that tells whether one muscle works."""

    name: Name = Field(description="The muscle, as readers meet it.", examples=["name of the muscle"])
    muscle: MuscleId | None = Field(default=None, description="The muscle, where the model draws it.")
    supply: Annotated[Many[NerveId], Field(min_length=1)] = Field(
        description="Nerves it hangs on, the usual one first."
    )
    branch: BranchId | None = Field(
        default=None,
        description="Event of branches.yaml a block must stay below to spare it.",
    )
    caveats: Many[StatementRecord] = Field(default=(), description="What may mislead.")
    variants: Many[VariantId] = Field(default=(), description="Variants that mislead.")


class NerveTestRecord(Sourced):
    """What to look for after a block of one nerve."""

    lost: Many[Id] = Field(default=(), description="Signs that should be lost.", examples=[["tip_bend"]])
    remain: Many[Id] = Field(default=(), description="Signs that should remain.", examples=[["tip_stretch"]])
    notes: Many[StatementRecord] = Field(default=(), description="What else to know.")

    @property
    def signs(self) -> dict[str, tuple[str, ...]]:
        """Both lists of signs, by key."""
        return {"lost": self.lost, "remain": self.remain}


class ComputedRecord(Record):
    """A chance of the block model that goes with a statement."""

    nerve: NerveId = Field(description="The nerve that is blocked.")
    event: BranchId = Field(description="The event.")
    z_mm: RegionHeight = Field(description="Level of the injection, mm.", examples=[30])
    volume_ml: Millilitres = Field(description="Volume, mL.", examples=[3])
    asks: Literal["caught", "missed"] = Field(description="Which chance is told.", examples=["missed"])


class ReasonRecord(Sourced):
    """One way a block turns out incomplete."""

    id: Id = Field(description="Id.", examples=["branch_above"])
    says: Many[StatementRecord] = Field(description="What happens and how it shows.")
    computed: Many[ComputedRecord] = Field(default=(), description="Chances of the model beside it.")
    findings: Many[FindingId] = Field(default=(), description="Findings of branches.yaml beside it.")
    variants: Many[VariantId] = Field(default=(), description="Variants beside it.")


class AddedShapeRecord(Sourced):
    """A shape laid over a cropped section, drawn as a dashed line: what the model does not draw."""

    kind: Literal["artery", "vein"] = Field(description="What it is.", examples=["artery"])
    at: NerveId = Field(description="The structure it lies at.")
    offset_mm: Pair = Field(description="From that structure's centre, section frame, mm.", examples=[[3, 0]])
    size_mm: Pair = Field(description="Width and height, mm.", examples=[[2, 2]])
    label: Id = Field(description="Key of its name among the readers' words.", examples=["second_artery"])


class LookAlikeRecord(Sourced):
    """Two or three structures that are taken for one another, and the section that shows them."""

    id: Id = Field(description="Id.", examples=["nerve_and_tendons"])
    z_mm: RegionHeight = Field(description="Section it is drawn from, mm.", examples=[40])
    structures: Annotated[Many[StructureId], Field(min_length=1)] = Field(description="What is pointed at.")
    half_width_mm: Annotated[float, Field(ge=5, le=45)] = Field(description="Half of the picture, mm.", examples=[12])
    added: Many[AddedShapeRecord] = Field(default=(), description="Shapes laid over it.")
    variants: Many[VariantId] = Field(default=(), description="Variants shown.")
    says: Annotated[Many[StatementRecord], Field(min_length=1)] = Field(description="How they are told apart.")


class CuffTeachingRecord(Sourced):
    """Where studies of cuffs agree and differ."""

    findings: Annotated[Many[FindingId], Field(min_length=1)] = Field(description="Findings, in the order shown.")
    says: Many[StatementRecord] = Field(default=(), description="What else to know.")


class CaseRecord(Sourced):
    """One worked case: an operation of the scenario that has injections."""

    operation: OperationId = Field(description="Operation of operations.yaml.")
    says: Many[StatementRecord] = Field(default=(), description="What to think about.")


class TeachingFile(Record):
    """What the pages about blocks say."""

    signs: dict[Id, SignRecord] = Field(description="Movements by id.")
    nerves: dict[StructureId, NerveTestRecord] = Field(description="Tests by the nerve that is blocked.")
    stays: Many[StatementRecord] = Field(description="What is said of what stays and what goes.")
    stays_findings: Many[FindingId] = Field(default=(), description="Findings on the page of what stays.")
    cuff: CuffTeachingRecord = Field(description="Cuffs.")
    reasons: Many[ReasonRecord] = Field(description="Ways a block turns out incomplete.")
    look_alikes: Many[LookAlikeRecord] = Field(description="Structures taken for one another.")
    cases: Many[CaseRecord] = Field(description="Worked cases, in the order shown.")
    signposts: Annotated[Many[Id], Field(min_length=1)] = Field(
        description="Headings of the page on complications; words alone.", examples=[["systemic_toxicity"]]
    )


class HandMapFile(Sourced):
    """The drawing of a hand: nodes, smooth chains through them, and territories as ways round the nodes."""

    parts: Annotated[Many[Id], Field(min_length=1)] = Field(
        description="Parts of territories.yaml whose skin it shows, all of it.", examples=[["front", "back"]]
    )
    signs: dict[NerveId, Annotated[str, Field(pattern="^[a-z]$")]] = Field(
        description="Letter of each nerve that serves this skin; its colour and its hatch go by their order.",
        examples=[{"a_nerve": "a", "another_nerve": "b"}],
    )
    nodes: dict[Id, Pair] = Field(description="Named points: x toward the thumb, y toward the fingertips.")
    chains: dict[Id, Annotated[Many[str | Pair], Field(min_length=2)]] = Field(
        description="Smooth lines: names of nodes, and further points between them.",
        examples=[{"outer_line": ["first_node", [52, 59], "second_node"]}],
    )
    outline: Annotated[Many[Id], Field(min_length=3)] = Field(description="The way round the whole hand.")
    palm: dict[TerritoryId, Annotated[Many[Id], Field(min_length=2)]] = Field(description="Territories of the palm.")
    back: dict[TerritoryId, Annotated[Many[Id], Field(min_length=2)]] = Field(description="Territories of the back.")

    @property
    def views(self) -> dict[str, dict[str, tuple[str, ...]]]:
        """Both sides of the hand, by key."""
        return {"palm": self.palm, "back": self.back}

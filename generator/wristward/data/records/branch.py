"""Records of branches.yaml: where nerves branch, enter, pierce and cross, study by study and pooled.

Heights are ``z_mm`` of the reference forearm. What a level is worth is said three times: as published, converted,
and pooled; the pooled value never stands without the studies it was made from.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field, model_validator

from wristward.data.records.practice import FindingId, PracticeRecord
from wristward.data.records.record import (
    Height,
    Id,
    Many,
    Millilitres,
    MuscleId,
    NerveId,
    Pair,
    Record,
    Refers,
    Sourced,
    StructureId,
    Words,
    fault,
)
from wristward.data.records.spread import DecreasingRecord, WorkingRecord
from wristward.errors import quoted

BranchId = Annotated[str, Refers("branch")]
LandmarkId = Annotated[str, Refers("landmark")]
Share = Annotated[float, Field(ge=0, le=1)]
Event = Literal[
    "take_off", "parting", "entry", "branch_point", "piercing", "crossing", "meeting", "emergence", "division", "end"
]
Method = Literal["dissection", "ultrasound", "electromyography", "meta_analysis", "operation", "clinical_block", "text"]


class AsPublished(Record):
    """A level as the study printed it, before any conversion."""

    value: float | None = Field(default=None, description="Mean, in the study's own unit.", examples=[4.56])
    sd: Annotated[float, Field(gt=0)] | None = Field(default=None, description="SD, same unit.", examples=[0.9])
    range: Pair | None = Field(default=None, description="[lowest, highest], same unit.", examples=[[4.0, 8.0]])
    unit: Literal["cm", "percent"] = Field(default="cm", description="Unit of the three.", examples=["cm"])
    of_cm: Annotated[float, Field(gt=0)] | None = Field(
        default=None, description="With percent: the length it is a share of, cm.", examples=[24.1]
    )
    landmark: LandmarkId | None = Field(default=None, description="Landmark of region.yaml it was measured from.")
    to: Literal["proximal", "distal"] | None = Field(
        default=None, description="Which way from it.", examples=["proximal"]
    )

    def converted_mm(self, landmark_z_mm: float) -> float | None:
        """Return z_mm of the value, mm, or None where there is no value or no direction."""
        if self.value is None or self.to is None or (self.unit == "percent" and self.of_cm is None):
            return None
        length_mm = self.value * 10 if self.unit == "cm" else self.value / 100 * (self.of_cm or 0) * 10
        return landmark_z_mm + length_mm if self.to == "proximal" else landmark_z_mm - length_mm


class StudyRecord(Sourced):
    """What one study says of one event."""

    id: Id = Field(description="Id within the event.", examples=["bezerra"])
    published: AsPublished | None = Field(default=None, description="The level as printed.")
    z_mm: Height | None = Field(default=None, description="Converted mean, mm.", examples=[45.6])
    sd_mm: Annotated[float, Field(gt=0)] | None = Field(default=None, description="Converted SD, mm.", examples=[9])
    range_mm: Pair | None = Field(default=None, description="Converted [lowest, highest], mm.", examples=[[52, 92]])
    prevalence: Share | None = Field(default=None, description="Share of limbs that have it.", examples=[0.9])
    n: Annotated[int, Field(gt=0)] | None = Field(default=None, description="How many were looked at.", examples=[50])
    of: Id = Field(default="limbs", description="What n counts; its words are teach.of.*.", examples=["limbs"])
    population: Words | None = Field(default=None, description="Who they were, where it was read.", examples=["men"])
    method: Method | None = Field(
        default=None, description="How it was measured, where it was read.", examples=["ultrasound"]
    )
    conversion: Words | None = Field(
        default=None, description="How z_mm was made, where it is more than landmark and distance.", examples=["middle"]
    )
    says: Words | None = Field(default=None, description="What it found, where that is no level.", examples=["3 of 20"])

    @model_validator(mode="after")
    def _says_something(self) -> StudyRecord:
        if self.z_mm is None and self.range_mm is None and self.prevalence is None and self.says is None:
            raise fault("a study needs one of 'z_mm', 'range_mm', 'prevalence' or 'says'")
        _rising(self.range_mm, "range_mm")
        return self


class ThirdsRecord(Sourced):
    """How many limbs had the event in each third of the forearm."""

    distal: Annotated[int, Field(ge=0)] = Field(description="Limbs in the distal third.", examples=[2])
    middle: Annotated[int, Field(ge=0)] = Field(description="Limbs in the middle third.", examples=[14])
    proximal: Annotated[int, Field(ge=0)] = Field(description="Limbs in the proximal third.", examples=[14])


class BranchRecord(Sourced):
    """One event along a nerve: the pooled level, how it was pooled, and the studies behind it."""

    sheet_row: Words | None = Field(
        default=None, description="Id in the number sheet's list of distributions, where it has one.", examples=["pcb"]
    )
    parent: NerveId = Field(description="The nerve it happens to.")
    branch: NerveId | None = Field(default=None, description="The branch, where it is drawn.")
    muscles: Many[MuscleId] = Field(default=(), description="Muscles it goes to.")
    event: Event = Field(
        description="What happens: leaving the trunk is take_off, no longer running beside it parting, entering a muscle entry.",
        examples=["take_off"],
    )
    mean_z_mm: Height = Field(description="Mean before truncation, mm.", examples=[53])
    sd_mm: Annotated[float, Field(gt=0, le=100)] = Field(description="SD before truncation, mm.", examples=[15])
    min_z_mm: Height = Field(description="Lowest, mm.", examples=[20])
    max_z_mm: Height = Field(description="Highest, mm.", examples=[110])
    prevalence: Annotated[float, Field(gt=0, le=1)] = Field(description="Share of limbs that have it.", examples=[0.98])
    if_absent: Literal["nothing", "above"] = Field(
        default="nothing",
        description="What a limb without it means: there is nothing to catch, or it happened above the region.",
        examples=["nothing"],
    )
    present_with: BranchId | None = Field(
        default=None,
        description="It is there just where this other event is.",
    )
    beside_trunk_until: BranchId | None = Field(
        default=None,
        description="Event to which the branch runs beside or within reach of its trunk: its parting, or what was measured nearest to it.",
    )
    pooled: Words = Field(description="How the pooled value was made.", examples=["n-weighted after conversion"])
    disagreement: Words | None = Field(
        default=None, description="Why studies differ.", examples=["two different events"]
    )
    studies: Many[StudyRecord] = Field(description="Each study; ids are unique within the event.")
    thirds: ThirdsRecord | None = Field(
        default=None, description="Counts by thirds of the forearm, where a study has those and no mean."
    )
    interval: ClassVar[tuple[float, float] | None] = None
    """Said of variants alone."""

    @model_validator(mode="after")
    def _ordered(self) -> BranchRecord:
        if not self.min_z_mm <= self.mean_z_mm <= self.max_z_mm or self.min_z_mm == self.max_z_mm:
            raise fault(
                f"min_z_mm {quoted(self.min_z_mm)}, mean_z_mm {quoted(self.mean_z_mm)} and max_z_mm "
                f"{quoted(self.max_z_mm)} must rise in this order"
            )
        return self


class OrderRecord(Sourced):
    """Events that follow one another from proximal to distal in every limb."""

    id: Id = Field(description="Id of the order.", examples=["first_then_last"])
    chain: Annotated[Many[BranchId], Field(min_length=2)] = Field(
        description="Events, the most proximal first.",
    )


class AlternativeRecord(Sourced):
    """Events of which a limb has at most one."""

    id: Id = Field(description="Id of the group.", examples=["high_or_low"])
    of: Annotated[Many[BranchId], Field(min_length=2)] = Field(description="The events.")


class BlockRecord(Sourced):
    """What a block of one nerve wants to catch, and what it wants to spare."""

    wanted: Annotated[Many[BranchId], Field(min_length=1)] = Field(description="Take-offs to catch.")
    unwanted: Many[BranchId] = Field(default=(), description="Take-offs to spare.")
    decisive: Many[BranchId] = Field(
        default=(), description="Of the unwanted, the group whose sparing the number sheet tabulates by itself."
    )
    apart: Many[BranchId] = Field(default=(), description="Shown, but in neither demand.")
    beside: Many[BranchId] = Field(default=(), description="Other events readers should see on the same axis.")
    scan: Many[FindingId] = Field(
        default=(), description="Findings on what ultrasound shows before a window is trusted."
    )


class SpreadRecord(Sourced):
    """How long a stretch of nerve the injectate wets: an assumption, shown and adjustable."""

    base_mm: Annotated[float, Field(ge=0, le=200)] = Field(description="Length without volume, mm.", examples=[25])
    per_ml_mm: Annotated[float, Field(ge=0, le=50)] = Field(description="Length for each mL, mm.", examples=[8])
    sd_mm: Annotated[float, Field(ge=0, le=60)] = Field(description="SD between injections, mm.", examples=[15])
    volumes_ml: Many[float] = Field(description="Volumes of the tables, mL, rising.", examples=[[1, 3, 5]])
    default_ml: Millilitres = Field(description="Volume shown first, mL.", examples=[5])
    wanted_at_least: Share = Field(description="Chance asked of catching, for a window.", examples=[0.9])
    spared_at_least: Share = Field(description="Chance asked of sparing, for a window.", examples=[0.9])
    decreasing: DecreasingRecord | None = Field(
        default=None, description="The other assumption: each further mL wets less than the one before."
    )
    working: WorkingRecord | None = Field(
        default=None, description="How often a nerve that is caught is blocked, by volume."
    )

    @model_validator(mode="after")
    def _rising_volumes(self) -> SpreadRecord:
        if any(a >= b for a, b in zip(self.volumes_ml, self.volumes_ml[1:], strict=False)) or min(self.volumes_ml) <= 0:
            raise fault("volumes_ml must be more than 0 and rise")
        return self


class VariantRecord(Sourced):
    """An anatomical variant that changes what a block does."""

    nerves: Many[NerveId] = Field(description="Nerves concerned.")
    branches: Many[BranchId] = Field(default=(), description="Events concerned.")
    prevalence: Share = Field(description="Share shown first.", examples=[0.195])
    interval: Pair | None = Field(default=None, description="[lowest, highest] published.", examples=[[0.162, 0.231]])
    changes: Words = Field(
        description="What changes, in our own words.", examples=["Hand muscles of both nerves may be lost."]
    )
    changes_source: Annotated[str, Refers("source")] = Field(
        description="Where that is from.", examples=["common_practice"]
    )
    studies: Many[StudyRecord] = Field(description="Each study.")
    disagreement: ClassVar[str | None] = None
    """Said of events alone."""


class FindingRecord(Sourced):
    """A published finding the block pages quote and the tests hold the model to, where it is no level."""

    says: Words = Field(description="The finding in our own words.", examples=["Grip fell by 21.4 %."])
    value: float | None = Field(default=None, description="Its number.", examples=[0.214])
    n: Annotated[int, Field(gt=0)] | None = Field(default=None, description="How many.", examples=[14])


class BranchesFile(Record):
    """Levels of branches, what blocks want, and the spread assumed."""

    branches: dict[Id, BranchRecord] = Field(description="Events by id.")
    orders: Many[OrderRecord] = Field(default=(), description="Orders that hold in every limb.")
    alternatives: Many[AlternativeRecord] = Field(default=(), description="Events that exclude each other.")
    blocks: dict[StructureId, BlockRecord] = Field(description="Blocks by the nerve that is blocked.")
    spread: SpreadRecord = Field(description="The assumption on the injectate.")
    example: Many[BranchId] = Field(
        default=(),
        description="Events of one branch, of different kinds, by which a page shows that they are not the same.",
    )
    spared_finding: FindingId | None = Field(
        default=None, description="Finding that is told wherever muscles are called spared."
    )
    practice: Many[PracticeRecord] = Field(
        default=(), description="Statements of common practice, and what is held against them."
    )
    variants: dict[Id, VariantRecord] = Field(default={}, description="Variants by id.")
    findings: dict[Id, FindingRecord] = Field(default={}, description="Other published findings.")


def _rising(pair: tuple[float, float] | None, name: str) -> None:
    if pair is not None and pair[0] > pair[1]:
        raise fault(f"{name} goes from {quoted(pair[0])} down to {quoted(pair[1])} (allowed: [lowest, highest])")

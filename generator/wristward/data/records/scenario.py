"""Records of territories.yaml, operations.yaml and drugs.yaml: what is supplied by what, what an operation of the
scenario needs, and what labels print.

Nothing here knows a patient: the people of the scenario are made up, and their numbers are fixed in the file.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from wristward.data.records.branch import BranchId
from wristward.data.records.record import Id, Many, Name, NerveId, Record, Refers, RegionHeight, Sourced, Words, fault
from wristward.errors import quoted

TerritoryId = Annotated[str, Refers("territory")]
FactorId = Annotated[str, Refers("factor")]
DrugId = Annotated[str, Refers("drug")]
Share = Annotated[float, Field(ge=0, le=1)]


class SupplyRecord(Record):
    """One nerve's share of a territory."""

    nerve: NerveId = Field(description="The nerve that is blocked.")
    share: Annotated[float, Field(gt=0, le=1)] = Field(description="Its share of the territory.", examples=[0.5])
    by: BranchId | None = Field(
        default=None,
        description="Event the block must lie above for this share.",
    )


class PatternRecord(Sourced):
    """The supply in hands with certain variants."""

    when: dict[FactorId, Id] = Field(description="Factor → alternative; all must hold.")
    supply: Annotated[Many[SupplyRecord], Field(min_length=1)] = Field(description="Supply in these hands.")

    @model_validator(mode="after")
    def _whole(self) -> PatternRecord:
        _whole_supply(self.supply)
        return self


class TerritoryRecord(Sourced):
    """A patch of skin, or something deep to it, and the nerves that serve it."""

    layer: Literal["skin", "deep"] = Field(description="Skin is kept apart from what is deep.", examples=["skin"])
    part: Id = Field(description="Where it is: one of the file's parts.", examples=["back"])
    kind: Literal["skin", "bone", "joint", "muscle", "tendon", "ligament", "periosteum"] = Field(
        default="skin", description="What it is.", examples=["joint"]
    )
    supply: Annotated[Many[SupplyRecord], Field(min_length=1)] = Field(
        description="Supply where no variant says otherwise."
    )
    variants: Many[PatternRecord] = Field(default=(), description="Other supplies; the first that holds counts.")

    @model_validator(mode="after")
    def _fits(self) -> TerritoryRecord:
        if (self.layer == "skin") != (self.kind == "skin"):
            raise fault(
                f"kind is {quoted(self.kind)} in layer {quoted(self.layer)} (allowed: 'skin' with layer 'skin')"
            )
        _whole_supply(self.supply)
        return self


class FactorRecord(Sourced):
    """A way hands differ: alternatives whose shares add up to 1. Factors are taken as independent."""

    alternatives: Annotated[dict[Id, Share], Field(min_length=2)] = Field(
        description="Share of hands by alternative.", examples=[{"overlap": 0.71, "none": 0.29}]
    )
    says: Words = Field(description="What differs, in our own words.", examples=["Nerves share the skin."])
    counted: Annotated[int, Field(gt=0)] | None = Field(
        default=None,
        description="Hands that were looked at; left out where the shares were not counted.",
        examples=[93],
    )

    @model_validator(mode="after")
    def _adds_up(self) -> FactorRecord:
        total = sum(self.alternatives.values())
        if abs(total - 1) > 1e-6:
            raise fault(f"the shares of alternatives add up to {quoted(round(total, 6))}, must be 1")
        return self


class TerritoriesFile(Record):
    """Territories, and how hands differ."""

    factors: dict[Id, FactorRecord] = Field(default={}, description="Variant factors by id.")
    parts: Annotated[Many[Id], Field(min_length=1)] = Field(
        description="Parts of the limb that territories lie in.", examples=[["front", "back"]]
    )
    territories: dict[Id, TerritoryRecord] = Field(description="Territories by id.")
    patch_at_least: Annotated[float, Field(gt=0, lt=1)] = Field(
        description="Shares below this leave no patch worth the name.", examples=[0.05]
    )
    cuffs: dict[Id, CuffRecord] = Field(default={}, description="What a cuff presses on, by site.")


class CuffRecord(Sourced):
    """What lies under a cuff."""

    territories: Many[TerritoryId] = Field(default=(), description="Skin under it, where it is a territory.")
    nerves_above: Many[Id] = Field(
        default=(),
        description="Nerves under it that no block of the model reaches; words only, under teach.above.*.",
    )
    says: Words = Field(description="In our own words.", examples=["Presses on the muscles under it."])


class CuffUseRecord(Record):
    """The cuff of an operation."""

    site: Id = Field(description="Where it is, or none; its words are teach.cuff_site.*.", examples=["none"])
    minutes: Annotated[float, Field(ge=0, le=180)] = Field(description="How long in the scenario, min.", examples=[15])

    @model_validator(mode="after")
    def _fits(self) -> CuffUseRecord:
        if (self.site == "none") != (self.minutes == 0):
            raise fault(
                f"minutes is {quoted(self.minutes)} with site {quoted(self.site)} (allowed: 0 with site 'none' only)"
            )
        return self


class InjectionRecord(Record):
    """One injection of the scenario."""

    nerve: NerveId = Field(description="Nerve.")
    drug: DrugId = Field(description="Drug of drugs.yaml.")
    percent: Annotated[float, Field(gt=0, le=5)] = Field(description="Strength, %.", examples=[1])
    volume_ml: Annotated[float, Field(gt=0, le=20)] = Field(description="Volume, mL.", examples=[5])
    with_adrenaline: bool = Field(default=False, description="Mixed with adrenaline.", examples=[False])
    level_mm: RegionHeight | None = Field(default=None, description="Level of the story, z mm.", examples=[70])


class OperationRecord(Sourced):
    """One entry of the made-up list: what it touches, and the cuff."""

    skin: Annotated[Many[TerritoryId], Field(min_length=1)] = Field(description="Skin that is cut or stitched.")
    deep: Many[TerritoryId] = Field(default=(), description="What is touched below the skin.")
    cuff: CuffUseRecord = Field(description="The cuff.")
    person_kg: Annotated[float, Field(gt=0, le=250)] | None = Field(
        default=None, description="Weight of the made-up person, where the story gives one, kg.", examples=[70]
    )
    injections: Many[InjectionRecord] = Field(default=(), description="Injections of the story.")


class OperationsFile(Record):
    """A made-up list of operations."""

    covered_at_least: Annotated[float, Field(gt=0, le=1)] = Field(
        description="Share of hands without an uncovered patch that the smallest set must reach.", examples=[0.95]
    )
    operations: dict[Id, OperationRecord] = Field(description="Operations by id.")


class LimitRecord(Sourced):
    """A maximum as printed, with the label or guideline that prints it."""

    id: Id = Field(description="Id within the drug.", examples=["united_states"])
    label: Words = Field(description="The label or guideline, in words.", examples=["United States label"])
    adrenaline: bool = Field(description="Whether it is for the drug with adrenaline.", examples=[False])
    mg_per_kg: Annotated[float, Field(gt=0)] | None = Field(
        default=None, description="mg/kg; the upper one of a range.", examples=[4.5]
    )
    mg_per_kg_low: Annotated[float, Field(gt=0)] | None = Field(
        default=None, description="The lower one of a range.", examples=[5]
    )
    mg: Annotated[float, Field(gt=0)] | None = Field(default=None, description="Absolute, mg.", examples=[300])
    mg_low: Annotated[float, Field(gt=0)] | None = Field(
        default=None, description="The lower one of a range.", examples=[175]
    )
    mg_per_day: Annotated[float, Field(gt=0)] | None = Field(default=None, description="In 24 h, mg.", examples=[400])
    use: Words | None = Field(
        default=None, description="What it is printed for, where that is said.", examples=["major block"]
    )

    @model_validator(mode="after")
    def _printed(self) -> LimitRecord:
        if self.mg_per_kg is None and self.mg is None and self.mg_per_day is None:
            raise fault("a limit needs one of 'mg_per_kg', 'mg' or 'mg_per_day'")
        return self


class DrugRecord(Sourced):
    """A local anaesthetic."""

    name: Name = Field(description="Name.", examples=["name of the drug"])
    limits: Annotated[Many[LimitRecord], Field(min_length=1)] = Field(description="Printed limits.")


class DrugsFile(Record):
    """Printed limits of drugs."""

    drugs: dict[Id, DrugRecord] = Field(description="Drugs by id.")
    adrenaline_ug_per_ml: Annotated[float, Field(gt=0)] = Field(description="Of 1:200,000, µg/mL.", examples=[5])
    mg_per_ml_per_percent: Annotated[float, Field(gt=0)] = Field(description="1 % is 1 g in 100 mL.", examples=[10])
    caveat: LimitCaveat = Field(description="What is said against such maxima.")


class LimitCaveat(Sourced):
    """What is said against printed maxima."""

    says: Words = Field(description="In our own words.", examples=["Maxima lack trial evidence."])


TerritoriesFile.model_rebuild()
DrugsFile.model_rebuild()


def _whole_supply(supply: tuple[SupplyRecord, ...]) -> None:
    total = sum(part.share for part in supply)
    if abs(total - 1) > 1e-6:
        raise fault(f"the shares of supply add up to {quoted(round(total, 6))}, must be 1")

"""Records of what is assumed of the spread of an injectate, and of how often a caught nerve is blocked, in branches.yaml.

Each number that was not measured on a forearm carries how far it may lie off, and what it leans on.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from wristward.data.records.record import Many, Pair, Record, Sourced, Words, fault
from wristward.errors import quoted


class LeansOnRecord(Sourced):
    """A published finding that a prior leans on: another nerve or another species, or a series of blocks."""

    says: Words = Field(
        description="What it found, on which nerve, in our own words.", examples=["25.4 mm with 0.1 mL"]
    )
    n: Annotated[int, Field(gt=0)] | None = Field(default=None, description="How many.", examples=[17])
    volume_ml: Annotated[float, Field(gt=0, le=100)] | None = Field(
        default=None, description="Volume a nerve, mL, where blocks were counted.", examples=[4]
    )
    worked: Annotated[int, Field(ge=0)] | None = Field(
        default=None, description="How many of n were blocked.", examples=[14]
    )


class PriorRecord(Record):
    """A number and how far it may lie off."""

    value: Annotated[float, Field(gt=0)] = Field(description="Used where one number is needed.", examples=[38])
    off_by: Annotated[float, Field(ge=0)] | None = Field(default=None, description="SD round it.", examples=[0.1])
    off_by_factor: Annotated[float, Field(ge=1)] | None = Field(
        default=None, description="One SD up or down multiplies or divides by this.", examples=[1.22]
    )

    @model_validator(mode="after")
    def _one_of_both(self) -> PriorRecord:
        if (self.off_by is None) == (self.off_by_factor is None):
            raise fault("a prior needs one of 'off_by' or 'off_by_factor'")
        return self


class DecreasingRecord(Sourced):
    """Length wetted against volume with a decreasing gain: (first_ml_mm) times (volume to the power of exponent)."""

    first_ml_mm: PriorRecord = Field(description="Mean length with 1 mL, mm.")
    exponent: PriorRecord = Field(description="Power of the volume, below 1.")
    limb_cv: PriorRecord = Field(description="How much limbs differ, share of the length.")
    evenness: Annotated[float, Field(gt=0, le=1000)] = Field(
        description="Both parameters of the beta distribution of the share above the needle.", examples=[6]
    )
    placement_sd_mm: Annotated[float, Field(ge=0, le=30)] = Field(
        description="SD of the needle's level, mm.", examples=[5]
    )
    least_mm: Pair = Field(
        description="[least, most] stretch that must be wetted, mm, evenly between.", examples=[[5, 15]]
    )
    barrier_mm: float = Field(description="Height below which nothing runs, z_mm.", examples=[0])
    turned_back: Annotated[float, Field(ge=0, le=1)] = Field(
        description="Share of what the barrier stops that runs up instead.", examples=[0]
    )
    leans_on: Many[LeansOnRecord] = Field(description="What the numbers lean on.")

    @model_validator(mode="after")
    def _fits(self) -> DecreasingRecord:
        if not 0 <= self.least_mm[0] <= self.least_mm[1]:
            raise fault(f"least_mm is {quoted(list(self.least_mm))}, must rise from 0 or more")
        if self.exponent.value > 1:
            raise fault(f"exponent is {quoted(self.exponent.value)}, must be at most 1: the gain decreases")
        return self


class WorkingRecord(Sourced):
    """How often a nerve that is caught is blocked, by volume: log-logistic."""

    half_ml: PriorRecord = Field(description="Volume at which half are blocked, mL.")
    steepness: PriorRecord = Field(description="Power of the volume in the odds.")
    leans_on: Many[LeansOnRecord] = Field(description="Blocks that were counted, and the least volumes found.")

"""Statements of common practice about blocks, each with what the model's windows are held against.

A kind of comparison is a record here and a function of ``pages/blocks/practice.py``; what it compares is data.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from wristward.data.records.record import Many, Record, Refers, StructureId

FindingId = Annotated[str, Refers("finding")]
Nerves = Annotated[Many[StructureId], Field(min_length=1)]


class _Statement(Record):
    """A statement of practice: a finding, and its words under ``block_levels.practice``."""

    finding: FindingId = Field(description="The statement, as a finding of this file.")


class LieIn(_Statement):
    """Windows are said to lie in a stretch."""

    kind: Literal["lie_in"] = Field(description="lie_in", examples=["lie_in"])
    nerves: Nerves = Field(description="Nerves with a block, whose windows are meant.")
    stretch: Annotated[str, Refers("stretch")] = Field(
        description="The stretch of region.yaml they are said to lie in."
    )


class MoreSparesFewer(_Statement):
    """More volume is said to spare the muscles in fewer arms."""

    kind: Literal["more_spares_fewer"] = Field(description="more_spares_fewer", examples=["more_spares_fewer"])
    nerve: StructureId = Field(description="Nerve with a block, at the best level of its window.")
    other: StructureId = Field(description="Another, at the mean height of the take-off that is wanted.")


class BeginsAbove(_Statement):
    """A window is said to begin above the take-off that is wanted."""

    kind: Literal["begins_above"] = Field(description="begins_above", examples=["begins_above"])
    nerve: StructureId = Field(description="Nerve with a block, whose window is meant.")


class ReachHigher(_Statement):
    """Windows are said to reach higher than another."""

    kind: Literal["reach_higher"] = Field(description="reach_higher", examples=["reach_higher"])
    nerves: Nerves = Field(description="Nerves with a block, whose windows are meant.")
    than: StructureId = Field(description="The nerve whose window they are compared with.")


PracticeRecord = Annotated[LieIn | MoreSparesFewer | BeginsAbove | ReachHigher, Field(discriminator="kind")]


def nerves_of(statement: Record) -> dict[tuple[str | int, ...], str]:
    """Return the nerves that a statement speaks of, by their path in it."""
    found: dict[tuple[str | int, ...], str] = {}
    for key in ("nerves", "nerve", "other", "than"):
        value = getattr(statement, key, ())
        found |= {(key,): value} if isinstance(value, str) else {(key, k): one for k, one in enumerate(value)}
    return found

"""Records of relations.yaml: facts that must hold over ranges of z, each of one kind.

What may be claimed stands in ``relation_kinds``; a kind is a key of ``RelationRecord``, in one row.
"""

from __future__ import annotations

from typing import Any, get_args

from pydantic import Field, model_validator

from wristward.data.records import relation_kinds as kinds
from wristward.data.records.record import Id, Many, Pair, Record, Sourced, Words, fault
from wristward.errors import quoted


def _claim(kind: type[Record]) -> Any:
    """Return the field of a kind, described as its record is."""
    return Field(default=None, description=(kind.__doc__ or "").strip().splitlines()[0])


class _Stated(Sourced):
    """What every relation says, whatever its kind."""

    id: Id = Field(description="Id of the fact.", examples=["nerve_between_heads"])
    says: Words = Field(
        description="The fact in our own words.",
        examples=["The nerve lies between the two heads of the muscle."],
    )
    z_mm: Pair = Field(description="[lowest, highest] height it holds at, mm.", examples=[[180, 206]])
    transitions: Many[Pair] = Field(
        default=(),
        description="Ranges next to z_mm over which it sets in or lets go and is not asked.",
        examples=[[[206, 215]]],
    )


class RelationRecord(_Stated):
    """A fact of the anatomy that the sections are held to."""

    absent: kinds.Absent | None = _claim(kinds.Absent)
    between: kinds.Between | None = _claim(kinds.Between)
    centre_distance: kinds.CentreDistance | None = _claim(kinds.CentreDistance)
    clear_of: kinds.ClearOf | None = _claim(kinds.ClearOf)
    contents: kinds.Contents | None = _claim(kinds.Contents)
    deep_to: kinds.DeepTo | None = _claim(kinds.DeepTo)
    depth: kinds.Depth | None = _claim(kinds.Depth)
    fascia_gap: kinds.FasciaGap | None = _claim(kinds.FasciaGap)
    gap: kinds.Gap | None = _claim(kinds.Gap)
    in_seam: kinds.InSeam | None = _claim(kinds.InSeam)
    inside: kinds.Inside | None = _claim(kinds.Inside)
    on_every_line: kinds.OnEveryLine | None = _claim(kinds.OnEveryLine)
    order: kinds.Order | None = _claim(kinds.Order)
    outside_fascia: kinds.OutsideFascia | None = _claim(kinds.OutsideFascia)
    present: kinds.Present | None = _claim(kinds.Present)
    ring_order: kinds.RingOrder | None = _claim(kinds.RingOrder)
    side: kinds.Side | None = _claim(kinds.Side)
    skin_share: kinds.SkinShare | None = _claim(kinds.SkinShare)
    subfascial: kinds.Subfascial | None = _claim(kinds.Subfascial)
    touches: kinds.Touches | None = _claim(kinds.Touches)

    @model_validator(mode="after")
    def _whole(self) -> RelationRecord:
        given = [key for key in RELATION_KINDS if getattr(self, key) is not None]
        if len(given) != 1:
            found = "none is given" if not given else " and ".join(f"'{key}'" for key in given) + " are given"
            raise fault(f"a relation needs one kind; {found} (allowed: {', '.join(sorted(RELATION_KINDS))})")
        for key, ranges in (("z_mm", (self.z_mm,)), ("transitions", self.transitions)):
            for low, high in ranges:
                if low > high:
                    text = f"{key} goes from {quoted(low)} down to {quoted(high)} (allowed: [lowest, highest])"
                    raise fault(text, key=key)
        return self

    @property
    def kind(self) -> str:
        """The key of its kind."""
        return next(key for key in RELATION_KINDS if getattr(self, key) is not None)

    @property
    def claim(self) -> Record:
        """The record of its kind."""
        claim: Record = getattr(self, self.kind)
        return claim


RELATION_KINDS: dict[str, type[Record]] = {
    key: get_args(info.annotation)[0]
    for key, info in RelationRecord.model_fields.items()
    if key not in _Stated.model_fields
}
"""Key in relations.yaml to the record of its claim."""


class RelationsFile(Record):
    """Facts that must hold."""

    relations: Many[RelationRecord] = Field(description="The facts; each has an id of its own.")

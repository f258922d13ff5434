"""Records of relations.yaml: facts that must hold over ranges of z, each of one kind.

The kinds and their records stand in ``relation_kinds``; this module makes each of them a key of a relation.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, create_model, model_validator

from wristward.data.records.record import Id, Many, Pair, Record, Sourced, Words, fault
from wristward.data.records.relation_kinds import KINDS
from wristward.errors import quoted


class _Relation(Sourced):
    """A fact of the anatomy that the sections are held to."""

    id: Id = Field(description="Id of the fact.", examples=["median_between_pronator_heads"])
    says: Words = Field(
        description="The fact in our own words.",
        examples=["The median nerve lies between the heads of pronator teres."],
    )
    z_mm: Pair = Field(description="[lowest, highest] height it holds at, mm.", examples=[[180, 206]])
    transitions: Many[Pair] = Field(
        default=(),
        description="Ranges next to z_mm over which it sets in or lets go and is not asked.",
        examples=[[[206, 215]]],
    )

    @model_validator(mode="after")
    def _whole(self) -> _Relation:
        given = [key for key in KINDS if getattr(self, key) is not None]
        if len(given) != 1:
            found = "none is given" if not given else " and ".join(f"'{key}'" for key in given) + " are given"
            raise fault(f"a relation needs one kind; {found} (allowed: {', '.join(sorted(KINDS))})")
        for key, ranges in (("z_mm", (self.z_mm,)), ("transitions", self.transitions)):
            for low, high in ranges:
                if low > high:
                    text = f"{key} goes from {quoted(low)} down to {quoted(high)} (allowed: [lowest, highest])"
                    raise fault(text, key=key)
        return self

    @property
    def kind(self) -> str:
        """Return the key of its kind."""
        return next(key for key in KINDS if getattr(self, key) is not None)

    @property
    def asks(self) -> Any:
        """Return the record of its kind."""
        return getattr(self, self.kind)


RelationRecord = create_model(
    "RelationRecord",
    __base__=_Relation,
    __doc__=_Relation.__doc__,
    __module__=__name__,
    **{
        key: (
            Annotated[kind | None, Field(description=(kind.__doc__ or key).strip().splitlines()[0])],
            None,
        )
        for key, kind in KINDS.items()
    },
)


class RelationsFile(Record):
    """Facts that must hold."""

    relations: Many[RelationRecord] = Field(description="The facts; each has an id of its own.")

"""Which nerves an operation of the scenario needs, and how surely: the same for the command, the pages and the tests."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from wristward.block.coverage import (
    best_covers,
    hand_kinds,
    hands,
    needed_in,
    smallest_cover,
    uncovered_without,
)
from wristward.data.dataset import Dataset
from wristward.errors import one_of

DIGITS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportedTerritory:
    """A territory and what readers call it."""

    id: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NeededNerve:
    """A nerve that some hand needs."""

    nerve: str
    name: str
    needed_in: float
    """Share of hands that need it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandKind:
    """A kind of hand: how common it is, and what it needs."""

    chance: float
    nerves: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NerveSet:
    """Nerves blocked together, and the share of hands that they cover."""

    nerves: tuple[str, ...]
    covered: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOffAbove:
    """A take-off that a block has to lie above in some hand."""

    nerve: str
    event: str
    name: str
    needed_in: float
    """Share of hands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerCover:
    """What covers one layer of an operation. Shares are 0 to 1."""

    territories: tuple[ReportedTerritory, ...]
    nerves: tuple[NeededNerve, ...]
    kinds: tuple[HandKind, ...]
    best: tuple[NerveSet, ...]
    """The best set of each size."""

    smallest: NerveSet
    """The smallest that reaches the demand."""

    left_out: Mapping[str, float]
    """Share of hands with an uncovered patch if one nerve of ``smallest`` is missing."""

    above: tuple[TakeOffAbove, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportedCuff:
    """The cuff of an operation, and what it presses on."""

    site: str
    minutes: float
    territories: tuple[str, ...]
    nerves_above: tuple[str, ...]
    says: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageReport:
    """What an operation needs."""

    operation: str
    name: str
    source: str | None
    covered_at_least: float
    cuff: ReportedCuff
    layers: Mapping[str, LayerCover]
    """By layer, "skin", "deep", "all" and "with_cuff": skin, deep, both together, and these with the skin under the cuff."""

    def plain(self) -> dict[str, Any]:
        """Return the report as JSON values."""
        return asdict(self)


def coverage_report(dataset: Dataset, operation: str) -> CoverageReport:
    """Return what an operation needs.

    Args:
        dataset: The checked data.
        operation: Id in operations.yaml.

    Raises:
        ValueError: If there is no such operation.
    """
    operations = dataset.operations
    if operation not in operations.operations:
        raise ValueError(f"operation is '{operation}' (allowed: {one_of(operations.operations)})")
    record = operations.operations[operation]
    site = record.cuff.site
    cuff = dataset.territories.cuffs.get(site) if site != "none" else None
    under = cuff.territories if cuff is not None else ()
    asked = {"skin": record.skin, "deep": record.deep, "all": (*record.skin, *record.deep)}
    if under:
        asked["with_cuff"] = (*asked["all"], *under)
    return CoverageReport(
        operation=operation,
        name=dataset.words[f"quiz.operation.{operation}"],
        source=record.source,
        covered_at_least=operations.covered_at_least,
        cuff=ReportedCuff(
            site=record.cuff.site,
            minutes=record.cuff.minutes,
            territories=tuple(under),
            nerves_above=tuple(cuff.nerves_above) if cuff is not None else (),
            says=cuff.says if cuff is not None else None,
        ),
        layers={
            layer: cover_of(dataset, ids, covered_at_least=operations.covered_at_least)
            for layer, ids in asked.items()
            if ids
        },
    )


def cover_of(dataset: Dataset, ids: Sequence[str], *, covered_at_least: float) -> LayerCover:
    """Return the cover of any territories, as a layer of ``coverage_report``."""
    file, names = dataset.territories, dataset.structures
    factors = {id_: record.alternatives for id_, record in file.factors.items()}
    kinds = hand_kinds(factors, file.territories, ids, patch_at_least=file.patch_at_least)
    best = best_covers(kinds)
    smallest = smallest_cover(best, covered_at_least=covered_at_least)
    # A hand that needs a nerve is one that keeps a patch when all others are blocked.
    needed = uncovered_without(kinds, best[-1].nerves)
    return LayerCover(
        territories=tuple(ReportedTerritory(id=id_, name=territory_name(dataset.words, id_)) for id_ in ids),
        nerves=tuple(
            NeededNerve(nerve=nerve, name=names[nerve].name, needed_in=round(needed[nerve], DIGITS))
            for nerve in sorted(needed, key=lambda one: (-round(needed[one], DIGITS), one))
        ),
        kinds=tuple(HandKind(chance=round(one.chance, DIGITS), nerves=tuple(sorted(one.nerves))) for one in kinds),
        best=tuple(NerveSet(nerves=tuple(one.nerves), covered=round(one.covered, DIGITS)) for one in best),
        smallest=NerveSet(nerves=tuple(smallest.nerves), covered=round(smallest.covered, DIGITS)),
        left_out={nerve: round(share, DIGITS) for nerve, share in uncovered_without(kinds, smallest.nerves).items()},
        above=tuple(_above(dataset, ids)),
    )


def territory_name(words: Mapping[str, str], territory: str) -> str:
    """Return the readers' name of a territory; the quiz names those it asks about, the block pages the rest."""
    key = f"block.territory.{territory}"
    return words[key] if key in words else words[f"quiz.territory.{territory}"]


def _above(dataset: Dataset, ids: Sequence[str]) -> Iterator[TakeOffAbove]:
    """Yield the take-offs that a block must lie above in some hand, with the share of hands."""
    file = dataset.territories
    found: dict[tuple[str, str], float] = {}
    factors = {id_: record.alternatives for id_, record in file.factors.items()}
    for chance, hand in hands(factors, file.territories, ids):
        parts = {
            (part.nerve, part.by)
            for id_ in ids
            for part in needed_in(file.territories[id_], hand, patch_at_least=file.patch_at_least)
            if part.by is not None
        }
        for part in parts:
            found[part] = found.get(part, 0.0) + chance
    for (nerve, event), share in sorted(found.items()):
        yield TakeOffAbove(
            nerve=nerve, event=event, name=dataset.words[f"block.event.{event}"], needed_in=round(share, DIGITS)
        )

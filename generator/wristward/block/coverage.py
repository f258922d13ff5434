"""Which nerves an operation needs: a set cover under chance, solved over every kind of hand and every set of nerves.

Hands differ by independent factors; a kind of hand is one alternative of each. In a hand, each territory needs all nerves
that hold a patch of it, and a set of nerves covers the hand where it holds every nerve needed. Sought is the smallest set
that covers at least a stated share of hands. All sets are looked at, so the answer is exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations, product

from wristward.data.records.scenario import SupplyRecord, TerritoryRecord

MOST_NERVES = 14
"""Above this, looking at every set would take too long; no operation of the hand comes near it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandKind:
    """Hands that need the same nerves."""

    chance: float
    nerves: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """A set of nerves and the share of hands it covers without an uncovered patch."""

    nerves: tuple[str, ...]
    covered: float


def hands(
    factors: Mapping[str, Mapping[str, float]], territories: Mapping[str, TerritoryRecord], ids: Iterable[str]
) -> list[tuple[float, dict[str, str]]]:
    """Return every combination of the alternatives that matter to these territories, with its chance.

    Args:
        factors: Shares of hands by factor and alternative.
        territories: Territory records by id (``supply`` and ``variants`` of territories.yaml).
        ids: The territories asked about.
    """
    matter = sorted({factor for id_ in ids for pattern in territories[id_].variants for factor in pattern.when})
    found = []
    for choice in product(*(factors[factor].items() for factor in matter)):
        chance = 1.0
        for _, share in choice:
            chance *= share
        if chance > 0:
            hand = dict(zip(matter, (alternative for alternative, _ in choice), strict=True))
            found.append((chance, hand))
    return found


def supply_in(territory: TerritoryRecord, hand: Mapping[str, str]) -> tuple[SupplyRecord, ...]:
    """Return the supply of a territory in a hand: that of the first variant that holds, else the usual one."""
    for pattern in territory.variants:
        if all(hand.get(factor) == alternative for factor, alternative in pattern.when.items()):
            return pattern.supply
    return territory.supply


def needed_in(
    territory: TerritoryRecord, hand: Mapping[str, str], *, patch_at_least: float
) -> tuple[SupplyRecord, ...]:
    """Return the parts of a territory's supply in a hand that are large enough to count."""
    return tuple(part for part in supply_in(territory, hand) if part.share >= patch_at_least)


def hand_kinds(
    factors: Mapping[str, Mapping[str, float]],
    territories: Mapping[str, TerritoryRecord],
    ids: Iterable[str],
    *,
    patch_at_least: float,
) -> list[HandKind]:
    """Return the kinds of hands by the nerves they need for these territories; chances add up to 1."""
    ids = list(ids)
    shares: dict[frozenset[str], float] = {}
    for chance, hand in hands(factors, territories, ids):
        nerves = frozenset(
            part.nerve for id_ in ids for part in needed_in(territories[id_], hand, patch_at_least=patch_at_least)
        )
        shares[nerves] = shares.get(nerves, 0.0) + chance
    ordered = sorted(shares.items(), key=lambda item: (-item[1], sorted(item[0])))
    return [HandKind(chance=chance, nerves=nerves) for nerves, chance in ordered]


def covered_share(kinds: Iterable[HandKind], nerves: Iterable[str]) -> float:
    """Return the share of hands that these nerves cover without an uncovered patch."""
    held = frozenset(nerves)
    return sum((kind.chance for kind in kinds if kind.nerves <= held), 0.0)


def best_covers(kinds: list[HandKind]) -> list[Cover]:
    """Return the best set of each size, from none to all nerves that any hand needs.

    Best is the largest share covered; of equals, the first in the alphabet.

    Raises:
        ValueError: If more nerves are needed than can be looked at.
    """
    nerves = sorted(set().union(*(kind.nerves for kind in kinds)))
    if len(nerves) > MOST_NERVES:
        raise ValueError(f"{len(nerves)} nerves are needed, at most {MOST_NERVES} can be looked at")
    best = []
    for size in range(len(nerves) + 1):
        found = max(
            (Cover(nerves=chosen, covered=covered_share(kinds, chosen)) for chosen in combinations(nerves, size)),
            key=lambda cover: round(cover.covered, 12),
        )
        best.append(found)
    return best


def smallest_cover(best: Iterable[Cover], *, covered_at_least: float) -> Cover:
    """Return the smallest of the best sets that covers at least the share asked for; that of all nerves covers every hand."""
    return next(cover for cover in best if cover.covered >= covered_at_least - 1e-12)


def uncovered_without(kinds: list[HandKind], nerves: Iterable[str]) -> dict[str, float]:
    """Return, for each nerve of a set, the share of hands with an uncovered patch if just this one is left out."""
    held = tuple(nerves)
    return {nerve: 1 - covered_share(kinds, [other for other in held if other != nerve]) for nerve in held}

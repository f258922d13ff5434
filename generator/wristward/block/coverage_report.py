"""Which nerves an operation of the scenario needs, as plain values: the same for the command, the pages and the tests."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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
LAYERS = ("skin", "deep", "all", "with_cuff")


def coverage_report(dataset: Dataset, operation: str) -> dict[str, Any]:
    """Return what an operation needs.

    Args:
        dataset: The checked data.
        operation: Id in operations.yaml.

    Returns:
        JSON-able values: ``operation``, ``name``, ``cuff``, ``covered_at_least``, and ``layers``: skin, deep, both
        together, and these with the skin under the cuff. Each layer has ``territories``, ``nerves`` (with the share of
        hands that need each), ``kinds`` of hands, the ``best`` set of each size, the ``smallest`` set that reaches
        ``covered_at_least``, and ``left_out``: the share of hands with an uncovered patch if one nerve of that set is
        missing. ``above`` names the take-offs a block has to lie above. Shares are 0 to 1.

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
    return {
        "operation": operation,
        "name": dataset.words[f"quiz.operation.{operation}"],
        "source": record.source,
        "covered_at_least": operations.covered_at_least,
        "cuff": {
            "site": record.cuff.site,
            "minutes": record.cuff.minutes,
            "territories": list(under),
            "nerves_above": list(cuff.nerves_above) if cuff is not None else [],
            "says": cuff.says if cuff is not None else None,
        },
        "layers": {
            layer: cover_of(dataset, ids, covered_at_least=operations.covered_at_least)
            for layer, ids in asked.items()
            if ids
        },
    }


def cover_of(dataset: Dataset, ids: Sequence[str], *, covered_at_least: float) -> dict[str, Any]:
    """Return the cover of any territories, as a layer of ``coverage_report``."""
    file, names = dataset.territories, dataset.structures
    factors = {id_: record.alternatives for id_, record in file.factors.items()}
    kinds = hand_kinds(factors, file.territories, ids, patch_at_least=file.patch_at_least)
    best = best_covers(kinds)
    smallest = smallest_cover(best, covered_at_least=covered_at_least)
    # A hand that needs a nerve is one that keeps a patch when all others are blocked.
    needed = uncovered_without(kinds, best[-1].nerves)
    return {
        "territories": [{"id": id_, "name": territory_name(dataset.words, id_)} for id_ in ids],
        "nerves": [
            {"nerve": nerve, "name": names[nerve].name, "needed_in": round(needed[nerve], DIGITS)}
            for nerve in sorted(needed, key=lambda one: (-round(needed[one], DIGITS), one))
        ],
        "kinds": [{"chance": round(kind.chance, DIGITS), "nerves": sorted(kind.nerves)} for kind in kinds],
        "best": [{"nerves": list(cover.nerves), "covered": round(cover.covered, DIGITS)} for cover in best],
        "smallest": {"nerves": list(smallest.nerves), "covered": round(smallest.covered, DIGITS)},
        "left_out": {nerve: round(share, DIGITS) for nerve, share in uncovered_without(kinds, smallest.nerves).items()},
        "above": _above(dataset, ids),
    }


def territory_name(words: Mapping[str, str], territory: str) -> str:
    """Return the readers' name of a territory; the quiz names those it asks about, the block pages the rest."""
    key = f"block.territory.{territory}"
    return words[key] if key in words else words[f"quiz.territory.{territory}"]


def _above(dataset: Dataset, ids: Sequence[str]) -> list[dict[str, Any]]:
    """Return the take-offs that a block must lie above in some hand, with the share of hands."""
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
    return [
        {
            "nerve": nerve,
            "event": event,
            "name": dataset.words[f"block.event.{event}"],
            "needed_in": round(share, DIGITS),
        }
        for (nerve, event), share in sorted(found.items())
    ]

"""Which nerves the model's hands need for an operation, a tissue or a patch of skin."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wristward.block.coverage import hand_kinds
from wristward.data.dataset import Dataset
from wristward.data.records.scenario import TerritoriesFile
from wristward.quiz.item import LEAST_CONFIDENCE

NEEDED, NOT_NEEDED = 0.85, 0.15


def shares_of(part: TerritoriesFile, ids: Iterable[str]) -> dict[str, float]:
    """Return the share of the model's hands in which each nerve is needed for these territories, by nerve."""
    factors = {id_: factor.alternatives for id_, factor in part.factors.items()}
    shares: dict[str, float] = {}
    for kind in hand_kinds(factors, part.territories, ids, patch_at_least=part.patch_at_least):
        for nerve in kind.nerves:
            shares[nerve] = shares.get(nerve, 0.0) + kind.chance
    return shares


def operation_nerves(dataset: Dataset) -> dict[str, tuple[str, ...]]:
    """Return the nerves to practise for each operation: all that more hands than a few need, skin and deep together.

    It only says which questions belong to an operation; no answer is keyed by it, so that what is guessed counts too.
    """
    if not dataset.has("operations", "territories"):
        return {}
    part = dataset.territories
    found = {}
    for id_, operation in dataset.operations.operations.items():
        shares = shares_of(part, [*operation.skin, *operation.deep])
        found[id_] = tuple(sorted(nerve for nerve, share in shares.items() if share > NOT_NEEDED))
    return found


def alone(shares: Mapping[str, float]) -> str | None:
    """Return the nerve that has a territory to itself in most hands, or None."""
    needed = [nerve for nerve, share in shares.items() if share > NOT_NEEDED]
    return needed[0] if len(needed) == 1 and shares[needed[0]] >= NEEDED else None


def tested(part: TerritoriesFile) -> dict[str, dict[str, float]]:
    """Return the patches of skin that quizzes may ask about, each with its nerves' shares of hands."""
    return {
        id_: shares_of(part, [id_])
        for id_, one in part.territories.items()
        if one.layer == "skin" and one.confidence >= LEAST_CONFIDENCE
    }

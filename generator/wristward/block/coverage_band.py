"""How sure a share of hands is: bands of "needs this nerve" from how many hands were counted for each way hands differ.

What was drawn by hand has no count; it is worth a handful of hands, so that its bands are wide.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from wristward.block.band import BAND, DRAWS, SEED
from wristward.block.coverage import hands, needed_in
from wristward.block.evidence import FEWEST_N, JEFFREYS, MOST_N
from wristward.data.dataset import Dataset
from wristward.data.records.scenario import FactorRecord

DIGITS = 6
USUALLY, RARELY = 0.85, 0.15
"""A share of hands from the one on is told as usually, below the other as rarely, between them as sometimes."""


def how_often(share: float) -> str:
    """Return "usually", "sometimes" or "rarely"."""
    return "usually" if share >= USUALLY else "rarely" if share < RARELY else "sometimes"


def needed_bands(dataset: Dataset, ids: Sequence[str]) -> dict[str, tuple[float, float]]:
    """Return the 10th and 90th percentile of the share of hands that need each nerve for some territories.

    Args:
        dataset: The checked data.
        ids: The territories.
    """
    file = dataset.territories
    # Every alternative may be found in some hand, also one that no counted hand had.
    even = {id_: dict.fromkeys(one.alternatives, 1.0) for id_, one in file.factors.items()}
    kinds = [hand for _, hand in hands(even, file.territories, ids)]
    needs = [
        {
            part.nerve
            for id_ in ids
            for part in needed_in(file.territories[id_], hand, patch_at_least=file.patch_at_least)
        }
        for hand in kinds
    ]
    random = np.random.Generator(np.random.PCG64(SEED))
    chance = np.ones((DRAWS, len(kinds)))
    for factor in sorted(kinds[0]):
        record = file.factors[factor]
        drawn = _drawn(random, record)
        places = {name: place for place, name in enumerate(record.alternatives)}
        chance *= drawn[:, [places[hand[factor]] for hand in kinds]]
    found = {}
    for nerve in sorted(set().union(*needs)):
        shares = chance[:, [nerve in one for one in needs]].sum(axis=1)
        low, _, high = np.quantile(shares, BAND)
        found[nerve] = (round(float(low), DIGITS), round(float(high), DIGITS))
    return found


def _drawn(random: np.random.Generator, record: FactorRecord) -> np.ndarray:
    """Return shares that the alternatives may have, shape (DRAWS, alternatives)."""
    counted = min(MOST_N, record.counted or FEWEST_N)
    return random.dirichlet([share * counted + JEFFREYS for share in record.alternatives.values()], DRAWS)

"""Draw limbs: a height for every event, orders kept in each limb, and which events a limb has.

Seeded and repeatable (PCG64). Limbs are single arms: nothing is said of a person's other arm, which resembles it weakly.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wristward.anatomy.arrays import Flags, Floats
from wristward.block.blocks import BlockModel
from wristward.block.coupling import couple, draw_lower
from wristward.block.distribution import height_at

SEED = 20_200_260
LIMBS = 200_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Limbs:
    """Drawn limbs."""

    z_mm: dict[str, Floats]
    """Height of each event, shape (n,), mm; also where the limb has none of it, so that ids stay comparable."""

    present: dict[str, Flags]
    """Whether the limb has the event, shape (n,), bool."""

    length_deviation: Floats
    """How far the bathed length of the limb's injection lies from its mean, shape (n,), in SDs."""


def draw_limbs(model: BlockModel, *, count: int = LIMBS, seed: int = SEED, ordered: bool = True) -> Limbs:
    """Draw limbs.

    Args:
        model: The model.
        count: How many, more than 0.
        seed: Of the generator.
        ordered: Keep the orders; False draws every event on its own, to see what the orders do.

    Raises:
        ValueError: If an order cannot hold.
    """
    random = np.random.Generator(np.random.PCG64(seed))
    shares = {id_: random.random(count) for id_ in sorted(model.events)}
    presence = {id_: random.random(count) for id_ in sorted(model.events)}
    deviation = random.standard_normal(count)
    z_mm = {id_: height_at(event, shares[id_]) for id_, event in model.events.items()}
    for chain in model.chains if ordered else ():
        for upper, lower in zip(chain, chain[1:], strict=False):
            coupling = couple(model.events[upper], model.events[lower])
            z_mm[lower] = draw_lower(coupling, z_mm[upper], shares[lower])
    return Limbs(z_mm=z_mm, present=_present(model, presence), length_deviation=deviation)


def _present(model: BlockModel, shares: dict[str, Floats]) -> dict[str, Flags]:
    """Return which events each limb has: alternatives share one draw, and followers follow."""
    present = {id_: shares[id_] < event.prevalence for id_, event in model.events.items()}
    for group in model.alternatives:
        start = 0.0
        for id_ in group:
            end = start + model.events[id_].prevalence
            present[id_] = (shares[group[0]] >= start) & (shares[group[0]] < end)
            start = end
    for id_, event in model.events.items():
        if event.present_with is not None:
            present[id_] = present[event.present_with]
    return present

"""Chances by numerical integration, without drawing a limb.

At a fixed upper edge of the bathed length everything along one order is decided by single distributions: if the
wanted event lies below the unwanted one in every limb, then "wanted below the edge, unwanted above it" has the chance
F_wanted(edge) - F_unwanted(edge), whatever the coupling. So the joint chance needs the orders but not their coupling; it
is exact up to the integral over the bathed length.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import ArrayLike

from wristward.anatomy.arrays import Floats
from wristward.block.blocks import Block, BlockModel, Spread, counted_at
from wristward.block.distribution import share_below
from wristward.block.reach import reach


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """Chances over the level of a block, each an array of the shape of ``z_mm``."""

    z_mm: Floats
    caught: dict[str, Floats]
    """By event of the block (wanted, unwanted, apart): caught under the reading, in limbs that have it; in all limbs
    where lacking it means that it lies above the elbow, out of reach."""

    wanted: Floats
    """All wanted caught. A wanted event that a limb lacks is no miss, unless it then lies above the elbow."""

    spared: Floats
    """All unwanted spared."""

    decisive_spared: Floats
    """The decisive ones of the unwanted spared."""

    both: Floats
    """All wanted caught and all unwanted spared."""


def chances(
    model: BlockModel, block: Block, *, reading: str, z_mm: ArrayLike, volume_ml: float, ordered: bool = True
) -> Chances:
    """Return the chances of a block.

    Args:
        model: The model, scaled to the arm.
        block: One of its blocks.
        reading: "take_off" or "parting".
        z_mm: Levels of the block, shape (n,), mm in this arm.
        volume_ml: Volume, mL.
        ordered: Let the orders hold; False takes all events as independent.

    Raises:
        ValueError: If the reading is unknown.
    """
    levels_mm = np.asarray(z_mm, float)
    edges, weights = upper_edges_mm(model, z_mm=levels_mm, volume_ml=volume_ml)
    return chances_at(model, block, reading=reading, z_mm=levels_mm, edges_mm=edges, weights=weights, ordered=ordered)


def chances_at(
    model: BlockModel,
    block: Block,
    *,
    reading: str,
    z_mm: Floats,
    edges_mm: Floats,
    weights: Floats,
    ordered: bool = True,
) -> Chances:
    """Return the chances for given upper edges, shape (n, nodes), and the weights of the nodes, which add up to 1."""
    heights = {counted_at(model.events[id_], reading) for id_ in (*block.wanted, *block.unwanted, *block.apart)}
    below = {id_: share_below(model.events[id_], edges_mm) for id_ in sorted(heights)}
    sides = {"wanted": (block.wanted, ()), "spared": ((), block.unwanted)}
    sides |= {"decisive_spared": ((), block.decisive), "both": (block.wanted, block.unwanted)}
    joint = {
        key: over_reach(
            _joint(model, below, wanted=wanted, unwanted=unwanted, reading=reading, ordered=ordered), weights
        )
        for key, (wanted, unwanted) in sides.items()
    }
    caught = {}
    for id_ in (*block.wanted, *block.unwanted, *block.apart):
        event = model.events[id_]
        share = event.prevalence if event.if_absent == "above" else 1.0
        caught[id_] = share * over_reach(below[counted_at(event, reading)], weights)
    return Chances(z_mm=z_mm, caught=caught, **joint)


def upper_edges_mm(model: BlockModel, *, z_mm: Floats, volume_ml: float) -> tuple[Floats, Floats]:
    """Return upper edges of the wetted stretch, shape (n, nodes), mm, and the weights of the nodes."""
    offsets_mm, weights = reach(model.spread, volume_ml=volume_ml, z_mm=z_mm)
    return np.asarray(z_mm, float)[:, None] + offsets_mm[None, :], weights


def edges_of_lengths(*, z_mm: Floats, mean_mm: float, sd_mm: float) -> tuple[Floats, Floats]:
    """Return upper edges for a normal bathed length with the given mean and SD, floored at 0; see ``upper_edges_mm``."""
    offsets_mm, weights = reach(Spread(base_mm=mean_mm, per_ml_mm=0.0, sd_mm=sd_mm), volume_ml=1.0, z_mm=z_mm)
    return np.asarray(z_mm, float)[:, None] + offsets_mm[None, :], weights


def over_reach(values: Floats, weights: Floats) -> Floats:
    """Return the mean over the nodes of values, shape (n, nodes), by weights of shape (nodes,) or (n, nodes)."""
    mean: Floats = values @ weights if weights.ndim == 1 else (values * weights).sum(axis=1)
    return mean


def _joint(
    model: BlockModel,
    below: dict[str, Floats],
    *,
    wanted: tuple[str, ...],
    unwanted: tuple[str, ...],
    reading: str,
    ordered: bool,
) -> Floats:
    """Return the chance at each edge that all wanted lie below it and all unwanted above, over who has what."""
    total = np.zeros(next(iter(below.values())).shape)
    for chance, present in _presences(model, (*wanted, *unwanted)):
        missed = [id_ for id_ in wanted if id_ not in present and model.events[id_].if_absent == "above"]
        if missed:
            continue
        heights_in = {counted_at(model.events[id_], reading) for id_ in wanted if id_ in present}
        heights_out = {counted_at(model.events[id_], reading) for id_ in unwanted if id_ in present}
        part = np.full(total.shape, chance)
        for group in _groups(model, heights_in | heights_out) if ordered else [(x,) for x in heights_in | heights_out]:
            part = part * _in_order(below, group, wanted=heights_in, unwanted=heights_out)
        total += part
    return total


def _in_order(
    below: dict[str, Floats], group: tuple[str, ...], *, wanted: set[str], unwanted: set[str]
) -> Floats | float:
    """Return the chance within one order: the highest wanted below the edge, the lowest unwanted above it."""
    places_in = [place for place, id_ in enumerate(group) if id_ in wanted]
    places_out = [place for place, id_ in enumerate(group) if id_ in unwanted]
    if not places_out:
        return below[group[places_in[0]]]
    if not places_in:
        return 1 - below[group[places_out[-1]]]
    if places_in[0] <= places_out[-1]:
        return 0.0
    return np.maximum(0.0, below[group[places_in[0]]] - below[group[places_out[-1]]])


def _groups(model: BlockModel, ids: set[str]) -> list[tuple[str, ...]]:
    """Return the ids by order, the most proximal first; an event without order stands alone."""
    grouped = [tuple(id_ for id_ in chain if id_ in ids) for chain in model.chains]
    alone = ids - {id_ for group in grouped for id_ in group}
    return [group for group in grouped if group] + [(id_,) for id_ in sorted(alone)]


def _presences(model: BlockModel, ids: tuple[str, ...]) -> list[tuple[float, set[str]]]:
    """Return every combination of events a limb may have, with its chance."""
    leaders = {id_: model.events[id_].present_with or id_ for id_ in ids}
    groups = [tuple(id_ for id_ in group if id_ in leaders.values()) for group in model.alternatives]
    groups = [group for group in groups if group]
    single = sorted(set(leaders.values()) - {id_ for group in groups for id_ in group})
    choices: list[list[tuple[float, tuple[str, ...]]]] = []
    for group in groups:
        shares = [model.events[id_].prevalence for id_ in group]
        choices.append([(max(0.0, 1 - sum(shares)), ()), *((s, (id_,)) for s, id_ in zip(shares, group, strict=True))])
    for id_ in single:
        share = model.events[id_].prevalence
        choices.append([(share, (id_,)), *([(1 - share, ())] if share < 1 else [])])
    found = []
    for combination in product(*choices):
        chance = float(np.prod([share for share, _ in combination]))
        there = {id_ for _, members in combination for id_ in members}
        found.append((chance, {id_ for id_ in ids if leaders[id_] in there}))
    return found

"""Chances counted over drawn limbs: the second, independent way to the numbers of ``chance``."""

from __future__ import annotations

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.block.blocks import Block, BlockModel, counted_at
from wristward.block.chance import Chances
from wristward.block.sampler import Limbs


def count_chances(
    model: BlockModel, block: Block, limbs: Limbs, *, reading: str, z_mm: Floats, volume_ml: float
) -> Chances:
    """Count the chances of a block over limbs; arguments and result as for ``chance.chances``.

    In a limb an event is caught from the level on at which the upper edge passes it, so each limb has for each event one
    critical level, and every chance over z is a count of critical levels.
    """
    z_mm = np.asarray(z_mm, float)
    mean, sd = model.spread.mean_length_mm(volume_ml), model.spread.sd_mm
    half_mm = np.maximum(0.0, mean + sd * limbs.length_deviation) / 2
    count = half_mm.size

    def critical(id_: str, height: str) -> Floats:
        """Level from which the event is caught; plus or minus infinity where the limb lacks it."""
        absent = np.inf if model.events[id_].if_absent == "above" else -np.inf
        level_mm: Floats = np.where(limbs.present[id_], limbs.z_mm[height] - half_mm, absent)
        return level_mm

    def highest(ids: tuple[str, ...]) -> Floats:
        top_mm: Floats = np.max(
            [np.full(count, -np.inf), *(critical(id_, counted_at(model.events[id_], reading)) for id_ in ids)], axis=0
        )
        return top_mm

    def lowest(ids: tuple[str, ...]) -> Floats:
        found = [np.full(count, np.inf)]
        for id_ in ids:
            at = limbs.z_mm[counted_at(model.events[id_], reading)] - half_mm
            found.append(np.where(limbs.present[id_], at, np.inf))
        low_mm: Floats = np.min(found, axis=0)
        return low_mm

    from_mm, to_mm = highest(block.wanted), lowest(block.unwanted)
    held = from_mm < to_mm
    caught = {}
    for id_ in (*block.wanted, *block.unwanted, *block.apart):
        height = counted_at(model.events[id_], reading)
        there = limbs.present[id_]
        among = count if model.events[id_].if_absent == "above" else max(1, int(there.sum()))
        caught[id_] = _share_up_to((limbs.z_mm[height] - half_mm)[there], z_mm, among)
    return Chances(
        z_mm=z_mm,
        caught=caught,
        wanted=_share_up_to(from_mm, z_mm, count),
        spared=1 - _share_up_to(to_mm, z_mm, count),
        decisive_spared=1 - _share_up_to(lowest(block.decisive), z_mm, count),
        both=_share_up_to(from_mm[held], z_mm, count) - _share_up_to(to_mm[held], z_mm, count),
    )


def _share_up_to(levels_mm: Floats, z_mm: Floats, count: int) -> Floats:
    """Return the share of ``count`` limbs whose critical level lies below each z."""
    return np.searchsorted(np.sort(levels_mm), z_mm, side="left") / count

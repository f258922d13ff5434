"""Bands of the chances: what they may be, given how well the numbers behind them are known.

Under each drawn model every chance depends on the upper edge of the wetted stretch alone, so its curve over the edge is found
once, and each volume takes its mean of it. Bands run from the 10th to the 90th of 100 models.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from wristward.anatomy.arrays import Floats
from wristward.block.blocks import BlockModel, Decreasing, scaled
from wristward.block.chance import chances_at
from wristward.block.evidence import Evidence, draw_models
from wristward.block.reach import STEP_MM, reach

DRAWS = 400
SEED = 20_200_416
BAND = (0.1, 0.5, 0.9)
EDGES_MM = (-80.0, 520.0)
"""Range of upper edges that are looked at."""

JOINT = ("wanted", "spared", "both")
ALL = "all"
"""The chance that everything wanted is caught and blocked and everything unwanted spared."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Banded:
    """Chances over level with their bands."""

    z_mm: Floats
    volumes_ml: tuple[float, ...]
    curves: Mapping[str, Floats]
    """By name ("wanted", "spared", "both", "all", "caught.<event>"): lower end, middle and upper end over volume and level,
    shape (3, volumes, n)."""

    blocked: Floats
    """Chance that a caught nerve is blocked, shape (3, volumes)."""


def draw_all(model: BlockModel, evidence: Evidence, *, draws: int = DRAWS, seed: int = SEED) -> list[BlockModel]:
    """Return the models that bands run over.

    Raises:
        ValueError: If the model's spread has no priors, or turns back at its barrier.
    """
    if not isinstance(model.spread, Decreasing) or model.working is None:
        raise ValueError("only a spread of decreasing gain, and blocks that work by volume, have bands")
    if model.spread.turned_back:
        raise ValueError("bands are of a barrier that turns nothing back")
    return list(draw_models(model, evidence, count=draws, seed=seed))


def banded_chances(
    models: Sequence[BlockModel],
    nerve: str,
    *,
    reading: str,
    z_mm: Floats,
    volumes_ml: Sequence[float],
    length_scale: float = 1.0,
) -> Banded:
    """Return the chances of a block with their bands.

    Args:
        models: What ``draw_all`` returned, of the reference forearm.
        nerve: Key of its blocks.
        reading: "take_off" or "parting".
        z_mm: Levels, whole mm of the arm, shape (n,).
        volumes_ml: Volumes, mL.
        length_scale: Of the arm.
    """
    edges_mm = np.arange(EDGES_MM[0], EDGES_MM[1] + STEP_MM, STEP_MM)
    at = np.round((np.asarray(z_mm, float) - EDGES_MM[0]) / STEP_MM).astype(int)
    found: dict[str, list[Floats]] = {}
    blocked = []
    for drawn in models:
        arm = scaled(drawn, length_scale=length_scale)
        over_edge = chances_at(
            arm, arm.blocks[nerve], reading=reading, z_mm=edges_mm, edges_mm=edges_mm[:, None], weights=np.ones(1)
        )
        curves = {name: getattr(over_edge, name) for name in JOINT}
        curves |= {f"caught.{id_}": values for id_, values in over_edge.caught.items()}
        stacked = np.array(list(curves.values()))
        works = np.array([drawn.working.blocked(ml) for ml in volumes_ml]) if drawn.working is not None else np.ones(1)
        blocked.append(works)
        means = np.stack([_over_volume(drawn, stacked, ml, at) for ml in volumes_ml], axis=1)
        for name, values in zip(curves, means, strict=True):
            found.setdefault(name, []).append(values)
        found.setdefault(ALL, []).append(found["both"][-1] * works[:, None])
    return Banded(
        z_mm=np.asarray(z_mm, float),
        volumes_ml=tuple(volumes_ml),
        curves={name: np.quantile(np.array(values), BAND, axis=0) for name, values in found.items()},
        blocked=np.quantile(np.array(blocked), BAND, axis=0),
    )


def _over_volume(model: BlockModel, curves: Floats, volume_ml: float, at: np.ndarray) -> Floats:
    """Return curves over level, shape (curves, n), from curves over the edge, shape (curves, edges)."""
    offsets_mm, weights = reach(model.spread, volume_ml=volume_ml, z_mm=np.zeros(1))
    first = int(round(offsets_mm[0] / STEP_MM))
    starts = at + first
    if starts.min() < 0 or starts.max() + weights.size > curves.shape[1]:
        # Beyond the looked-at edges chances no longer change.
        wide = max(0, -int(starts.min())), max(0, int(starts.max()) + weights.size - curves.shape[1])
        curves = np.pad(curves, ((0, 0), wide), mode="edge")
        starts = starts + wide[0]
    windows = sliding_window_view(curves, weights.size, axis=1)[:, starts]
    mean: Floats = windows @ weights
    return mean

"""How far above its level a block reaches: the distribution of the upper edge of what counts as wetted, less the level.

A branch is caught where this edge lies above it. Under the straight line the edge is half the length above the level; under
decreasing gain the stretch grows with a power of the volume, differs between limbs, lies unevenly about the needle, the
needle misses its level, and the last few millimetres are too short a stretch to count.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from scipy.special import betaincinv, ndtri

from wristward.anatomy.arrays import Floats
from wristward.block.blocks import Decreasing, Spread

NODE_STEP = 0.1
NODE_REACH = 6.0
STEP_MM = 1.0
LENGTHS, SHARES, LEAST = 48, 24, 10
"""Nodes of the integral over limbs, over the share above the needle and over the least stretch."""

SCATTER_REACH = 5.0
"""The scatter of placement is followed this many SDs out."""


def reach(spread: Spread | Decreasing, *, volume_ml: float, z_mm: Floats) -> tuple[Floats, Floats]:
    """Return how far the edge lies above the level, and how often.

    Args:
        spread: The assumption.
        volume_ml: Volume, mL, more than 0.
        z_mm: Levels, shape (n,), mm; they matter where a barrier turns back what would pass it.

    Returns:
        Offsets from the level, shape (k,), mm, and their weights, which add up to 1: shape (k,), or (n, k) where the level
        matters.
    """
    if isinstance(spread, Decreasing) and spread.turned_back == 0:
        return _anywhere(spread, volume_ml)
    if isinstance(spread, Spread):
        steps = round(NODE_REACH / NODE_STEP)
        nodes = NODE_STEP * np.arange(-steps, steps + 1) if spread.sd_mm > 0 else np.zeros(1)
        weights = np.exp(-(nodes**2) / 2)
        lengths = np.maximum(0.0, spread.mean_length_mm(volume_ml) + spread.sd_mm * nodes)
        return lengths / 2, weights / weights.sum()
    length, above = _stretches(spread, volume_ml)
    levels = np.asarray(z_mm, float)
    below = length - above
    # What would run below the barrier runs up instead, as far as it is turned back.
    tops = [above + spread.turned_back * np.maximum(0.0, below - (z - spread.barrier_mm)) for z in levels]
    found = [_scattered(spread, top, reach_mm=float(length.max())) for top in tops]
    return found[0][0], np.array([weights for _, weights in found])


@lru_cache(maxsize=16_384)
def _anywhere(spread: Decreasing, volume_ml: float) -> tuple[Floats, Floats]:
    """Return the same where no level matters; every nerve and reading asks for it."""
    _, above = _stretches(spread, volume_ml)
    offsets_mm, weights = _scattered(spread, above)
    offsets_mm.flags.writeable = weights.flags.writeable = False
    return offsets_mm, weights


def _stretches(spread: Decreasing, volume_ml: float) -> tuple[Floats, Floats]:
    """Return equally likely lengths and how much of each lies above the needle, mm, each shape (LENGTHS * SHARES,)."""
    log_sd = float(np.sqrt(np.log1p(spread.limb_cv**2)))
    # Of a log-normal the mean is given; its median lies below.
    lengths = spread.mean_length_mm(volume_ml) * np.exp(log_sd * ndtri(_middles(LENGTHS)) - log_sd**2 / 2)
    shares = _shares(spread.evenness)
    length = np.repeat(lengths, SHARES)
    return length, length * np.tile(shares, LENGTHS)


@lru_cache(maxsize=64)
def _shares(evenness: float) -> Floats:
    shares: Floats = betaincinv(evenness, evenness, _middles(SHARES))
    return shares


def _scattered(spread: Decreasing, above_mm: Floats, *, reach_mm: float | None = None) -> tuple[Floats, Floats]:
    """Return the edge's distribution on whole steps: what lies above, less the least stretch, with scattered placement."""
    low, high = spread.least_mm
    least = low + (high - low) * _middles(LEAST)
    most = float(above_mm.max()) if reach_mm is None else reach_mm
    first, last = int(np.floor(-high / STEP_MM)) - 1, int(np.ceil(most / STEP_MM)) + 1
    places = (above_mm[:, None] - least[None, :]).ravel() / STEP_MM - first
    cell, part = np.floor(places).astype(int), places - np.floor(places)
    size = last - first + 2
    # Each value is shared between the two steps beside it, so that the mean stays.
    shared = np.bincount(cell, 1 - part, size) + np.bincount(cell + 1, part, size)
    out = int(np.ceil(SCATTER_REACH * spread.placement_sd_mm / STEP_MM))
    steps = np.arange(-out, out + 1)
    scatter = np.exp(-((steps * STEP_MM / spread.placement_sd_mm) ** 2) / 2) if out else np.ones(1)
    weights: Floats = np.asarray(np.convolve(shared / places.size, scatter / scatter.sum()), np.float64)
    offsets_mm: Floats = STEP_MM * (first - out + np.arange(weights.size, dtype=np.float64))
    return offsets_mm, weights


def _middles(count: int) -> Floats:
    middles: Floats = (np.arange(count) + 0.5) / count
    return middles

"""Chances as whole numbers for the browser, which interpolates and computes nothing.

The chance at a level depends on the mean upper edge of the bathed length, on its SD, and, through the floor at 0 alone, on
its mean. So one table on (mean edge, mean length, SD) serves every level, volume, reference arm and assumption:

    edge = (z + L / 2) / s,  length = L / s,  sd = SD / s      with L = base + per_ml * volume, s = length scale of the arm

Between nodes the browser interpolates linearly along edge and length and linearly in sd squared; the result is within
half a point of the exact chance (tests/block/test_table.py).
"""

from __future__ import annotations

from base64 import b64decode, b64encode
from typing import Any

import numpy as np

from wristward.block.blocks import READINGS, BlockModel, counted_at
from wristward.block.chance import Chances, chances_at, edges_of_lengths

EDGE_STEP_MM = 2.0
EDGE_COUNT = 181
LENGTHS_MM = (0.0, 10.0, 20.0, 30.0, 40.0, 60.0, 100.0, 200.0)
SDS_MM = (0.0, 8.0, 12.0, 16.0, 20.0, 24.0, 30.0, 36.0)
FULL = 1000
"""The number that means certainty: fine enough that a window found in the table is the exact one, to the millimetre."""

NUMBERS = np.dtype("<u2")


def curves(found: Chances) -> dict[str, np.ndarray]:
    """Return the curves of a block by name: the four joint ones, then ``caught.<event>``."""
    joint = {key: getattr(found, key) for key in ("wanted", "spared", "decisive_spared", "both")}
    return joint | {f"caught.{id_}": values for id_, values in found.caught.items()}


def browser_table(model: BlockModel, nerve: str) -> dict[str, Any]:
    """Return the table of a nerve's block.

    Returns:
        ``axes`` (edge_mm as start, step and count; length_mm and sd_mm as lists), ``full`` and ``curves``: by reading and
        curve, the numbers as unsigned 16 bits, little-endian, in base64, in the order edge (slowest), length, sd
        (fastest). Curves that are the same under both readings stand under "both_readings" once.
    """
    block = model.blocks[nerve]
    edge_mm = EDGE_STEP_MM * np.arange(EDGE_COUNT, dtype=float)
    # Where both readings count the same events, the second is the first.
    alike = all(
        counted_at(model.events[id_], "parting") == id_ for id_ in (*block.wanted, *block.unwanted, *block.apart)
    )
    cubes: dict[str, dict[str, np.ndarray]] = {reading: {} for reading in READINGS[: 1 if alike else None]}
    for reading, cube in cubes.items():
        for at, length in enumerate(LENGTHS_MM):
            for along, sd in enumerate(SDS_MM):
                edges, weights = edges_of_lengths(z_mm=edge_mm - length / 2, mean_mm=length, sd_mm=sd)
                found = chances_at(
                    model, block, reading=reading, z_mm=edge_mm - length / 2, edges_mm=edges, weights=weights
                )
                for name, values in curves(found).items():
                    whole = cube.setdefault(name, np.zeros((EDGE_COUNT, len(LENGTHS_MM), len(SDS_MM)), NUMBERS))
                    whole[:, at, along] = np.round(np.clip(values, 0, 1) * FULL)
    first, second = (cubes[reading] for reading in (READINGS[0], READINGS[0 if alike else 1]))
    same = [name for name in first if np.array_equal(first[name], second[name])]
    packed = {"both_readings": {name: _text(first[name]) for name in same}}
    for reading, cube in ((READINGS[0], first), (READINGS[1], second)):
        packed[reading] = {name: _text(whole) for name, whole in cube.items() if name not in same}
    return {
        "axes": {
            "edge_mm": {"start": 0.0, "step": EDGE_STEP_MM, "count": EDGE_COUNT},
            "length_mm": list(LENGTHS_MM),
            "sd_mm": list(SDS_MM),
        },
        "full": FULL,
        "curves": packed,
    }


def numbers_of(text: str) -> np.ndarray:
    """Return the numbers of one curve of a table, shape (edges * lengths * sds,)."""
    return np.frombuffer(b64decode(text), NUMBERS)


def _text(whole: np.ndarray) -> str:
    return b64encode(whole.tobytes()).decode("ascii")

"""Values known at a few heights, made continuous in ``z_mm``."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import ArrayLike

from wristward.anatomy.arrays import Floats
from wristward.anatomy.monotone import Monotone


class Track:
    """A vector that follows monotone cubic pieces through its knots and stays constant beyond them.

    Monotone pieces are used because an area or a depth must not overshoot between two levels.
    """

    def __init__(self, z_mm: Iterable[float] | Floats, values: Sequence[ArrayLike] | Floats) -> None:
        """Take the knots in any order.

        Args:
            z_mm: Heights of the knots, mm, no two alike.
            values: One scalar or vector of equal length for each knot.

        Raises:
            ValueError: If there is no knot, or two knots share a height.
        """
        heights = np.asarray(list(z_mm), dtype=float)
        if len(heights) == 0:
            raise ValueError("a track needs at least one knot")
        table = np.asarray(values, dtype=float).reshape(len(heights), -1)
        order = np.argsort(heights)
        self.z_mm = heights[order]
        if np.any(np.diff(self.z_mm) <= 0):
            raise ValueError("two knots of a track share a height")
        self.values = table[order]
        self._ends = float(self.z_mm[0]), float(self.z_mm[-1])
        self._pieces = Monotone(self.z_mm, self.values) if len(heights) > 1 else None

    def at(self, z_mm: float) -> Floats:
        """Return the vector at a height, shape (k,), constant beyond the outermost knots."""
        if self._pieces is None:
            return np.array(self.values[0])
        return self._pieces.at(min(max(float(z_mm), self._ends[0]), self._ends[1]))

    def scalar(self, z_mm: float) -> float:
        """Return the first component at a height."""
        return float(self.at(z_mm)[0])


def smoothstep(x: float) -> float:
    """Rise from 0 at x ≤ 0 to 1 at x ≥ 1 with level ends."""
    t = min(1.0, max(0.0, x))
    return t * t * (3.0 - 2.0 * t)

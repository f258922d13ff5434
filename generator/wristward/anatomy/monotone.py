"""Monotone cubic pieces through knots, to the last bit those that scipy draws, without the half second it takes to load.

Slopes are those of Fritsch and Butland: the weighted harmonic mean of the slopes beside a knot, level where these
turn; at the two ends a one-sided slope of three knots that keeps the sign of its own side and is no steeper than
three times it.
"""

from __future__ import annotations

from bisect import bisect_right

import numpy as np

from wristward.anatomy.arrays import Floats


class Monotone:
    """A vector along an axis, cubic between knots and never beyond the two values it runs between."""

    def __init__(self, places: Floats, values: Floats) -> None:
        """Take two knots or more.

        Args:
            places: Along the axis, rising, shape (n,).
            values: At each place, shape (n, k).
        """
        self._places: list[float] = places.tolist()
        lengths = np.diff(places)[:, None]
        rises = np.diff(values, axis=0) / lengths
        slopes = _slopes(lengths, rises)
        bends = (slopes[:-1] + slopes[1:] - 2 * rises) / lengths
        self._powers = np.stack([values[:-1], slopes[:-1], (rises - slopes[:-1]) / lengths - bends, bends / lengths], 1)
        """Of each piece, by rising power of the distance from its first knot, shape (n − 1, 4, k)."""

    def at(self, place: float) -> Floats:
        """Return the vector at a place between the first and the last knot, shape (k,)."""
        piece = min(bisect_right(self._places, place), len(self._places) - 1) - 1
        along = place - self._places[piece]
        square = along * along
        constant, first, second, third = self._powers[piece]
        value: Floats = constant + first * along + second * square + third * (square * along)
        return value


def _slopes(lengths: Floats, rises: Floats) -> Floats:
    """Return the slope at each knot, shape (n, k), from the pieces' lengths and mean slopes."""
    if len(rises) == 1:
        return np.concatenate([rises, rises])
    before, after = rises[:-1], rises[1:]
    level = (np.sign(before) != np.sign(after)) | (before == 0) | (after == 0)
    weight_before, weight_after = 2 * lengths[1:] + lengths[:-1], lengths[1:] + 2 * lengths[:-1]
    # A harmonic mean that is not asked for may divide by zero, or by a number next to it.
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        inverse = (weight_before / before + weight_after / after) / (weight_before + weight_after)
        between = np.where(level, 0.0, 1.0 / inverse)
    first = _end_slope(lengths[0], lengths[1], rises[0], rises[1])
    last = _end_slope(lengths[-1], lengths[-2], rises[-1], rises[-2])
    return np.concatenate([first[None], between, last[None]])


def _end_slope(length: Floats, next_length: Floats, rise: Floats, next_rise: Floats) -> Floats:
    """Return the slope at an end, shape (k,), from the piece there and the one beside it."""
    slope = ((2 * length + next_length) * rise - length * next_rise) / (length + next_length)
    turns = np.sign(rise) != np.sign(next_rise)
    steep = turns & (np.abs(slope) > 3 * np.abs(rise))
    bounded: Floats = np.where(np.sign(slope) != np.sign(rise), 0.0, np.where(steep, 3 * rise, slope))
    return bounded

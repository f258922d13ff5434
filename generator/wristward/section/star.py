"""Outlines that are star-shaped about a centre, read at any bearing: bones, fascia, skin."""

from __future__ import annotations

import numpy as np

from wristward.anatomy.arrays import Floats, Indexes
from wristward.anatomy.curves import BEARINGS, THETA

TURN = 2 * np.pi
STEP = TURN / BEARINGS
"""Angle between two bearings, radians."""

_WIDTHS = np.diff(THETA, append=TURN)


class Stars:
    """Outlines sampled at the same bearings, several at once.

    Each point is asked about one of them, by its row. Every operation is one element's own, so that an answer has the
    same digits whatever else is asked with it.
    """

    def __init__(self, radii_mm: Floats) -> None:
        """Take the distances from centre to outline, shape (outlines, BEARINGS), mm."""
        self._radii = _table(radii_mm)
        self._slopes = _table(
            (np.roll(radii_mm, -1, axis=1) - np.roll(radii_mm, 1, axis=1)) / (2 * (THETA[1] - THETA[0]))
        )

    def radius(self, bearing: Floats, row: Indexes | int = 0) -> Floats:
        """Return the distance from centre to outline at bearings (radians, 0 to a turn), mm."""
        at, past = _place(bearing, row)
        return _read(self._radii, at, past)

    def distance(self, x_mm: Floats, y_mm: Floats, row: Indexes | int = 0) -> Floats:
        """Return the distance outside the outline (negative inside), exact to first order at it.

        Args:
            x_mm: Offsets from the outline's centre; broadcast against ``y_mm``.
            y_mm: The same.
            row: Which outline is asked about, for each point.
        """
        reach, bearing = polar(x_mm, y_mm)
        at, past = _place(bearing, row)
        radius, slope = _read(self._radii, at, past), _read(self._slopes, at, past)
        return (reach - radius) * radius / np.hypot(radius, slope)


def polar(x_mm: Floats, y_mm: Floats) -> tuple[Floats, Floats]:
    """Return distances from the origin, mm, and bearings from 0 to a turn, radians."""
    bearing = np.arctan2(y_mm, x_mm)
    bearing += TURN * (bearing < 0)
    return np.hypot(x_mm, y_mm), bearing


def _table(values: Floats) -> tuple[Floats, Floats]:
    """Return values at the bearings and their rise from each to the next, row after row."""
    values = np.asarray(values, dtype=float)
    rise = np.diff(values, axis=1, append=values[:, :1]) / _WIDTHS
    return values.ravel(), rise.ravel()


def _place(bearing: Floats, row: Indexes | int) -> tuple[Indexes, Floats]:
    """Return where in a table bearings lie, and how far past that entry, radians."""
    entry: Indexes = np.minimum((bearing * (1 / STEP)).astype(np.intp), BEARINGS - 1)
    past: Floats = bearing - THETA[entry]
    at: Indexes = entry + row * BEARINGS
    return at, past


def _read(table: tuple[Floats, Floats], at: Indexes, past: Floats) -> Floats:
    values, rise = table
    read: Floats = rise[at] * past + values[at]
    return read

"""Discs that overlap are pushed apart. Only pairs that are near can, and few are."""

from __future__ import annotations

import numpy as np

from wristward.anatomy.arrays import Floats

DISC_GAP_MM = 0.3
SAME_LAYER = 0.6
"""Discs push one another when their shares outside the fascia differ by less."""

NEAR_MM = 4.0
"""Pairs whose edges are no further apart are watched."""

MOVED_MM = 1.0
"""Once a disc has moved so far since, the near ones are looked for anew; two of them leave room to spare."""


class Parting:
    """The overlapping discs of several plans, pushed apart together; discs of different plans never meet."""

    def __init__(self, axes: Floats, skin_share: Floats, starts: Floats) -> None:
        """Take the discs of all plans.

        Args:
            axes: Half-width and half-height, mm, and tilt, degrees, shape (n, 3).
            skin_share: Share outside the fascia, shape (n,).
            starts: Number of each plan's first disc, and n at the end.
        """
        self._width, self._height = axes[:, 0], axes[:, 1]
        tilt = np.radians(axes[:, 2])
        self._cos, self._sin = np.cos(tilt), np.sin(tilt)
        self._size = axes[:, 0] * axes[:, 1]
        self._far = axes[:, :2].max(axis=1)
        self._skin_share = skin_share
        self._starts = starts.tolist()

    def look(self, places_mm: Floats) -> None:
        """Find the pairs that are near now, each both ways round."""
        pairs = []
        for start, stop in zip(self._starts[:-1], self._starts[1:], strict=True):
            own = slice(start, stop)
            x, y = places_mm[own].T
            x, y = x[:, None] - x, y[:, None] - y
            reach = self._far[own, None] + self._far[own] + (DISC_GAP_MM + NEAR_MM)
            skin = self._skin_share[own]
            near = (x * x + y * y < reach * reach) & (np.abs(skin[:, None] - skin) < SAME_LAYER)
            np.fill_diagonal(near, False)
            pairs.append(np.argwhere(near) + start)
        self._one, self._other = one, other = np.concatenate(pairs).T.copy()
        count = len(places_mm)
        self._back = np.searchsorted(one * count + other, other * count + one)
        self._edges = self._width[one], self._height[one], self._cos[one], self._sin[one], self._size[one]
        self._share = 0.5 * self._size[other] / (self._size[one] + self._size[other])

    def part(self, places_mm: Floats) -> None:
        """Push overlapping ellipses apart along the line between them, the smaller one more."""
        if not len(self._one):
            return
        width, height, cos, sin, size = self._edges
        x, y = (places_mm[self._one] - places_mm[self._other]).T
        away = np.sqrt(x * x + y * y)
        along, across = height * (x * cos + y * sin), width * (y * cos - x * sin)
        reach = size * away / np.maximum(np.sqrt(along * along + across * across), 1e-12)
        lack = reach + reach[self._back] + DISC_GAP_MM - away
        stride = self._share * np.maximum(lack, 0.0) / np.maximum(away, 1e-6)
        # Added up pair by pair in their order: a sum over an axis would be rounded by its length.
        places_mm[:, 0] += np.bincount(self._one, stride * x, len(places_mm))
        places_mm[:, 1] += np.bincount(self._one, stride * y, len(places_mm))

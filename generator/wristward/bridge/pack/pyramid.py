"""Outlines over height to what a forecast leaves over, coarse to fine; no stored coordinate is off by more than asked for.

Every 64th row comes first, each forecast by the one before; then the row halfway between two that are known, forecast
by their mean, and so on down to every row. In a row, some points round the outline come first, and the points halfway
between take on the mean of what the forecast of their neighbours was off by. So a smooth outline that changes evenly
leaves zeros. Each forecast stands on what was stored, not on what was solved: errors do not add up.
``browser/core/numbers.js`` goes the same way.
"""

from __future__ import annotations

import numpy as np

APART = 64
"""Rows between those that come first."""


def left_over(points: np.ndarray, *, step: int) -> np.ndarray:
    """Return the whole numbers from which outlines are stored, to within half a step.

    Args:
        points: Shape (rows, n, 2), real numbers in units of the store, 0.01 mm; n points round a closed outline.
        step: What one more in a number moves a coordinate by, in the same units.

    Returns:
        Shape (rows · n · 2,): row by row as said above, each point's x and y side by side.
    """
    rows = len(points)
    kept = np.zeros(points.shape, dtype=np.int64)
    numbers: list[np.ndarray] = []
    for row in range(0, rows, APART):
        base = kept[row - APART : row - APART + 1] if row else np.zeros((1, *points.shape[1:]), dtype=np.int64)
        found, kept[row : row + 1] = _forecast(base, points[row : row + 1], step=step)
        numbers.append(found)
    half = APART // 2
    while half:
        here = np.arange(half, rows, 2 * half)
        above, below = here - half, np.where(here + half < rows, here + half, here - half)
        found, kept[here] = _forecast((kept[above] + kept[below]) >> 1, points[here], step=step)
        numbers.append(found)
        half //= 2
    return np.concatenate(numbers)


def coarsest(count: int) -> int:
    """Return how far apart the points of an outline stand that come first: halved as often as goes, two at least."""
    apart = 1
    while count % (2 * apart) == 0 and count > 2 * apart:
        apart *= 2
    return apart


def _forecast(base: np.ndarray, points: np.ndarray, *, step: int) -> tuple[np.ndarray, np.ndarray]:
    """Return numbers of some rows, in a line, and what they make of a forecast, shape (rows, n, 2)."""
    count = points.shape[1]
    off = np.zeros(base.shape, dtype=np.int64)
    numbers: list[np.ndarray] = []

    def settle(column: np.ndarray, lead: np.ndarray) -> None:
        found = np.rint((points[:, column] - base[:, column] - lead) / step).astype(np.int64)
        off[:, column] = lead + found * step
        numbers.append(found)

    apart = coarsest(count)
    for column in range(0, count, apart):
        settle(np.array([column]), off[:, [column - apart]] * (column > 0))
    while apart > 1:
        between = np.arange(apart // 2, count, apart)
        right = (between + apart // 2) % count
        settle(between, (off[:, between - apart // 2] + off[:, right]) >> 1)
        apart //= 2
    return np.concatenate(numbers, axis=1).ravel(), base + off

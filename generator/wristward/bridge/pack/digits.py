"""Whole numbers to short text and back: what is left over after a forecast, a character a number.

Neighbouring millimetres differ little and steadily, and neighbouring points of an outline move alike, so what a
forecast from both leaves over is mostly 0, 1 or -1. Each such number is one printable character: a server's
compression then sees the numbers themselves, which base64 would cut across (18 % more of the arm's outlines, as
measured). ``browser/section/geometry.js`` reads the same text.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

FIRST, SKIPPED = ord("#"), ord("\\")
"""Characters run from ``#`` to ``~`` without the backslash, so that JSON writes each as itself."""

LAST_DIGITS, LEADS = 61, 30
"""A number is digits, the lowest first: leads of base 30, then a last one that is below 61."""


class Packer:
    """Collects columns of whole numbers."""

    def __init__(self) -> None:
        self._left_over: list[np.ndarray] = []

    def column(self, values: Iterable[int]) -> None:
        """Append a column: the first value, the first step, then the changes of the step."""
        whole = np.fromiter(values, dtype=np.int64)
        steps = np.diff(whole)
        self._left_over.append(np.concatenate([whole[:1], steps[:1], np.diff(steps)]))

    def grid(self, whole: np.ndarray) -> None:
        """Append the columns of a grid, shape (rows, columns): how each step differs from the column's before.

        Its first row and column are differences to the neighbour that is there.
        """
        steps = np.diff(whole, axis=0, prepend=0)
        self._left_over.append(np.diff(steps, axis=1, prepend=0).T.ravel())

    def text(self) -> str:
        """Return everything appended so far."""
        left_over = np.concatenate([*self._left_over, np.zeros(0, dtype=np.int64)])
        rest = np.where(left_over >= 0, 2 * left_over, -2 * left_over - 1)
        digits, going = [], np.ones(len(rest), dtype=bool)
        while going.any():
            ends = going & (rest < LAST_DIGITS)
            digits.append(np.where(ends, rest, np.where(going, LAST_DIGITS + rest % LEADS, -1)))
            going, rest = going & ~ends, rest // LEADS
        symbols = np.stack(digits, axis=1).ravel() if digits else left_over
        codes = symbols[symbols >= 0] + FIRST
        return bytes((codes + (codes >= SKIPPED)).astype(np.uint8)).decode("ascii")


def runs_of(heights_mm: Sequence[int]) -> list[tuple[int, int]]:
    """Return unbroken stretches of heights as (highest, lowest) pairs, from the elbow down."""
    out: list[tuple[int, int]] = []
    for z_mm in sorted(heights_mm, reverse=True):
        if out and out[-1][1] == z_mm + 1:
            out[-1] = (out[-1][0], z_mm)
        else:
            out.append((z_mm, z_mm))
    return out

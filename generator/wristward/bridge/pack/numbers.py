"""Whole numbers to short text: what a forecast leaves over is mostly 0, 1 or -1, and takes less than a bit and a half.

Numbers near large ones are large as well. So each is coded by a table of shares that the sum of the four before it
chooses, with an asymmetric number system (range variant, J. Duda 2013, arXiv 1311.2540): a number of share f in 4096
takes log2(4096 / f) bits. A server's own compression sees bytes, not such neighbours, and takes a quarter more of the
arm's outlines, as measured. ``browser/core/numbers.js`` reads the same text.

    states, two words each | words as they are read         sixteen bits a word, base64
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

LARGE = 31
"""Numbers are folded to 0, -1, 1, -2, … = 0, 1, 2, 3, …; from here on a symbol says "large", and the rest stands in a list."""

BEFORE = 4
TABLES = 13
"""The sum of the last ``BEFORE`` sizes chooses the table, the last one for all larger sums."""

SHARE_BITS = 12
LEAST_BITS, WORD_BITS = 15, 16
"""A state lies in [2^15, 2^31), so that scripts keep it in 32 bits with a sign; below, it takes in a word."""

LANES = 128
"""States that take turns, one a number: what numpy works on at once."""


class Packer:
    """Collects whole numbers."""

    def __init__(self) -> None:
        self._numbers: list[np.ndarray] = []

    def column(self, values: Iterable[int]) -> None:
        """Append a column: the first value, the first step, then the changes of the step."""
        whole = np.fromiter(values, dtype=np.int64)
        steps = np.diff(whole)
        self.append(np.concatenate([whole[:1], steps[:1], np.diff(steps)]))

    def append(self, numbers: np.ndarray) -> None:
        """Append numbers as they are, shape (count,)."""
        self._numbers.append(numbers)

    def packed(self) -> dict[str, Any]:
        """Return everything appended so far: ``{"count", "tables", "large", "words"}``, JSON-able."""
        numbers = np.concatenate([*self._numbers, np.zeros(0, dtype=np.int64)])
        folded = np.where(numbers >= 0, 2 * numbers, -2 * numbers - 1)
        symbols = np.minimum(folded, LARGE)
        tables = _tables(symbols)
        shares = np.stack([_shares(symbols[tables == one]) for one in range(TABLES)])
        starts = np.cumsum(shares, axis=1) - shares
        return {
            "count": len(numbers),
            "tables": [np.trim_zeros(row, "b").tolist() for row in shares],
            "large": (folded[symbols == LARGE] - LARGE).tolist(),
            "words": _words(shares[tables, symbols], starts[tables, symbols]),
        }


def runs_of(heights_mm: Sequence[int]) -> list[tuple[int, int]]:
    """Return unbroken stretches of heights as (highest, lowest) pairs, from the elbow down."""
    out: list[tuple[int, int]] = []
    for z_mm in sorted(heights_mm, reverse=True):
        if out and out[-1][1] == z_mm + 1:
            out[-1] = (out[-1][0], z_mm)
        else:
            out.append((z_mm, z_mm))
    return out


def _tables(symbols: np.ndarray) -> np.ndarray:
    """Return which table each symbol is coded by."""
    total = np.concatenate([np.zeros(BEFORE + 1, dtype=np.int64), np.cumsum((symbols + 1) // 2)])
    tables: np.ndarray = np.minimum(total[BEFORE:-1] - total[: -1 - BEFORE], TABLES - 1)
    return tables


def _shares(symbols: np.ndarray) -> np.ndarray:
    """Return how often each symbol comes, in 4096 parts: none of those that come is left without one."""
    counts = np.bincount(symbols, minlength=LARGE + 1)
    shares: np.ndarray = np.maximum(counts * 2**SHARE_BITS // max(1, counts.sum()), counts > 0)
    shares[np.argmax(shares)] += 2**SHARE_BITS - shares.sum()
    return shares


def _words(shares: np.ndarray, starts: np.ndarray) -> str:
    """Return the states and words that a reader begins with; written from the last number to the first."""
    states = np.full(LANES, 2**LEAST_BITS, dtype=np.int64)
    words: list[np.ndarray] = []
    for first in range((len(shares) - 1) // LANES * LANES, -1, -LANES):
        share, start = shares[first : first + LANES], starts[first : first + LANES]
        state = states[: len(share)]
        full = state >= share << (LEAST_BITS + WORD_BITS - SHARE_BITS)
        words.append(state[full])
        state = np.where(full, state >> WORD_BITS, state)
        states[: len(share)] = (state // share << SHARE_BITS) + state % share + start
    halves = np.stack([states, states >> WORD_BITS], axis=1).ravel()
    text = np.concatenate([halves, *words[::-1]]) & (2**WORD_BITS - 1)
    return b64encode(text.astype("<u2").tobytes()).decode("ascii")

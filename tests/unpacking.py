"""Reads packed numbers and outlines back, one number at a time, as the browser does."""

from __future__ import annotations

from base64 import b64decode
from collections import deque
from typing import Any

import numpy as np

from wristward.bridge.pack.numbers import BEFORE, LANES, LARGE, LEAST_BITS, SHARE_BITS, TABLES, WORD_BITS
from wristward.bridge.pack.pyramid import APART, coarsest

Stored = dict[tuple[str, int], np.ndarray]


def unpack_rings(packed: dict[str, Any]) -> Stored:
    """Return the stored outlines, shape (n, 2) mm, by (structure, height): the inverse of ``pack_sections``."""
    return unpack_arm(packed)[0]


def unpack_arm(packed: dict[str, Any]) -> tuple[Stored, Stored]:
    """Return the stored outlines and, in the same way, the centres, shape (2,) mm."""
    reader = Unpacker(packed["data"])
    outlines: Stored = {}
    middles: Stored = {}
    for run in packed["runs"]:
        length = run["hi"] - run["lo"] + 1
        rings = reader.outlines(length, run["n"], step=packed["step"]) * packed["unit_mm"]
        centres = reader.outlines(length, 1, step=packed["step"])[:, 0] * packed["unit_mm"]
        for index, (ring, centre) in enumerate(zip(rings, centres, strict=True)):
            outlines[run["id"], run["hi"] - index] = ring
            middles[run["id"], run["hi"] - index] = centre
    return outlines, middles


class Unpacker:
    """Reads what ``Packer`` wrote."""

    def __init__(self, packed: dict[str, Any]) -> None:
        self._slots = [_slots(row) for row in packed["tables"]]
        self._large = iter(packed["large"])
        self._words = iter(np.frombuffer(b64decode(packed["words"]), dtype="<u2").tolist())
        self._states = [next(self._words) | next(self._words) << WORD_BITS for _ in range(LANES)]
        self._read = 0
        self._sizes = deque([0] * BEFORE, maxlen=BEFORE)

    def column(self, length: int) -> list[int]:
        """Read a column of known length."""
        out: list[int] = []
        value = step = 0
        for index in range(length):
            if index == 0:
                value = self.number()
            else:
                step = self.number() if index == 1 else step + self.number()
                value += step
            out.append(value)
        return out

    def outlines(self, rows: int, count: int, *, step: int) -> np.ndarray:
        """Read outlines of known shape, (rows, count, 2)."""
        kept = np.zeros((rows, count, 2), dtype=int)
        known: dict[int, None] = {}
        half = APART
        while half:
            for row in [row for row in range(0, rows, half) if row not in known]:
                pair = (row - half, row + half if row + half in known else row - half)
                base = (kept[pair[0]] + kept[pair[1]]) // 2 if row else np.zeros((count, 2), dtype=int)
                kept[row] = base + self._off(count, step)
                known[row] = None
            half //= 2
        return kept

    def at_end(self) -> bool:
        """Return whether every number has been read: words and rests are used up, and the states as they began."""
        spent = next(self._words, None) is None and next(self._large, None) is None
        return spent and set(self._states) == {2**LEAST_BITS}

    def number(self) -> int:
        """Read the next number."""
        lane = self._read % LANES
        head, slot = divmod(self._states[lane], 2**SHARE_BITS)
        symbol, share, start = self._slots[min(sum(self._sizes), TABLES - 1)][slot]
        state = share * head + slot - start
        self._states[lane] = state if state >= 2**LEAST_BITS else state << WORD_BITS | next(self._words)
        self._read += 1
        self._sizes.append((symbol + 1) // 2)
        folded = symbol + (next(self._large) if symbol == LARGE else 0)
        return folded >> 1 if folded % 2 == 0 else -(folded >> 1) - 1

    def _off(self, count: int, step: int) -> np.ndarray:
        off: dict[int, list[int]] = {-1: [0, 0]}
        apart = coarsest(count)
        for point in range(0, count, apart):
            off[point] = self._beside(off, max(-1, point - apart), max(-1, point - apart), step)
        while apart > 1:
            for point in range(apart // 2, count, apart):
                off[point] = self._beside(off, point - apart // 2, (point + apart // 2) % count, step)
            apart //= 2
        return np.array([off[point] for point in range(count)])

    def _beside(self, off: dict[int, list[int]], left: int, right: int, step: int) -> list[int]:
        return [(a + b) // 2 + self.number() * step for a, b in zip(off[left], off[right], strict=True)]


def _slots(shares: list[int]) -> list[tuple[int, int, int]]:
    """Return (symbol, share, start) for each of the 4096 parts."""
    slots: list[tuple[int, int, int]] = []
    for symbol, share in enumerate(shares):
        slots += [(symbol, share, len(slots))] * share
    return slots

"""Reads packed outlines back, as the browser does."""

from __future__ import annotations

from typing import Any

import numpy as np

from wristward.bridge.pack.digits import FIRST, LAST_DIGITS, LEADS, SKIPPED


def unpack_rings(packed: dict[str, Any]) -> dict[tuple[str, int], np.ndarray]:
    """Return the stored outlines, shape (n, 2) mm, by (structure, height): the inverse of ``pack_sections``."""
    reader, out = Unpacker(packed["data"]), {}
    for run in packed["runs"]:
        length = run["hi"] - run["lo"] + 1
        points = np.stack([reader.grid(length, run["n"] + 1) for _ in range(2)], axis=2) * packed["quantum_mm"]
        for index, ring in enumerate(points):
            out[run["id"], run["hi"] - index] = ring[:-1]
    return out


class Unpacker:
    """Reads what ``Packer`` wrote."""

    def __init__(self, text: str) -> None:
        self._codes = text.encode("ascii")
        self._at = 0

    def column(self, length: int) -> list[int]:
        """Read a column of known length."""
        out: list[int] = []
        value = step = 0
        for index in range(length):
            if index == 0:
                value = self._number()
            else:
                step = self._number() if index == 1 else step + self._number()
                value += step
            out.append(value)
        return out

    def grid(self, rows: int, columns: int) -> np.ndarray:
        """Read a grid of known shape (rows, columns)."""
        left_over = np.array([self._number() for _ in range(rows * columns)]).reshape(columns, rows).T
        return left_over.cumsum(axis=1).cumsum(axis=0)

    def at_end(self) -> bool:
        """Return whether every character has been read."""
        return self._at == len(self._codes)

    def _number(self) -> int:
        value, unit = 0, 1
        while True:
            code = self._codes[self._at]
            self._at += 1
            digit = code - FIRST - (code > SKIPPED)
            if digit < LAST_DIGITS:
                value += digit * unit
                return value >> 1 if value & 1 == 0 else -(value >> 1) - 1
            value += (digit - LAST_DIGITS) * unit
            unit *= LEADS

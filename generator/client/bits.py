"""Numbers to short text and back: zigzag varints of second differences, base64.

Neighbouring millimetres differ little and steadily, so the change of the change is mostly a small number
that fits one byte. ``client/geometry.js`` reads the same bytes.
"""

from __future__ import annotations

import base64
from collections.abc import Iterable, Sequence


class Packer:
    """Collects columns of whole numbers as bytes."""

    def __init__(self) -> None:
        self._bytes = bytearray()

    def column(self, values: Iterable[int]) -> None:
        """Append a column: the first value, the first step, then the changes of the step."""
        value = step = 0
        for index, current in enumerate(values):
            if index == 0:
                self._number(current)
            else:
                fresh = current - value
                self._number(fresh if index == 1 else fresh - step)
                step = fresh
            value = current

    def text(self) -> str:
        """Return everything appended so far as base64."""
        return base64.b64encode(bytes(self._bytes)).decode("ascii")

    def _number(self, value: int) -> None:
        rest = value * 2 if value >= 0 else -value * 2 - 1
        while rest > 127:
            self._bytes.append(rest & 127 | 128)
            rest >>= 7
        self._bytes.append(rest)


class Unpacker:
    """Reads what ``Packer`` wrote; used by tests and by whoever wants the packed file outside a browser."""

    def __init__(self, text: str) -> None:
        self._bytes = base64.b64decode(text)
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

    def at_end(self) -> bool:
        """Return whether every byte has been read."""
        return self._at == len(self._bytes)

    def _number(self) -> int:
        value = shift = 0
        while True:
            byte = self._bytes[self._at]
            self._at += 1
            value |= (byte & 127) << shift
            shift += 7
            if byte <= 127:
                return value >> 1 if value & 1 == 0 else -(value >> 1) - 1


def runs_of(heights_mm: Sequence[int]) -> list[tuple[int, int]]:
    """Return unbroken stretches of heights as (highest, lowest) pairs, from the elbow down."""
    out: list[tuple[int, int]] = []
    for z_mm in sorted(heights_mm, reverse=True):
        if out and out[-1][1] == z_mm + 1:
            out[-1] = (out[-1][0], z_mm)
        else:
            out.append((z_mm, z_mm))
    return out

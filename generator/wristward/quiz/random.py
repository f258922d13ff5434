"""Whole numbers from a seed, the same as in ``browser/quiz/random.js``: xorshift on 32 bits, the seed mixed first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

T = TypeVar("T")
WORD = 1 << 32


class Random:
    """A stream of numbers that a seed decides on every machine."""

    def __init__(self, seed: int) -> None:
        """Start from any whole number; only its lowest 32 bits count."""
        mixed = (seed ^ 0x9E3779B9) % WORD
        for factor in (0x7FEB352D, 0x846CA68B):
            mixed ^= mixed >> 15
            mixed = mixed * factor % WORD
        mixed ^= mixed >> 16
        # The state 0 would stay 0 for ever.
        self._state = mixed or 1

    def word(self) -> int:
        """Return the next number, 1 to 2^32 - 1."""
        state = self._state
        state ^= state << 13 & (WORD - 1)
        state ^= state >> 17
        state ^= state << 5 & (WORD - 1)
        self._state = state
        return state

    def below(self, count: int) -> int:
        """Return a number from 0 up to ``count`` - 1, each as likely as the other.

        Raises:
            ValueError: If ``count`` is below 1 or above 2^31.
        """
        if not 1 <= count <= WORD // 2:
            raise ValueError(f"count is {count} (allowed: 1 to {WORD // 2})")
        limit = WORD - WORD % count
        while (word := self.word()) >= limit:
            pass
        return word % count

    def choice(self, values: Sequence[T]) -> T:
        """Return one of the values."""
        return values[self.below(len(values))]

    def shuffled(self, values: Sequence[T]) -> list[T]:
        """Return the values in another order, each order as likely as the other."""
        mixed = list(values)
        for last in range(len(mixed) - 1, 0, -1):
            other = self.below(last + 1)
            mixed[last], mixed[other] = mixed[other], mixed[last]
        return mixed

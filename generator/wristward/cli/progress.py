"""A progress bar on standard error: a moving line for a person, a few lines for a log, nothing for no work."""

from __future__ import annotations

import sys
import time
from typing import TextIO

WIDTH = 30
LOG_STEP = 0.25


class Progress:
    """Called with what is done and what there is; draws itself when there is something to wait for."""

    def __init__(self, label: str, stream: TextIO | None = None) -> None:
        self._label = label
        self._stream = sys.stderr if stream is None else stream
        self._moving = self._stream.isatty()
        self._started = time.monotonic()
        self._last_share = -1.0

    def __call__(self, done: int, total: int) -> None:
        """Show that ``done`` of ``total`` are finished."""
        share = done / total if total else 1.0
        if done == total and self._last_share < 0:
            return  # all of it was there already
        if self._moving:
            self._draw(done, total, share)
        elif share >= 1 or share - self._last_share >= LOG_STEP:
            self._stream.write(f"{self._label}: {done} of {total}\n")
        else:
            return
        self._last_share = share
        self._stream.flush()

    def _draw(self, done: int, total: int, share: float) -> None:
        filled = round(WIDTH * share)
        seconds = time.monotonic() - self._started
        bar = "█" * filled + "·" * (WIDTH - filled)
        self._stream.write(f"\r{self._label} {bar} {done}/{total} {seconds:4.0f} s")
        if done == total:
            self._stream.write("\n")

"""What a report on the window of a block holds, and the same as JSON values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from wristward.block.window import Window

ROLES = ("wanted", "unwanted", "apart")


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportedArm:
    """The arm a report is about."""

    id: str
    name: str | None
    length_scale: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumed:
    """What a report assumes of the bathed length, and what it demands."""

    base_mm: float
    per_ml_mm: float
    sd_mm: float
    length_mm: float
    """Mean at the report's volume."""

    wanted_at_least: float
    spared_at_least: float
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportedEvent:
    """One event along the nerve."""

    id: str
    name: str
    role: str
    """One of ``ROLES``."""

    prevalence: float
    mean_z_mm: float
    """mm in the report's arm."""

    counted_at: str
    """The event at which the reading counts it."""

    chance_caught: tuple[float, ...]
    """At every whole millimetre of the arm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderEffect:
    """Where the orders of events change the chance of both the most, against independent events."""

    z_mm: float
    chance: float
    """How much they add to the chance, -1 to 1."""

    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WindowReport:
    """The window of a block under one reading, with everything it rests on. Heights are mm in its arm; chances 0 to 1."""

    nerve: str
    name: str
    volume_ml: float
    arm: ReportedArm
    reading: str
    assumed: Assumed
    events: tuple[ReportedEvent, ...]
    z_mm: tuple[float, ...]
    """Every whole millimetre of the arm; the chances below are over these."""

    wanted: tuple[float, ...]
    spared: tuple[float, ...]
    decisive_spared: tuple[float, ...]
    both: tuple[float, ...]
    window: Window
    """Under the reading; where it is empty, ``best_mm`` is the best compromise."""

    windows: Mapping[str, Window]
    """Under each reading."""

    orders: Mapping[str, OrderEffect]
    """Under each reading."""

    in_reach: bool
    limits: tuple[str, ...]
    """What limits the window, below and above, in words."""

    sentence: str
    """With both readings."""

    grip: str | None
    """What is said of the grip where forearm muscles are called spared."""

    def plain(self) -> dict[str, Any]:
        """Return the report as JSON values."""
        values = asdict(self)
        values["window"] = plain_window(self.window)
        values["windows"] = {reading: plain_window(window) for reading, window in self.windows.items()}
        return values


def plain_window(window: Window) -> dict[str, Any]:
    """Return a window as JSON values; ``empty`` says whether no level meets the demands."""
    return {"empty": window.empty, **asdict(window)}

"""The range of levels at which a block does what it should, what limits it, and the best level where there is none."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.block.blocks import BlockModel, scaled
from wristward.block.chance import Chances, chances

NEAR_BEST = 0.01
"""Levels whose chance lies this close to the best are as good as it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """The event that limits a window on one side."""

    event: str
    chance_caught: float
    """At the level just outside the window, or at the best level where the window is empty."""

    z_mm: float
    """That level, mm in this arm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Where all wanted are caught and all unwanted spared, each with the chance asked for."""

    low_mm: float | None
    """Lowest level, mm in this arm; None where no level meets both demands."""

    high_mm: float | None
    best_mm: float
    """Level with the highest chance of both, mm in this arm: the middle of those within a hundredth of the best."""

    best_low_mm: float
    best_high_mm: float
    best_chance: float
    """Chance of all wanted caught and all unwanted spared at ``best_mm``."""

    limit_below: Limit | None
    """Why not lower; None where the range of levels ends."""

    limit_above: Limit | None
    """Why not higher; None where the range of levels ends or nothing is unwanted."""

    @property
    def empty(self) -> bool:
        """Say whether no level meets both demands."""
        return self.span_mm is None

    @property
    def span_mm(self) -> tuple[float, float] | None:
        """Lowest and highest level, mm in this arm; None where no level meets both demands."""
        return None if self.low_mm is None or self.high_mm is None else (self.low_mm, self.high_mm)

    @property
    def lowest_mm(self) -> float:
        """Lowest level, or the best compromise where no level meets both demands, mm in this arm."""
        return self.best_mm if self.span_mm is None else self.span_mm[0]

    @property
    def highest_mm(self) -> float:
        """Highest level, or the best compromise where no level meets both demands, mm in this arm."""
        return self.best_mm if self.span_mm is None else self.span_mm[1]


def levels_mm(*, length_mm: float) -> Floats:
    """Return every whole millimetre from the wrist crease to the elbow crease of an arm."""
    return np.arange(0, int(np.floor(length_mm + 1e-9)) + 1, dtype=float)


def arm_chances(
    model: BlockModel,
    nerve: str,
    *,
    reading: str,
    volume_ml: float,
    length_scale: float,
    length_mm: float,
    ordered: bool = True,
) -> Chances:
    """Return the chances over every whole millimetre of an arm.

    Args:
        model: The model of the reference forearm.
        nerve: Key of its blocks.
        reading: "take_off" or "parting".
        volume_ml: Volume, mL.
        length_scale: Of the arm.
        length_mm: Of the reference forearm, mm.
        ordered: Let the orders hold; False takes all events as independent.
    """
    arm = scaled(model, length_scale=length_scale)
    z_mm = levels_mm(length_mm=length_mm * length_scale)
    return chances(arm, arm.blocks[nerve], reading=reading, z_mm=z_mm, volume_ml=volume_ml, ordered=ordered)


def find_window(
    found: Chances,
    *,
    wanted: tuple[str, ...],
    unwanted: tuple[str, ...],
    wanted_at_least: float,
    spared_at_least: float,
) -> Window:
    """Find the window in chances over rising levels.

    Args:
        found: Chances over z.
        wanted: Events to catch.
        unwanted: Events to spare.
        wanted_at_least: Chance asked of catching all wanted.
        spared_at_least: Chance asked of sparing all unwanted.
    """
    z_mm = found.z_mm
    fits = np.flatnonzero((found.wanted >= wanted_at_least) & (found.spared >= spared_at_least))
    top = float(found.both.max())
    near = np.flatnonzero(found.both >= top - NEAR_BEST)
    best = int(near[np.argmin(np.abs(z_mm[near] - (z_mm[near[0]] + z_mm[near[-1]]) / 2))])
    low, high = (int(fits[0]), int(fits[-1])) if fits.size else (best, best)
    step = 1 if fits.size else 0
    return Window(
        low_mm=float(z_mm[low]) if fits.size else None,
        high_mm=float(z_mm[high]) if fits.size else None,
        best_mm=float(z_mm[best]),
        best_low_mm=float(z_mm[near[0]]),
        best_high_mm=float(z_mm[near[-1]]),
        best_chance=float(found.both[best]),
        limit_below=_limit(found, wanted, low - step, least=True),
        limit_above=_limit(found, unwanted, high + step, least=False),
    )


def _limit(found: Chances, events: tuple[str, ...], index: int, *, least: bool) -> Limit | None:
    if not events or not 0 <= index < found.z_mm.size:
        return None
    chosen = (min if least else max)(events, key=lambda id_: (round(float(found.caught[id_][index]), 9), id_))
    return Limit(event=chosen, chance_caught=float(found.caught[chosen][index]), z_mm=float(found.z_mm[index]))

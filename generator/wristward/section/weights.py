"""Areas to weights: how far each muscle reaches from its spine so that it gets its share of the space.

A point belongs to the muscle with the least ``cost − weight``; loose tissue takes part with cost and
weight 0, so a muscle ends where its cost exceeds its weight. Softened by a small temperature this is
the gradient of a convex function of the weights, which damped Newton steps solve.

Elasticity: a squeezed muscle gives up some area instead of pushing its neighbours away,

    area_i = target_i · (1 − give((w_i − w0_i) / r_i)),

with w0 the reach the spine would need with nobody near, and r the radius of a disc of the belly's area.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.section.costs import Costs
from wristward.section.live import Live

REST = 0.3
"""Reach beyond the natural one, over the belly's radius, at which it gives nothing: corners need reach."""

GIVE_SLOPE = 0.35
GIVE_LIMIT = 0.35
STIFF_SLOPE = 0.02
TOLERANCE = 1e-7
MOST_STEPS = 60
LIMIT_MM = 1.5
"""Most that a reach changes in a step."""

DIGITS = 4
"""Decimals kept of a solved reach, mm.

The last digits differ with the processor and the number of threads of linear algebra. Without them a section is the same
on each machine, asked for alone or swept; a ten-thousandth of a millimetre of reach is not seen.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """Solved reaches."""

    weight_mm: Floats
    elastic_mm2: Floats
    """Elastic targets, mm²."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is asked of each belly, arrays of shape (m,)."""

    target_mm2: Floats
    """Areas asked for."""

    extra_mm2: Floats
    """Area lost later to septa and rounding, added to the elastic target."""

    natural_mm: Floats
    """Natural reach times stiffness."""

    radius_mm: Floats
    """Radius of a disc of the belly's area, times stiffness."""

    elastic: Floats
    """True where the belly may give, False for tendons."""

    def give(self, weight_mm: Floats) -> tuple[Floats, Floats, Floats]:
        """Return the share given up at a reach, its slope and its integral by the reach in excess, in radii."""
        slope = np.where(self.elastic, GIVE_SLOPE, STIFF_SLOPE)
        x = ((weight_mm - self.natural_mm) / self.radius_mm - REST) * slope / GIVE_LIMIT
        give = GIVE_LIMIT * np.tanh(x)
        return give, slope / np.cosh(np.clip(x, -30, 30)) ** 2, GIVE_LIMIT**2 / slope * _log_cosh(x)


def _log_cosh(x: Floats) -> Floats:
    size = np.abs(x)
    value: Floats = size + np.log1p(np.exp(-2 * size)) - np.log(2)
    return value


class Weighing:
    """Weights of the same bellies on the same cells, solved once or, as their costs change a little, again."""

    def __init__(self, share_mm2: Floats) -> None:
        """Take the free area of each cell, shape (rows, columns)."""
        self._share_mm2 = share_mm2
        self._live: Live | None = None

    def solve(self, costs: Costs, wanted: Wanted, *, start_mm: Floats) -> Weights:
        """Solve the weights.

        Args:
            costs: Cost of each belly at the cells that it looks at, mm.
            wanted: What is asked of each belly.
            start_mm: Weights to start from, shape (m,).

        Raises:
            Beyond: If a belly comes to be live where its cost is not sure.
        """
        weight = start_mm.copy()
        live = self._live if self._live is not None and self._live.follow(costs) else None
        live = self._looking(live, costs, weight, move_mm=LIMIT_MM)
        here = _Point(live, wanted, weight)
        for _ in range(MOST_STEPS):
            if np.abs(here.gradient).max() < TOLERANCE * wanted.target_mm2.sum():
                break
            move = np.linalg.solve(here.curvature(), -here.gradient)
            move *= min(1.0, LIMIT_MM / max(np.abs(move).max(), 1e-12))
            descent = here.gradient @ move
            stride, value = 1.0, here.value
            while True:
                trial = weight + stride * move
                known, live = live, self._looking(live, costs, trial, move_mm=stride * float(np.abs(move).max()))
                if live is not known:
                    # Values are compared on the same pairs: what was left out differs.
                    value = _Point(live, wanted, weight).value
                there = _Point(live, wanted, trial)
                if there.value <= value + 1e-4 * stride * descent or stride < 1e-4:
                    break
                stride /= 2
            weight, here = trial, there
        self._live = live
        weight = np.round(weight, DIGITS)
        give, _, _ = wanted.give(weight)
        return Weights(weight_mm=weight, elastic_mm2=wanted.target_mm2 * (1 - give))

    def _looking(self, live: Live | None, costs: Costs, weight: Floats, *, move_mm: float) -> Live:
        """Return the pairs if they hold at some weights, which were moved by so much to get there, or such as do."""
        if live is not None and live.holds_at(weight):
            return live
        return Live(costs, self._share_mm2, weight, slack_mm=move_mm)


class _Point:
    """The convex function at one place: its value and gradient, and its curvature if another step is taken."""

    def __init__(self, live: Live, wanted: Wanted, weight: Floats) -> None:
        self._live, self._shares = live, live.shares(weight)
        give, give_slope, give_sum = wanted.give(weight)
        target, radius, extra = wanted.target_mm2, wanted.radius_mm, wanted.extra_mm2
        self.value = self._shares.value + (target * radius * give_sum).sum() - ((target + extra) * weight).sum()
        self.gradient = self._shares.area_mm2 - target * (1 - give) - extra
        self._own = target * give_slope / radius + 1e-9

    def curvature(self) -> Floats:
        """Return the second derivatives, shape (m, m)."""
        return self._live.curvature(self._shares) + np.diag(self._own)

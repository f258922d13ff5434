"""Muscles make way for what runs between them.

A nerve stated to run in a seam lies at its settled place; the costs of the two muscles are bent around
it so that their border passes through that place, and everybody else's so that no third one takes it.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy.ndimage import map_coordinates

from tests.bench.landed_solver.grid import CELL_MM, Grid
from tests.bench.landed_solver.settle import Settled
from wristward.anatomy.plan import Plan

LIMIT_MM = 3.5
"""Most that a nerve changes a muscle's cost; what needs more is drawn wrongly and is reported."""

DAMPING = 0.8
BEND_MM = 4.5
"""Reach of a bend; about the width of the fatty sleeve round a nerve, drawn, no source."""

CLEAR_MM = 0.9
"""How much worse a third muscle must be at the place than the two of the seam."""

FIRM_MM = 0.7
"""How much better than loose tissue the two must be there."""


PROBE_MM = 0.8
DRAW_MM = 1.5
"""How far a nerve may be drawn from its knot onto its seam before the seam is bent to it."""


def draw_to_seams(
    plan: Plan, grid: Grid, settled: tuple[Settled, ...], cost_mm: np.ndarray, weight_mm: np.ndarray
) -> tuple[Settled, ...]:
    """Return discs moved toward the border of the two muscles they run between, by at most ``DRAW_MM``.

    One Newton step on the difference of the two gains, softly capped, so that the move is continuous. What lies
    beside a moved one without knots of its own, an artery's veins, goes with it.
    """
    row = {belly.id: k for k, belly in enumerate(plan.bellies)}
    moved = []
    for disc in settled:
        place = disc.at_mm
        for run in disc.disc.runs:
            if run.seam is None or not all(name in row for name in run.seam):
                continue
            first, second = (row[name] for name in run.seam)
            probes = place + np.array([[0, 0], [PROBE_MM, 0], [-PROBE_MM, 0], [0, PROBE_MM], [0, -PROBE_MM]])
            gain = weight_mm[[first, second], None] - sample(grid, cost_mm[[first, second]], probes)
            lead = gain[0] - gain[1]
            slope = np.array([lead[1] - lead[2], lead[3] - lead[4]]) / (2 * PROBE_MM)
            size2 = float((slope * slope).sum())
            step = -lead[0] * slope / (size2 + 0.2)
            size = float(np.hypot(*step))
            place = place + run.strength * step * (DRAW_MM * np.tanh(size / DRAW_MM) / max(size, 1e-9))
        moved.append(replace(disc, at_mm=place))
    return _take_along(settled, tuple(moved))


def _take_along(before: tuple[Settled, ...], after: tuple[Settled, ...]) -> tuple[Settled, ...]:
    """Return discs with those that lie beside a moved one, and have no knots of their own, moved as it was."""
    shift_mm = {one.disc.id: other.at_mm - one.at_mm for one, other in zip(before, after, strict=True)}
    led = []
    for disc in after:
        if disc.disc.at_mm is None:
            for rule in disc.disc.beside:
                if rule.structure in shift_mm:
                    disc = replace(disc, at_mm=disc.at_mm + rule.strength * shift_mm[rule.structure])
                    break
        led.append(disc)
    return tuple(led)


def sample(grid: Grid, fields: np.ndarray, places_mm: np.ndarray) -> np.ndarray:
    """Return fields (m, rows × columns) at places (k, 2) by linear interpolation, shape (m, k)."""
    rows = (places_mm[:, 1] - grid.y_mm[0]) / CELL_MM
    columns = (places_mm[:, 0] - grid.x_mm[0]) / CELL_MM
    return np.array([map_coordinates(f.reshape(grid.shape), (rows, columns), order=1, mode="nearest") for f in fields])


class Bends:
    """Bumps on costs, one a nerve and muscle, corrected from pass to pass."""

    def __init__(self, plan: Plan, grid: Grid, settled: tuple[Settled, ...]) -> None:
        """Find which discs bend which muscles, and where."""
        row = {belly.id: k for k, belly in enumerate(plan.bellies)}
        self._grid = grid
        self._items: list[tuple[np.ndarray, float, list[int], np.ndarray]] = []
        for disc in settled:
            for run in disc.disc.runs:
                names = run.seam if run.seam is not None else (run.on,) if run.on is not None else ()
                pair = [row[name] for name in names if name in row]
                if not pair:
                    continue
                reach = max(BEND_MM, 1.6 * disc.radius_mm)
                away2 = ((grid.points_mm - disc.at_mm) ** 2).sum(axis=1)
                near = np.flatnonzero(away2 < (3.5 * reach) ** 2)
                bump = run.strength * np.exp(-away2[near] / (2 * reach**2))
                self._items.append((disc.at_mm, run.strength, pair, near, bump, np.zeros(len(plan.bellies))))

    def correct(self, cost_mm: np.ndarray, weight_mm: np.ndarray) -> None:
        """Read the gains at each nerve and change its bumps so that the border comes to it."""
        if not self._items:
            return
        gain = weight_mm[:, None] - sample(self._grid, self.apply(cost_mm), np.array([item[0] for item in self._items]))
        for k, (_, _, pair, _, _, bump) in enumerate(self._items):
            here = gain[:, k]
            change = np.zeros_like(bump)
            if len(pair) == 2:
                level = max((here[pair[0]] + here[pair[1]]) / 2, FIRM_MM)
                change[pair] = level - here[pair]
                third = np.ones(len(bump), dtype=bool)
                third[pair] = False
                # A third muscle is pushed back as far as it is in the way, and let come again when it is not.
                change[third] = np.maximum(level - CLEAR_MM - here[third], -LIMIT_MM) * (here[third] > level - CLEAR_MM)
            else:
                # Its own border with loose tissue passes through the place.
                change[pair[0]] = -here[pair[0]]
            wanted = bump + DAMPING * change
            bump[:] = LIMIT_MM * np.tanh(wanted / LIMIT_MM)

    def apply(self, cost_mm: np.ndarray) -> np.ndarray:
        """Return the bent costs, shape (m, rows × columns)."""
        bent = cost_mm.copy()
        for _, _, _, near, shape, bump in self._items:
            for i in np.flatnonzero(bump):
                bent[i, near] -= bump[i] * shape
        return bent

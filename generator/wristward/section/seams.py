"""Muscles make way for what runs between them.

A nerve stated to run in a seam lies at its settled place; the costs of the two muscles are bent around
it so that their border passes through that place, and everybody else's so that no third one takes it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.anatomy.plan import Plan
from wristward.section.costs import Costs, Places
from wristward.section.grid import Box, Grid, overlap
from wristward.section.settle import Settled

LIMIT_MM = 3.5
"""Most that a nerve changes a muscle's cost; what needs more is drawn wrongly and is reported."""

DAMPING = 0.8
BEND_MM = 4.5
"""Reach of a bend; about the width of the fatty sleeve round a nerve, drawn, no source."""

BEND_ENDS = 3.5
"""Reaches at which a bend ends."""

CLEAR_MM = 0.9
"""How much worse a third muscle must be at the place than the two of the seam."""

FIRM_MM = 0.7
"""How much better than loose tissue the two must be there."""


PROBE_MM = 0.8
PROBES_MM = PROBE_MM * np.array([[0, 0], [1, 0], [-1, 0], [0, 1], [0, -1]])
DRAW_MM = 1.5
"""How far a nerve may be drawn from its knot onto its seam before the seam is bent to it."""


def draw_to_seams(
    plan: Plan, grid: Grid, settled: tuple[Settled, ...], costs: Costs, weight_mm: Floats
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
            pair = [row[name] for name in run.seam]
            gain = weight_mm[pair, None] - Places(costs, grid, place + PROBES_MM, bellies=pair).read(costs.flat)
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


@dataclass(frozen=True, slots=True)
class _Bend:
    """Where one nerve bends costs."""

    pair: list[int]
    """The muscle or the two that it runs along."""

    box: Box
    shape: Floats
    """The bend in that box, as high as the nerve's run is strong."""

    height_mm: Floats
    """How much each muscle's cost is lowered, shape (m,); corrected from pass to pass."""


class Bends:
    """Bumps on costs, one a nerve and muscle, corrected from pass to pass."""

    def __init__(self, plan: Plan, grid: Grid, settled: Sequence[Settled], costs: Costs) -> None:
        """Find which discs bend which muscles, and where."""
        row = {belly.id: k for k, belly in enumerate(plan.bellies)}
        self._costs = costs
        self._bends: list[_Bend] = []
        places = []
        for disc in settled:
            for run in disc.disc.runs:
                names = run.seam if run.seam is not None else (run.on,) if run.on is not None else ()
                pair = [row[name] for name in names if name in row]
                if pair:
                    places.append(disc.at_mm)
                    box, shape = _bump(grid, disc.at_mm, max(BEND_MM, 1.6 * disc.radius_mm))
                    self._bends.append(_Bend(pair, box, run.strength * shape, np.zeros(len(plan.bellies))))
        self._places = Places(costs, grid, np.array(places).reshape(-1, 2))

    def correct(self, bent: Costs, weight_mm: Floats) -> None:
        """Read the gains at each nerve and change its bumps so that the border comes to it.

        Args:
            bent: Costs as the bumps bend them so far.
            weight_mm: Reaches, shape (m,).
        """
        gain = weight_mm[:, None] - self._places.read(bent.flat)
        for bend, here in zip(self._bends, gain.T, strict=True):
            change = np.zeros_like(here)
            if len(bend.pair) == 2:
                level = max((here[bend.pair[0]] + here[bend.pair[1]]) / 2, FIRM_MM)
                # A third muscle is pushed back as far as it is in the way, and let come again when it is not.
                in_way = here > level - CLEAR_MM
                change = np.maximum(level - CLEAR_MM - here, -LIMIT_MM) * in_way
                change[bend.pair] = level - here[bend.pair]
            else:
                # Its own border with loose tissue passes through the place.
                change[bend.pair[0]] = -here[bend.pair[0]]
            wanted = bend.height_mm + DAMPING * change
            bend.height_mm[:] = LIMIT_MM * np.tanh(wanted / LIMIT_MM)

    def apply(self) -> Costs:
        """Return the bent costs."""
        bent = self._costs.copy()
        for bend in self._bends:
            for k in np.flatnonzero(bend.height_mm):
                mine, its = overlap(bent.boxes[k], bend.box)
                bent.fields[k][mine] -= bend.height_mm[k] * bend.shape[its]
        return bent


def _bump(grid: Grid, at_mm: Floats, reach_mm: float) -> tuple[Box, Floats]:
    """Return a bell about a place and the rows and columns that it covers."""
    far = BEND_ENDS * reach_mm
    box = rows, columns = grid.box(at_mm - far, at_mm + far)
    x2, y2 = (grid.x_mm[columns] - at_mm[0]) ** 2, (grid.y_mm[rows] - at_mm[1])[:, None] ** 2
    bell = np.exp(-y2 / (2 * reach_mm**2)) * np.exp(-x2 / (2 * reach_mm**2))
    return box, np.where(x2 + y2 < far**2, bell, 0.0)

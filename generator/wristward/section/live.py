"""The pairs of cell and belly that matter at some weights, laid out so that each cell's sums are added up in one order.

Most cells have one belly that wins by far, and the rest at most a few that can. Those are all that the areas, and how
they change with the weights, depend on.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wristward.anatomy.arrays import Floats, Indexes
from wristward.section.costs import CUT_MM, Beyond, Costs

TEMPERATURE_MM = 0.3
SLACK_RANGE_MM = (0.2, 2.0)
"""Least and most that weights may change before the live pairs are found again."""


@dataclass(frozen=True, slots=True)
class Shares:
    """What each belly gets at some weights."""

    value: float
    """The softened best gain, summed over the free area, mm³."""

    area_mm2: Floats
    """Area of each belly, shape (m,)."""

    part: Floats
    """Each live pair's share of its cell."""

    weighted_mm2: Floats
    """The same times the cell's free area."""


class Live:
    """The live pairs of cell and belly.

    Cells are ordered by how many bellies are live there, most first. Layer k holds the k-th belly of each cell that has
    so many, so it is about the first so many cells, and layers are added to one another in place.
    """

    def __init__(self, costs: Costs, share_mm2: Floats, weight_mm: Floats, *, slack_mm: float) -> None:
        """Find the pairs that are live as long as no gain changes by more than the slack."""
        self._weight_mm = weight_mm.copy()
        self._slack_mm = slack = min(max(slack_mm, SLACK_RANGE_MM[0]), SLACK_RANGE_MM[1])
        gain = costs.gain(weight_mm)
        best = costs.best(gain, share_mm2.shape)
        floor = best - (CUT_MM + 2 * slack)
        floor[share_mm2 <= 0] = np.inf
        live = np.flatnonzero(costs.above(gain, floor))
        best, share_mm2 = best.ravel(), share_mm2.ravel()
        cell = costs.cell[live]
        count = np.bincount(cell, minlength=len(best))
        held = (count == 1) & (best > CUT_MM + slack)
        alone = held[cell]
        self._held, self._held_share_mm2 = live[alone], share_mm2[cell[alone]]
        self._held_mm2 = np.bincount(costs.belly[self._held], self._held_share_mm2, len(weight_mm))
        count[held] = 0
        self._lay_out(costs, share_mm2, live[~alone], cell[~alone], count)
        self._take(costs)

    def _lay_out(self, costs: Costs, share_mm2: Floats, live: Indexes, cell: Indexes, count: Indexes) -> None:
        """Put live pairs, given by their places in the costs and their cells, into layers; cells have so many of them each."""
        cells = np.flatnonzero(count)
        many = count[cells]
        order = np.argsort(-many.astype(np.int8), kind="stable")
        cells, many = cells[order], many[order]
        sizes = np.bincount(many)[::-1].cumsum()[::-1][1:]
        ends = np.concatenate([[0], sizes.cumsum()])
        # Belly after belly in each cell, as the costs have them; short numbers are sorted fastest.
        order = np.argsort(cell.astype(np.min_scalar_type(count.size)), kind="stable")
        live, cell = live[order], cell[order]
        first = np.cumsum(count)
        first -= count
        layer = np.arange(len(live)) - first[cell]
        place = np.empty(len(count), dtype=np.intp)
        place[cells] = np.arange(len(cells))
        self._live = np.empty(len(live), dtype=np.intp)
        self._live[ends[layer] + place[cell]] = live
        self._share_mm2, self._belly = share_mm2[cells], costs.belly[self._live]
        self._unsure = np.flatnonzero(costs.unsure[self._live])
        self._layers = [slice(a, b) for a, b in zip(ends[:-1].tolist(), ends[1:].tolist(), strict=True)]
        bellies = len(self._held_mm2)
        self._pairs = [
            (one, other, self._belly[one][: other.stop - other.start] * bellies + self._belly[other])
            for n, one in enumerate(self._layers)
            for other in self._layers[n + 1 :]
        ]

    def _take(self, costs: Costs) -> None:
        self._costs, self._cost_mm = costs, costs.flat[self._live]
        self._held_cost = float((costs.flat[self._held] * self._held_share_mm2).sum())

    def holds_at(self, weight_mm: Floats) -> bool:
        """Say whether the pairs are still all that matter."""
        return bool(np.abs(weight_mm - self._weight_mm).max() <= self._slack_mm)

    def follow(self, costs: Costs) -> bool:
        """Go on with other costs of the same boxes if the pairs hold for them; say whether they do."""
        if costs.boxes != self._costs.boxes:
            return False
        self._slack_mm -= float(np.abs(costs.flat - self._costs.flat).max())
        self._take(costs)
        return self._slack_mm >= 0

    def shares(self, weight_mm: Floats) -> Shares:
        """Return what each belly gets.

        Raises:
            Beyond: If a belly is live where its cost is not sure.
        """
        gain = weight_mm[self._belly]
        gain -= self._cost_mm
        gain /= TEMPERATURE_MM
        top = np.zeros(len(self._share_mm2))
        layers = [(gain[layer], slice(layer.stop - layer.start)) for layer in self._layers]
        for mine, cells in layers:
            np.maximum(top[cells], mine, out=top[cells])
        for mine, cells in layers:
            mine -= top[cells]
        beyond = self._belly[self._unsure[gain[self._unsure] > -CUT_MM / TEMPERATURE_MM]]
        if len(beyond):
            raise Beyond(np.bincount(beyond, minlength=len(weight_mm)) > 0)
        part = np.exp(gain, out=gain)
        total = np.exp(-top)
        for mine, cells in layers:
            total[cells] += mine
        weighted = np.empty_like(part)
        for (mine, cells), layer in zip(layers, self._layers, strict=True):
            mine /= total[cells]
            np.multiply(mine, self._share_mm2[cells], out=weighted[layer])
        top += np.log(total)
        top *= self._share_mm2
        value = TEMPERATURE_MM * top.sum() + (weight_mm * self._held_mm2).sum() - self._held_cost
        area = self._held_mm2 + np.bincount(self._belly, weighted, len(weight_mm)).astype(float)
        return Shares(float(value), area, part, weighted)

    def curvature(self, shares: Shares) -> Floats:
        """Return how each belly's area changes with each weight, mm, shape (m, m)."""
        part, weighted, bellies = shares.part, shares.weighted_mm2, len(shares.area_mm2)
        flat = np.zeros(bellies * bellies)
        for one, other, where in self._pairs:
            flat += np.bincount(where, part[one][: len(where)] * weighted[other], bellies * bellies)
        both = flat.reshape(bellies, bellies)
        own = np.bincount(self._belly, weighted * (1 - part), bellies)
        return (np.diag(own) - both - both.T) / TEMPERATURE_MM

"""By how much each belly wins the cells about it, and the mean of that over neighbouring heights."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.section.costs import Beyond, Costs, split
from wristward.section.grid import CELL_MM, Box, Grid, overlap

MARGIN_MM = 2.0
"""Margins are cut off at this: far from its border a margin says nothing, and would only widen the blur."""


@dataclass(frozen=True, slots=True)
class Margin:
    """Margin by which a belly wins, in one part of the raster; elsewhere it loses by ``MARGIN_MM`` or more."""

    box: Box
    values_mm: Floats

    def within(self, box: Box) -> Floats:
        """Return the margin in another part of the raster."""
        filled = np.full([side.stop - side.start for side in box], -MARGIN_MM)
        its, mine = overlap(box, self.box)
        filled[its] = self.values_mm[mine]
        return filled

    def won(self, *, pad: int, shape: tuple[int, int]) -> Box | None:
        """Return the part of a raster of this shape with the cells that are won and so many about them, or None without any."""
        won = self.values_mm > 0
        sides = []
        for side, marked, most in zip(self.box, (won.any(axis=1), won.any(axis=0)), shape, strict=True):
            cells = np.flatnonzero(marked)
            if not len(cells):
                return None
            sides.append(
                slice(max(side.start + int(cells[0]) - pad, 0), min(side.start + int(cells[-1]) + pad + 1, most))
            )
        return sides[0], sides[1]


def solved_margins(grid: Grid, costs: Costs, weight_mm: Floats) -> list[Margin]:
    """Return by how much each belly wins over the next best and keeps off what bounds the space.

    Raises:
        Beyond: If a belly wins, or nearly, where its cost is not sure.
    """
    best, second = np.zeros(grid.shape), np.zeros(grid.shape)
    gains = split(costs.boxes, costs.gain(weight_mm))
    unsure = split(costs.boxes, costs.unsure)
    for box, gain in zip(costs.boxes, gains, strict=True):
        np.maximum(second[box], np.minimum(best[box], gain), out=second[box])
        np.maximum(best[box], gain, out=best[box])
    margins, short = [], []
    for box, gain, doubt in zip(costs.boxes, gains, unsure, strict=True):
        lead = gain - np.where(gain >= best[box], second[box], best[box])
        lead /= 2
        np.minimum(lead, grid.free_mm[box], out=lead)
        near = lead > -MARGIN_MM
        short.append(bool((near & doubt).any()))
        margins.append(Margin(box, np.maximum(np.minimum(lead, MARGIN_MM, out=lead), -MARGIN_MM, out=lead)))
    if any(short):
        raise Beyond(np.array(short))
    return margins


def mean_margin(here: Grid, there: Sequence[tuple[Grid, Margin | None, float]]) -> Margin:
    """Return a belly's mean margin on a grid; every raster lies on the same lattice, so cells only shift.

    Args:
        here: The grid.
        there: Grids with the belly's margin on each, None where it is not cut, and each one's share; shares add up to 1.
    """
    shifted = []
    for grid, margin, share in there:
        if margin is not None:
            down = round((grid.y_mm[0] - here.y_mm[0]) / CELL_MM)
            along = round((grid.x_mm[0] - here.x_mm[0]) / CELL_MM)
            shifted.append(
                (Margin((_moved(margin.box[0], down), _moved(margin.box[1], along)), margin.values_mm), share)
            )
    rows, columns = (
        slice(
            max(min(placed.box[axis].start for placed, _ in shifted), 0),
            min(max(placed.box[axis].stop for placed, _ in shifted), here.shape[axis]),
        )
        for axis in (0, 1)
    )
    missing = sum(share for _, margin, share in there if margin is None)
    mean = np.full((rows.stop - rows.start, columns.stop - columns.start), -MARGIN_MM * missing)
    for placed, share in shifted:
        mean += share * placed.within((rows, columns))
    return Margin((rows, columns), mean)


def _moved(side: slice, by: int) -> slice:
    return slice(side.start + by, side.stop + by)

"""What it costs each belly to reach the cells of the raster: only those that it can win, or nearly.

A cell's gain is a belly's reach less this cost; the cell goes to the highest gain, or to loose tissue, whose gain is
nothing. So a belly need look no further than about its own cells. How far that is shows only when reaches are solved:
``Beyond`` says that it looked too short, and then it looks further.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from wristward.anatomy.arrays import Flags, Floats, Indexes
from wristward.anatomy.plan import Plan
from wristward.section.bellies import Bellies
from wristward.section.grid import CELL_MM, Box, Grid, overlap
from wristward.section.settle import Settled
from wristward.section.spine_distance import View, Walls, detours, view

T = TypeVar("T", np.float64, np.bool_)

CUT_MM = 5.4
"""A gain that far below the best weighs exp(-18) of it: nothing that would show in a reach."""

LOOK_MM = 14.0
"""How far beyond its natural reach a belly looks at first."""

KEEP_MM = 5.0
"""After the first weighing a belly goes on looking at cells where it would be live if its gain rose by so much."""

FURTHER_MM = 8.0
"""How much further a belly looks, and goes on looking, that turns out to look too short."""

EDGE_MM = 2.4
"""So near the edge of what a belly looks at, a detour may miss a way that leads through what it does not."""

SEAM_MM = 5.0
"""About a nerve the two muscles that it runs between are looked at, however far from it they are."""

CORE_PULL = 8.0
"""Extra pull near a spine, so that a thin belly is not cut in two where it is squeezed."""

UNSEEN_MM = 1e3
"""Cost of a cell that a belly does not look at."""


class Beyond(Exception):
    """A belly is live, or nearly, at the edge of what it looks at or further."""

    def __init__(self, bellies: Flags) -> None:
        """Take which bellies look too short, shape (m,)."""
        super().__init__("a belly reaches further than it looks")
        self.bellies = bellies


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """Costs of several bellies, each in its part of the raster."""

    boxes: tuple[Box, ...]
    flat: Floats
    """Costs in all boxes, one after another, mm."""

    unsure: Flags
    """True where a belly may not be live: its cost may have a cheaper way that was not looked at, or its box ends."""

    cell: Indexes
    """Which cell of the raster each is about."""

    belly: Indexes
    """Which belly's each is."""

    fields: tuple[Floats, ...] = field(init=False)
    """Costs by box, views of ``flat``."""

    def __post_init__(self) -> None:
        """Cut the costs into boxes."""
        object.__setattr__(self, "fields", split(self.boxes, self.flat))

    def copy(self) -> Costs:
        """Return costs that may be changed."""
        return replace(self, flat=self.flat.copy())

    def gain(self, weight_mm: Floats) -> Floats:
        """Return how far each belly reaches beyond its cost, in the order of ``flat``, mm."""
        gain = np.repeat(weight_mm, [field.size for field in self.fields])
        gain -= self.flat
        return gain

    def best(self, gain: Floats, shape: tuple[int, int]) -> Floats:
        """Return the best gain at each cell of a raster of this shape, nothing where loose tissue has it."""
        best = np.zeros(shape)
        for box, mine in zip(self.boxes, split(self.boxes, gain), strict=True):
            np.maximum(best[box], mine, out=best[box])
        return best

    def above(self, gain: Floats, floor: Floats) -> Flags:
        """Return where a gain is above a floor that is given for each cell of the raster."""
        above = np.empty(len(gain), dtype=bool)
        for box, mine, out in zip(self.boxes, split(self.boxes, gain), split(self.boxes, above), strict=True):
            np.greater(mine, floor[box], out=out)
        return above

    def within(self, boxes: Sequence[Box], shape: tuple[int, int]) -> Costs:
        """Return the costs in smaller parts of a raster of this shape."""
        parts = [overlap(box, small)[0] for box, small in zip(self.boxes, boxes, strict=True)]

        def cut(flat: NDArray[T]) -> NDArray[T]:
            return np.concatenate(
                [mine[part].ravel() for mine, part in zip(split(self.boxes, flat), parts, strict=True)]
            )

        return laid_out(boxes, cut(self.flat), cut(self.unsure), shape)


def laid_out(boxes: Sequence[Box], flat: Floats, unsure: Flags, shape: tuple[int, int]) -> Costs:
    """Return costs in boxes of a raster of this shape; what their ends are is marked unsure."""
    for (rows, columns), marked in zip(boxes, split(boxes, unsure), strict=True):
        marked[:1] |= rows.start > 0
        marked[-1:] |= rows.stop < shape[0]
        marked[:, :1] |= columns.start > 0
        marked[:, -1:] |= columns.stop < shape[1]
    number = np.arange(shape[0] * shape[1]).reshape(shape)
    cells = [number[box].ravel() for box in boxes]
    belly = np.repeat(np.arange(len(boxes)), [len(mine) for mine in cells])
    return Costs(boxes=tuple(boxes), flat=flat, unsure=unsure, cell=np.concatenate(cells), belly=belly)


def split(boxes: Sequence[Box], flat: NDArray[T]) -> tuple[NDArray[T], ...]:
    """Return an array's parts, each in the shape of its box."""
    fields, start = [], 0
    for rows, columns in boxes:
        shape = rows.stop - rows.start, columns.stop - columns.start
        stop = start + shape[0] * shape[1]
        fields.append(flat[start:stop].reshape(shape))
        start = stop
    return tuple(fields)


class Looking:
    """The bellies of one plan and the part of the raster that each looks at."""

    def __init__(self, plan: Plan, grid: Grid, bellies: Bellies, settled: Sequence[Settled]) -> None:
        self.plan, self.grid, self.bellies = plan, grid, bellies
        self._further_mm = np.zeros(len(plan.bellies))
        self._walls = Walls(plan, grid)
        self._around_mm = _seams(plan, settled)
        self.views = [self._view(k) for k in range(len(plan.bellies))]

    def _far_mm(self) -> Floats:
        far: Floats = (self.bellies.natural_mm + LOOK_MM) / self.bellies.stiffness + EDGE_MM + self._further_mm
        return far

    def _view(self, k: int) -> View:
        spine_mm = self.plan.bellies[k].spine_mm
        return view(self.grid, self._walls, spine_mm, around_mm=self._around_mm[k], far_mm=float(self._far_mm()[k]))

    def look_further(self, bellies: Flags, detours_mm: list[Floats]) -> None:
        """Let some bellies look further, and change their detours with their views."""
        self._further_mm[bellies] += FURTHER_MM
        some = np.flatnonzero(bellies).tolist()
        for k in some:
            self.views[k] = self._view(k)
        for k, detour in zip(some, detours([self.views[k] for k in some]), strict=True):
            detours_mm[k] = detour

    def costs(self, detours_mm: Sequence[Floats]) -> Costs:
        """Return the costs: the way to the spine times the belly's stiffness, less the pull near it."""
        boxes = tuple(seen.box for seen in self.views)
        flat = np.empty(sum(seen.straight_mm.size for seen in self.views))
        unsure = np.empty(flat.shape, dtype=bool)
        every = zip(
            split(boxes, flat),
            split(boxes, unsure),
            self.views,
            detours_mm,
            self.bellies.stiffness,
            self.bellies.core_mm,
            self._far_mm() - EDGE_MM,
            strict=True,
        )
        for cost, doubt, seen, detour, stiffness, core, sure in every:
            np.add(seen.straight_mm, detour, out=cost)
            np.greater(cost, sure, out=doubt)
            cost *= stiffness
            pull = core - seen.straight_mm
            np.maximum(pull, 0.0, out=pull)
            pull *= CORE_PULL
            cost -= pull
        return laid_out(boxes, flat, unsure, self.grid.shape)

    def kept(self, costs: Costs, weight_mm: Floats) -> Costs:
        """Return the costs where the bellies are live at these weights or may come to be, and about their nerves."""
        gain = costs.gain(weight_mm)
        floor = costs.best(gain, self.grid.shape) - (CUT_MM + KEEP_MM)
        boxes = []
        for k, (box, mine) in enumerate(zip(costs.boxes, split(costs.boxes, gain), strict=True)):
            near = mine > (floor[box] - self._further_mm[k] * self.bellies.stiffness[k])
            around = (
                overlap(box, self.grid.box(*self._around_mm[k]))[0] if np.isfinite(self._around_mm[k]).all() else None
            )
            if around is not None:
                near[around] = True
            boxes.append(marked_box(box, near))
        return costs.within(boxes, self.grid.shape)


def marked_box(box: Box, marked: Flags) -> Box:
    """Return the smallest part of a part of a raster that holds its marked cells and one about them; its first cells if none is."""
    sides = []
    for side, lines in zip(box, (marked.any(axis=1), marked.any(axis=0)), strict=True):
        found = np.flatnonzero(lines)
        first, last = (int(found[0]), int(found[-1])) if len(found) else (0, 0)
        sides.append(slice(max(side.start + first - 1, side.start), min(side.start + last + 2, side.stop)))
    return sides[0], sides[1]


def _seams(plan: Plan, settled: Sequence[Settled]) -> Floats:
    """Return the rectangle about the nerves that run along each belly, corners low and high, shape (m, 2, 2)."""
    around = np.empty((len(plan.bellies), 2, 2))
    around[:, 0], around[:, 1] = np.inf, -np.inf
    row = {belly.id: k for k, belly in enumerate(plan.bellies)}
    for disc in settled:
        for run in disc.disc.runs:
            for name in (*(run.seam or ()), run.on):
                if name in row:
                    low, high = around[row[name]]
                    np.minimum(low, disc.at_mm - SEAM_MM, out=low)
                    np.maximum(high, disc.at_mm + SEAM_MM, out=high)
    return around


class Places:
    """The cells about some places, from which bellies' costs there are read by linear interpolation."""

    def __init__(self, costs: Costs, grid: Grid, places_mm: Floats, bellies: Sequence[int] | None = None) -> None:
        """Take the places, shape (places, 2), and which bellies are asked about, all by default."""
        rows, columns = grid.shape
        row = np.clip((places_mm[:, 1] - grid.y_mm[0]) / CELL_MM, 0, rows - 1)
        column = np.clip((places_mm[:, 0] - grid.x_mm[0]) / CELL_MM, 0, columns - 1)
        top, left = np.minimum(row.astype(int), rows - 2), np.minimum(column.astype(int), columns - 2)
        down, along = row - top, column - left
        self._shares = np.stack([(1 - down) * (1 - along), (1 - down) * along, down * (1 - along), down * along])
        edges = np.array([(r.start, r.stop, c.start, c.stop) for r, c in costs.boxes]).reshape(-1, 4, 1)
        width = edges[:, 3] - edges[:, 2]
        size = (edges[:, 1] - edges[:, 0]) * width
        first = np.cumsum(size, axis=0) - size
        if bellies is not None:
            edges, width, first = edges[bellies], width[bellies], first[bellies]
        self._seen = (edges[:, 0] <= top) & (top + 1 < edges[:, 1]) & (edges[:, 2] <= left) & (left + 1 < edges[:, 3])
        corner = np.where(self._seen, first + (top - edges[:, 0]) * width + (left - edges[:, 2]), 0)
        below = np.where(self._seen, width, 0)
        beside = self._seen.astype(int)
        self._cells = np.stack([corner, corner + beside, corner + below, corner + below + beside])

    def read(self, flat: Floats) -> Floats:
        """Return each belly's cost at each place, shape (bellies, places), ``UNSEEN_MM`` where it does not look."""
        upper_left, upper_right, lower_left, lower_right = flat[self._cells]
        a, b, c, d = self._shares
        return np.where(self._seen, upper_left * a + upper_right * b + lower_left * c + lower_right * d, UNSEEN_MM)

"""How far it is from each muscle's spine, going round bone and membrane rather than through.

The straight distance is exact on the fine raster. A coarser raster with costly walls gives the way
round; only what the detour adds is taken from it, so open muscle keeps the exact, smooth distance.
A belly looks no further than it can reach: what lies beyond costs it more than anything within.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from wristward.anatomy.arrays import Flags, Floats
from wristward.anatomy.plan import Plan
from wristward.section.grid import (
    CELL_MM,
    Box,
    Grid,
    Raster,
    line_distance,
    near_bone,
    near_sheet,
    star_distance,
)

T = TypeVar("T", np.float64, np.bool_)

COARSE_MM = 2 * CELL_MM
"""The coarse raster is every second row and column of the fine one."""

WALL_COST = 14.0
"""Cost of a millimetre through bone, membrane or fascia, in millimetres of open way."""

WALL_HALF_MM = 0.9
"""Sheets are thickened to this on the coarse raster, so that no diagonal step slips through."""

START_MM = 1.5
SLACK_MM = 0.4
SLACK_SHARE = 0.045
"""The sixteen step directions of the coarse raster overstate a distance by at most 2.7 %."""

ROUNDING_MM = 1e-9
"""Distances that differ by less are the same but for rounding."""

TOGETHER = 64
"""Views that are swept at once: enough to make up for the calls, few enough for the fast memory."""

_FAR_MM = 1e4
_NO_WAY = 1e6
"""Cost beyond a view's edge: views of several sizes are swept together, and none may pass through the rest."""


class Walls:
    """The coarse raster of a plan, and what bars the way on it."""

    def __init__(self, plan: Plan, grid: Grid) -> None:
        # From one node before the fine raster's first on, so that their places are rounded as they always were.
        x, y = (
            np.arange(axis[0] - COARSE_MM, axis[-1] + COARSE_MM, COARSE_MM)[1 : len(axis) // 2 + 2]
            for axis in (grid.x_mm, grid.y_mm)
        )
        self.raster = Raster(x, y)
        self.barred = star_distance(x, y, plan.centre_mm, plan.fascia_radii_mm) > 0
        for bone in plan.bones:
            box, distance = near_bone(self.raster, bone, far_mm=0.0)
            self.barred[box] |= distance < 0
        for sheet in plan.sheets:
            box, distance = near_sheet(self.raster, sheet, far_mm=WALL_HALF_MM)
            self.barred[box] |= distance < WALL_HALF_MM - sheet.thickness_mm / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """The part of a raster that a belly looks at."""

    box: Box
    straight_mm: Floats
    """Straight distance to the spine, shape of the box."""

    nodes_mm: Floats
    """The same at the nodes of the coarse raster about the box."""

    start_mm: Floats
    """The same at the nodes that the way to the spine starts from, far elsewhere."""

    barred: Flags
    """True at the nodes where the way is barred."""


def view(grid: Grid, walls: Walls, spine_mm: Floats, *, around_mm: Floats, far_mm: float) -> View:
    """Return a belly's view of the raster.

    Args:
        grid: The raster.
        walls: What bars the way on it.
        spine_mm: The belly's spine, shape (k, 2).
        around_mm: Rectangle that it looks at in any case, corners low and high, shape (2, 2).
        far_mm: How far about its spine it looks.
    """
    low = np.minimum(spine_mm.min(axis=0) - far_mm, around_mm[0])
    high = np.maximum(spine_mm.max(axis=0) + far_mm, around_mm[1])
    coarse = walls.raster.box(low, high)
    # An even raster ends between two nodes; the last of them lies outside the fascia, and need not be exact.
    sides = [slice(2 * side.start, min(2 * side.stop - 1, most)) for side, most in zip(coarse, grid.shape, strict=True)]
    straight = line_distance(*grid.part((sides[0], sides[1])), _bent_only(spine_mm))
    nodes = straight[::2, ::2]
    if nodes.shape != walls.barred[coarse].shape:
        nodes = np.pad(straight, [(0, 1 - size % 2) for size in straight.shape], "edge")[::2, ::2]
    return View(
        box=(sides[0], sides[1]),
        straight_mm=straight,
        nodes_mm=nodes,
        start_mm=_start(walls, coarse, spine_mm, nodes),
        barred=walls.barred[coarse],
    )


def _start(walls: Walls, box: Box, spine_mm: Floats, nodes_mm: Floats) -> Floats:
    """Return the distance at the nodes that the way starts from, in a part of the coarse raster, far elsewhere."""
    starts = _nearer(walls, box, spine_mm, nodes_mm, START_MM) & ~walls.barred[box]
    if not starts.any():
        # A spine that hugs a wall may own no open node; then it starts from the walls' nodes as well.
        starts = _nearer(walls, box, spine_mm, nodes_mm, START_MM + COARSE_MM)
    return np.where(starts, nodes_mm, _FAR_MM)


def _nearer(walls: Walls, box: Box, spine_mm: Floats, nodes_mm: Floats, limit_mm: float) -> Flags:
    """Return which nodes are nearer a spine than a limit. Spines and limits are round numbers, so some are just as far.

    There the last digit decides: it is that of the distance to all segments from the place as the coarse raster has it.
    """
    nearer = nodes_mm < limit_mm
    for row, column in np.argwhere(np.abs(nodes_mm - limit_mm) < ROUNDING_MM).tolist():
        row_there, column_there = box[0].start + row, box[1].start + column
        place = walls.raster.part((slice(row_there, row_there + 1), slice(column_there, column_there + 1)))
        nearer[row, column] = line_distance(*place, spine_mm)[0, 0] < limit_mm
    return nearer


def _is_point(line_mm: Floats) -> bool:
    return bool(np.ptp(line_mm, axis=0).max() < 1e-6)


def _bent_only(line_mm: Floats) -> Floats:
    """Return a polyline without the points that lie on the way between their neighbours; one without length is a point twice."""
    first, last = line_mm[0], line_mm[-1]
    if _is_point(line_mm):
        return line_mm[:2]
    along = last - first
    offset = line_mm - first
    aside = offset[:, 0] * along[1] - offset[:, 1] * along[0]
    share = (offset[:, 0] * along[0] + offset[:, 1] * along[1]) / (along[0] ** 2 + along[1] ** 2)
    # No more than rounding: a wider tolerance would show in the last digit kept of a reach.
    straight = np.abs(aside).max() < 1e-12 * np.hypot(*along) and np.diff(share).min() >= 0
    return line_mm[[0, -1]] if straight else line_mm


def detours(views: Sequence[View]) -> list[Floats]:
    """Return what going round adds to the straight distance in each view, shape of its box, mm, never negative.

    Views of one size or many, together or alone: each has the same digits.
    """
    found: list[Floats] = [np.zeros(0)] * len(views)
    order = sorted(range(len(views)), key=lambda k: (views[k].barred.shape[0], views[k].barred.shape[1], k))
    for start in range(0, len(order), TOGETHER):
        some = order[start : start + TOGETHER]
        for k, extra in zip(some, _detours([views[k] for k in some]), strict=True):
            found[k] = extra
    return found


def _detours(views: Sequence[View]) -> Iterator[Floats]:
    cost = [np.where(seen.barred, WALL_COST, 1.0) for seen in views]
    way = _stacked([seen.start_mm for seen in views], _FAR_MM)
    _sweep(way, _stacked(cost, _NO_WAY))
    distance = _stacked([seen.nodes_mm for seen in views], 0.0)
    extra = np.maximum(0.0, way - distance - SLACK_MM - SLACK_SHARE * distance)
    inside = _stacked([np.ones(seen.barred.shape, dtype=bool) for seen in views], False)
    extra = _heal_walls(np.where(inside, extra, _FAR_MM), _stacked([seen.barred for seen in views], False))
    for k, seen in enumerate(views):
        nodes, cells = seen.barred.shape, seen.straight_mm.shape
        yield _refined(extra[: nodes[0], : nodes[1], k])[: cells[0], : cells[1]]


def _stacked(fields: Sequence[NDArray[T]], rest: float) -> NDArray[T]:
    """Return fields one behind another, shape (most rows, most columns, fields), filled up.

    So the same columns of all fields lie together, and a row's are one piece, whichever way it is shifted.
    """
    rows, columns = np.max([field.shape for field in fields], axis=0)
    stacked = np.full((rows, columns, len(fields)), rest, dtype=fields[0].dtype)
    for k, field in enumerate(fields):
        stacked[: field.shape[0], : field.shape[1], k] = field
    return stacked


def _sweep(way: Floats, cost: Floats) -> None:
    """Lower the ways to the least costs from their start nodes; rows are swept down and up, twice.

    Args:
        way: Start distances, shape (rows, columns, views); changed in place.
        cost: Of a millimetre at each node, the same shape.
    """
    along = np.zeros(cost.shape)
    np.cumsum(COARSE_MM * (cost[:, 1:] + cost[:, :-1]) / 2, axis=1, out=along[:, 1:])
    spare, back = np.empty(way.shape[1:]), np.empty(way.shape[1:])
    add, subtract, least, accumulate = np.add, np.subtract, np.minimum, np.minimum.accumulate
    down, up = _steps(way, cost, spare)
    for steps, rows in 2 * ((down, range(len(way))), (up, range(len(way) - 1, -1, -1))):
        for row in rows:
            for onto, away, toll, there in steps[row]:
                add(away, toll, there)
                least(onto, there, out=onto)
            line, walked = way[row], along[row]
            subtract(line, walked, spare)
            accumulate(spare, 0, None, spare)
            add(spare, walked, spare)
            add(line, walked, back)
            least(line, spare, out=line)
            accumulate(back[::-1], 0, None, back[::-1])
            subtract(back, walked, back)
            least(line, back, out=line)


_Step = tuple[Floats, Floats, Floats, Floats]
"""Nodes of a row, the nodes of another row that lead to them, what that costs, and room for the sums."""


def _steps(way: Floats, cost: Floats, spare: Floats) -> tuple[list[list[_Step]], list[list[_Step]]]:
    """Return the steps onto each row from the one or two rows before it: swept down, and swept up.

    There are sixteen directions: beside those along a row, straight, diagonal and the knight's.
    """
    knight = COARSE_MM * np.sqrt(5)
    a, b = cost[:-1], cost[1:]
    straight = COARSE_MM * (a + b) / 2
    diagonal = COARSE_MM * np.sqrt(2) * (b[:, 1:] + a[:, :-1] + b[:, :-1] + a[:, 1:]) / 4
    middle = np.maximum(b[:, 1:-1], a[:, 1:-1])
    falling = knight * np.maximum(np.maximum(b[:, 2:], a[:, :-2]), middle)
    rising = knight * np.maximum(np.maximum(b[:, :-2], a[:, 2:]), middle)
    a, m, b = cost[:-2], cost[1:-1], cost[2:]
    middle = np.maximum(m[:, 1:], m[:, :-1])
    falling_two = knight * np.maximum(np.maximum(b[:, 1:], a[:, :-1]), middle)
    rising_two = knight * np.maximum(np.maximum(b[:, :-1], a[:, 1:]), middle)
    down: list[list[_Step]] = [[] for _ in way]
    up: list[list[_Step]] = [[] for _ in way]

    def join(apart: int, shift: int, tolls: Floats) -> None:
        """Join each row to the one so far below it, each node to the one so many columns further on."""
        room = spare[: tolls.shape[1]]
        for row, toll in enumerate(tolls):
            above, below = _shifted(way[row], -shift), _shifted(way[row + apart], shift)
            down[row + apart].append((below, above, toll, room))
            up[row].append((above, below, toll, room))

    join(1, 0, straight)
    join(1, 1, diagonal)
    join(1, -1, diagonal)
    join(1, 2, falling)
    join(1, -2, rising)
    join(2, 1, falling_two)
    join(2, -1, rising_two)
    return down, up


def _shifted(line: Floats, shift: int) -> Floats:
    """Return the columns that are so many columns further on than some other."""
    return line[shift:] if shift >= 0 else line[:shift]


def _heal_walls(extra: Floats, barred: Flags) -> Floats:
    """Give wall nodes the least detour of their open neighbours, or interpolation would push muscle off bone."""
    healed = np.where(barred, _FAR_MM, extra)
    for _ in range(3):
        rows = healed.copy()
        np.minimum(rows[1:], healed[:-1], out=rows[1:])
        np.minimum(rows[:-1], healed[1:], out=rows[:-1])
        near = rows.copy()
        np.minimum(near[:, 1:], rows[:, :-1], out=near[:, 1:])
        np.minimum(near[:, :-1], rows[:, 1:], out=near[:, :-1])
        np.copyto(healed, near, where=barred & (healed >= _FAR_MM))
    return np.where(healed >= _FAR_MM, extra, healed)


def _refined(coarse: Floats) -> Floats:
    """Return a field of the coarse raster on the fine one, linear between its nodes."""
    rows, columns = coarse.shape
    fine = np.empty((2 * rows - 1, 2 * columns - 1))
    fine[::2, ::2] = coarse
    fine[::2, 1::2] = (coarse[:, :-1] + coarse[:, 1:]) / 2
    fine[1::2] = (fine[:-1:2] + fine[2::2]) / 2
    return fine

"""How far each point is from each muscle's spine, going round bone and membrane rather than through.

The straight distance is exact on the fine raster. A coarser raster with costly walls gives the way
round; only what the detour adds is taken from it, so open muscle keeps the exact, smooth distance.
"""

from __future__ import annotations

import numpy as np
from scipy.ndimage import map_coordinates

from tests.bench.landed_solver.grid import Grid, bone_distance, line_distance, sheet_distance, star_distance
from wristward.anatomy.plan import Plan

COARSE_MM = 1.2
WALL_COST = 14.0
"""Cost of a millimetre through bone, membrane or fascia, in millimetres of open way."""

WALL_HALF_MM = 0.9
"""Sheets are thickened to this on the coarse raster, so that no diagonal step slips through."""

START_MM = 1.5
SLACK_MM = 0.4
SLACK_SHARE = 0.045
"""The sixteen step directions of the coarse raster overstate a distance by at most 2.7 %."""


def spine_distances(plan: Plan, points_mm: np.ndarray) -> np.ndarray:
    """Return straight distances to every belly's spine, shape (bellies, n), mm."""
    rows = []
    for belly in plan.bellies:
        point = np.ptp(belly.spine_mm, axis=0).max() < 1e-6
        rows.append(line_distance(points_mm, belly.spine_mm[:2] if point else belly.spine_mm))
    return np.array(rows)


def detours(plan: Plan, grid: Grid, points_mm: np.ndarray) -> np.ndarray:
    """Return what going round adds to the straight distance, shape (bellies, n), mm, never negative."""
    x = np.arange(grid.x_mm[0] - COARSE_MM, grid.x_mm[-1] + COARSE_MM, COARSE_MM)
    y = np.arange(grid.y_mm[0] - COARSE_MM, grid.y_mm[-1] + COARSE_MM, COARSE_MM)
    nodes = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    wall = star_distance(nodes, plan.centre_mm, plan.fascia_radii_mm) > 0
    for bone in plan.bones:
        wall |= bone_distance(nodes, bone) < 0
    for sheet in plan.sheets:
        wall |= sheet_distance(nodes, sheet) < WALL_HALF_MM - sheet.thickness_mm / 2
    shape = (len(y), len(x))
    cost = np.where(wall, WALL_COST, 1.0).reshape(shape)
    straight = spine_distances(plan, nodes).reshape(-1, *shape)
    start = np.where((straight < START_MM) & ~wall.reshape(shape), straight, np.inf)
    # A spine that hugs a wall may own no open node; then it starts from the walls' nodes as well.
    starved = ~np.isfinite(start).any(axis=(1, 2))
    start[starved] = np.where(straight[starved] < START_MM + COARSE_MM, straight[starved], np.inf)
    way = _sweep(start, cost)
    extra = np.maximum(0.0, way - straight - SLACK_MM - SLACK_SHARE * straight)
    extra = _heal_walls(extra, wall.reshape(shape))
    rows = (points_mm[:, 1] - y[0]) / COARSE_MM
    columns = (points_mm[:, 0] - x[0]) / COARSE_MM
    return np.array([map_coordinates(field, (rows, columns), order=1, mode="nearest") for field in extra])


_BIG = 1e4


def _sweep(start: np.ndarray, cost: np.ndarray) -> np.ndarray:
    """Return least costs from the start cells, all bellies at once; rows are swept down and up."""
    way = np.where(np.isfinite(start), start, _BIG)
    step = COARSE_MM * (cost[:, 1:] + cost[:, :-1]) / 2
    travelled = np.concatenate([np.zeros((len(cost), 1)), np.cumsum(step, axis=1)], axis=1)
    for _ in range(2):
        for order in (range(len(cost)), range(len(cost) - 1, -1, -1)):
            previous = before = None
            for row in order:
                line = way[:, row]
                if previous is not None:
                    _take(line, way[:, previous], cost, row, previous)
                if before is not None:
                    _take_two(line, way[:, before], cost, row, previous, before)
                _along(line, travelled[row])
                before, previous = previous, row
    return way


def _along(line: np.ndarray, travelled: np.ndarray) -> None:
    right = np.minimum.accumulate(line - travelled, axis=1) + travelled
    left = np.minimum.accumulate((line + travelled)[:, ::-1], axis=1)[:, ::-1] - travelled
    np.minimum(line, right, out=line)
    np.minimum(line, left, out=line)


def _take(line, other, cost, row, previous) -> None:
    here, there = cost[row], cost[previous]
    np.minimum(line, other + COARSE_MM * (here + there) / 2, out=line)
    diagonal = COARSE_MM * np.sqrt(2)
    toll = diagonal * (here[1:] + there[:-1] + here[:-1] + there[1:]) / 4
    np.minimum(line[:, 1:], other[:, :-1] + toll, out=line[:, 1:])
    np.minimum(line[:, :-1], other[:, 1:] + toll, out=line[:, :-1])
    knight = COARSE_MM * np.sqrt(5)
    toll = knight * np.maximum(np.maximum(here[2:], there[:-2]), np.maximum(here[1:-1], there[1:-1]))
    np.minimum(line[:, 2:], other[:, :-2] + toll, out=line[:, 2:])
    toll = knight * np.maximum(np.maximum(here[:-2], there[2:]), np.maximum(here[1:-1], there[1:-1]))
    np.minimum(line[:, :-2], other[:, 2:] + toll, out=line[:, :-2])


def _take_two(line, other, cost, row, middle, before) -> None:
    knight = COARSE_MM * np.sqrt(5)
    here, mid, there = cost[row], cost[middle], cost[before]
    between = np.maximum(mid[1:], mid[:-1])
    toll = knight * np.maximum(np.maximum(here[1:], there[:-1]), between)
    np.minimum(line[:, 1:], other[:, :-1] + toll, out=line[:, 1:])
    toll = knight * np.maximum(np.maximum(here[:-1], there[1:]), between)
    np.minimum(line[:, :-1], other[:, 1:] + toll, out=line[:, :-1])


def _heal_walls(extra: np.ndarray, wall: np.ndarray) -> np.ndarray:
    """Give wall cells the least detour of their open neighbours, or interpolation would push muscle off bone."""
    healed = np.where(wall, _BIG, extra)
    for _ in range(3):
        padded = np.pad(healed, ((0, 0), (1, 1), (1, 1)), constant_values=_BIG)
        rows = np.minimum(np.minimum(padded[:, :-2], padded[:, 1:-1]), padded[:, 2:])
        near = np.minimum(np.minimum(rows[:, :, :-2], rows[:, :, 1:-1]), rows[:, :, 2:])
        healed = np.where(wall & (healed >= _BIG), near, healed)
    return np.where(healed >= _BIG, extra, healed)

"""One section: plan in, outlines out. Each height is solved alone and gives the same answer as in a sweep.

Method: a partial, elastic, additively weighted diagram on geodesic distance to muscle spines (``reach``,
``weights``), bent so that seams pass through the nerves that run in them (``seams``), contoured and
carved (``outline``). What is guaranteed is listed in the contributor guide and tested at every mm.
"""

from __future__ import annotations

import numpy as np
from shapely.geometry import Polygon

from generator.anatomy.forearm import Forearm
from generator.anatomy.plan import Plan
from generator.section.assemble import assemble
from generator.section.grid import CELL_MM, Grid, ellipse_distance, make_grid
from generator.section.model import Section
from generator.section.outline import (
    BLUR_MM,
    DISC_CLEARANCE_MM,
    SEPTUM_MM,
    carve,
    cell_polygon,
    obstacles,
    part_cells,
)
from generator.section.reach import detours, spine_distances
from generator.section.seams import Bends, draw_to_seams
from generator.section.settle import Settled, settle
from generator.section.weights import natural_reach, solve_weights

PASSES = 4
MOST_FILL = 0.97
"""Share of the free space beyond which muscles are not swelled again after giving way."""

TENDON_MM2 = 28.0
"""A structure cut smaller than this keeps its area: tendon gives way to nobody."""

SCALE_RANGE = (0.82, 1.18)
CORE_PULL = 8.0
"""Extra pull near a spine, so that a thin belly is not cut in two where it is squeezed."""


def solve_section(forearm: Forearm, *, z_mm: float, pose: str = "supinated") -> Section:
    """Solve the section of the mean right arm at a height.

    Args:
        forearm: Resolved forearm.
        z_mm: Height above the distal wrist crease, mm, 0 to the elbow crease.
        pose: "supinated".

    Raises:
        ValueError: If the height or the pose is not drawn.
    """
    return solve_plan(forearm.plan(z_mm=z_mm, pose=pose))


def solve_plan(plan: Plan) -> Section:
    """Solve a plan; see ``solve_section``."""
    grid = make_grid(plan)
    bellies = _Bellies(plan)
    cost = bellies.stiffness[:, None] * (
        spine_distances(plan, grid.points_mm) + detours(plan, grid, grid.points_mm)
    ) - bellies.pull(plan, grid.points_mm)
    settled = settle(plan)
    weight = bellies.natural
    if len(plan.bellies):
        open_share = np.clip(0.5 + grid.free_mm / CELL_MM, 0.0, 1.0)
        first = _weigh(plan, bellies, cost, open_share, bellies.authored, np.zeros(len(plan.bellies)), weight)
        weight = first.weight_mm
        settled = draw_to_seams(plan, grid, settled, cost, weight)
    cells, elastic, pressure = _solve_cells(plan, grid, settled, bellies, cost, weight)
    return assemble(plan, settled, cells, elastic, pressure)


class _Bellies:
    """Arrays over the plan's bellies."""

    def __init__(self, plan: Plan) -> None:
        bellies = plan.bellies
        self.authored = np.array([belly.area_mm2 for belly in bellies])
        self.is_tendon = np.array([b.tissue == "tendon" or b.area_mm2 < TENDON_MM2 for b in bellies], dtype=bool)
        self.stiffness = np.array([b.stiffness for b in bellies])
        length = np.array([float(np.hypot(*np.diff(b.spine_mm, axis=0).T).sum()) for b in bellies])
        self.natural = natural_reach(self.authored, length) * self.stiffness
        self.radius = np.sqrt(self.authored / np.pi) * self.stiffness
        self.thickness = self.authored / (length + np.sqrt(self.authored))

    def pull(self, plan: Plan, points) -> np.ndarray:
        """Return the extra pull near each spine."""
        core = np.minimum(1.0, 0.45 * np.sqrt(self.authored / np.pi))
        return CORE_PULL * np.maximum(0.0, core[:, None] - spine_distances(plan, points))


def _weigh(plan: Plan, bellies: _Bellies, cost, share, target, extra, weight):
    inside = np.flatnonzero(share > 0)
    return solve_weights(
        cost_mm=cost[:, inside],
        share_mm2=share[inside] * CELL_MM**2,
        target_mm2=target,
        extra_mm2=extra,
        natural_mm=bellies.natural,
        radius_mm=bellies.radius,
        elastic=~bellies.is_tendon,
        start_mm=weight,
    )


def _solve_cells(plan: Plan, grid: Grid, settled: tuple[Settled, ...], bellies: _Bellies, cost, weight):
    if not len(plan.bellies):
        return [], np.zeros(0), np.zeros(0)
    free = grid.free_mm.copy()
    for disc in settled:
        if disc.subcutaneous < 1 and disc.disc.part_of is None:
            free = np.minimum(free, _disc_distance(grid.points_mm, disc) - DISC_CLEARANCE_MM)
    share = np.clip(0.5 + free / CELL_MM, 0.0, 1.0)
    target = _scaled_targets(plan, bellies, float(share.sum()) * CELL_MM**2)
    _keep_tendons_clear(plan, settled, grid.points_mm, cost)
    extra = SEPTUM_MM * 4.0 * np.sqrt(target)
    wanted = min(float(target.sum()), MOST_FILL * float(share.sum()) * CELL_MM**2 - float(extra.sum()))
    shapes = obstacles(plan, settled)
    bends = Bends(plan, grid, settled)
    for step in range(PASSES):
        bends.correct(cost, weight)
        bent = bends.apply(cost)
        solved = _weigh(plan, bellies, bent, share, target, extra, weight)
        weight = solved.weight_mm
        if step == 0:
            # What squeezed bellies give up is shared out again, so that together they still fill their space.
            given = float(np.clip(wanted / solved.elastic_mm2.sum(), 0.8, 1.3))
            target = np.where(bellies.is_tendon, target, target * given)
            continue
        cells = _contour(plan, grid, bent, weight, shapes, bellies)
        got = np.array([cell.area if cell is not None else 0.0 for cell in cells])
        extra = np.clip(extra + solved.elastic_mm2 - got, -0.15 * target, 0.6 * target + 4.0)
    return cells, solved.elastic_mm2, weight - bellies.natural


def _scaled_targets(plan: Plan, bellies: _Bellies, free_mm2: float) -> np.ndarray:
    """Scale bellies together so that they fill the stated share of the free space; tendons keep their area."""
    authored, is_tendon = bellies.authored, bellies.is_tendon
    if plan.fill is None or is_tendon.all():
        return authored
    room = plan.fill * free_mm2 - authored[is_tendon].sum()
    scale = float(np.clip(room / authored[~is_tendon].sum(), *SCALE_RANGE))
    return np.where(is_tendon, authored, authored * scale)


def _keep_tendons_clear(plan: Plan, settled, points, cost) -> None:
    """Keep other muscles off digit tendons; their own belly may surround them."""
    for disc in settled:
        if disc.disc.part_of is None or disc.subcutaneous > 0.5:
            continue
        near = _disc_distance(points, disc) < DISC_CLEARANCE_MM
        for k, belly in enumerate(plan.bellies):
            if belly.id != disc.disc.part_of:
                cost[k, near] += 30.0


def _disc_distance(points, disc: Settled) -> np.ndarray:
    return ellipse_distance(
        points,
        at_mm=disc.at_mm,
        half_width_mm=disc.half_width_mm,
        half_height_mm=disc.half_height_mm,
        tilt_deg=disc.tilt_deg,
    )


def _contour(plan: Plan, grid: Grid, cost, weight, shapes, bellies: _Bellies) -> list[Polygon | None]:
    gain = weight[:, None] - cost
    ranked = np.partition(np.vstack([gain, np.zeros(gain.shape[1])]), -2, axis=0)
    best, second = ranked[-1], ranked[-2]
    cells = []
    for k, belly in enumerate(plan.bellies):
        rival = np.where(gain[k] >= best, second, best)
        # Far from its border a margin says nothing, and would only widen the blur.
        field = np.clip(np.minimum((gain[k] - rival) / 2, grid.free_mm), -2.0, 2.0)
        cell = cell_polygon(
            grid,
            field,
            septum_mm=min(SEPTUM_MM, 0.1 * bellies.thickness[k]),
            blur_mm=min(BLUR_MM, 0.2 * bellies.thickness[k]),
        )
        cells.append(carve(cell, belly.id, shapes) if cell is not None else None)
    return part_cells(cells, bellies.thickness)

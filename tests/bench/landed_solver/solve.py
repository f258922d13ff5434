"""The solver as it landed, frozen with its modules: what speed and bytes of ours are measured against.

One plan after another, every belly at every cell. Nothing but the benchmarks reads this folder; it changes only where
the records that it is handed do.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from shapely.geometry import Polygon

from tests.bench.landed_solver.assemble import assemble
from tests.bench.landed_solver.grid import CELL_MM, Grid, ellipse_distance, make_grid
from tests.bench.landed_solver.outline import (
    BLUR_MM,
    DISC_CLEARANCE_MM,
    SEPTUM_MM,
    carve,
    cell_polygon,
    obstacles,
    part_cells,
)
from tests.bench.landed_solver.seams import Bends, draw_to_seams
from tests.bench.landed_solver.section import Section
from tests.bench.landed_solver.settle import Settled, settle
from tests.bench.landed_solver.spine_distance import detours, spine_distances
from tests.bench.landed_solver.weights import natural_reach, solve_weights
from wristward.anatomy.plan import Plan

PASSES = 4
LEAST_SEPTUM_MM = 0.03
MOST_FILL = 0.97
"""Share of the free space beyond which muscles are not swelled again after giving way."""

TENDON_MM2 = 28.0
"""A structure cut smaller than this keeps its area: tendon gives way to nobody."""

SCALE_RANGE = (0.82, 1.18)
CORE_PULL = 8.0
"""Extra pull near a spine, so that a thin belly is not cut in two where it is squeezed."""


SMOOTH = {0: 0.40, 1: 0.24, 2: 0.06}
"""Share of the neighbours, by distance in mm, in a section's margins (a Gaussian of 1.1 mm)."""

MARGIN_MM = 2.0
"""Margins are cut off at this: far from its border a margin says nothing, and would only widen the blur."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Raw:
    """A plan's solved margins, before they are smoothed with the neighbours' and contoured."""

    plan: Plan
    settled: tuple[Settled, ...]
    grid: Grid
    margins_mm: dict[str, np.ndarray]
    """Margin by which each belly wins, shape of the grid."""

    thickness_mm: dict[str, float]
    elastic_mm2: dict[str, float]
    pressure_mm: dict[str, float]


def solve_plan(plan: Plan) -> Section:
    """Solve a plan by itself, without neighbours to smooth it."""
    return finish({0: solve_raw(plan)})


def solve_raw(plan: Plan) -> Raw:
    """Solve the margins of a plan."""
    grid = make_grid(plan)
    bellies = _Bellies(plan)
    cost = bellies.stiffness[:, None] * (
        spine_distances(plan, grid.points_mm) + detours(plan, grid, grid.points_mm)
    ) - bellies.pull(plan, grid.points_mm)
    settled = settle(plan)
    weight = bellies.natural
    names = [belly.id for belly in plan.bellies]
    margins, elastic = [], np.zeros(0)
    if names:
        open_share = np.clip(0.5 + grid.free_mm / CELL_MM, 0.0, 1.0)
        first = _weigh(plan, bellies, cost, open_share, bellies.authored, np.zeros(len(names)), weight)
        settled = draw_to_seams(plan, grid, settled, cost, first.weight_mm)
        margins, elastic, weight = _solve_margins(plan, grid, settled, bellies, cost, first.weight_mm)
    return Raw(
        plan=plan,
        settled=settled,
        grid=grid,
        margins_mm=dict(zip(names, margins, strict=True)),
        thickness_mm=dict(zip(names, bellies.thickness.tolist(), strict=True)),
        elastic_mm2=dict(zip(names, elastic.tolist(), strict=True)),
        pressure_mm=dict(zip(names, (weight - bellies.natural).tolist(), strict=True)),
    )


def finish(raws: dict[int, Raw]) -> Section:
    """Return the section of margins smoothed over their neighbours, by distance in mm; 0 is its own height.

    The mean of margins keeps what margins promise: two cells' margins add up to no more than nothing at
    any point, at every height, so their means do too, and the smoothed outlines cannot overlap.
    """
    here = raws[0]
    total = sum(SMOOTH[abs(step)] for step in raws)
    shares = {step: SMOOTH[abs(step)] / total for step in raws}
    names = [belly.id for belly in here.plan.bellies]
    margins = [_mean_margin(here.grid, name, raws, shares) for name in names]
    thickness = np.array([here.thickness_mm[name] for name in names])
    elastic = np.array([_mean(name, {step: raws[step].elastic_mm2 for step in raws}, shares) for name in names])
    shapes = obstacles(here.plan, here.settled)
    septa = _septa(thickness)
    cells = _contour(here.grid, margins, names, shapes, thickness, septa)
    # Smoothing changes areas a little; thinner or thicker septa give them back.
    for k, cell in enumerate(cells):
        if cell is not None:
            septa[k] = np.clip(septa[k] + (cell.area - elastic[k]) / cell.length, LEAST_SEPTUM_MM, 3 * SEPTUM_MM)
    cells = _contour(here.grid, margins, names, shapes, thickness, septa)
    return assemble(
        here.plan,
        here.settled,
        cells,
        elastic,
        np.array([_mean(name, {step: raws[step].pressure_mm for step in raws}, shares) for name in names]),
    )


def _mean(name: str, values: dict[int, dict[str, float]], shares: dict[int, float]) -> float:
    known = {step: share for step, share in shares.items() if name in values[step]}
    return sum(values[step][name] * share for step, share in known.items()) / sum(known.values())


def _mean_margin(grid: Grid, name: str, raws: dict[int, Raw], shares: dict[int, float]) -> np.ndarray:
    """Return a belly's mean margin on a grid; every raster lies on the same lattice, so cells only shift."""
    rows, columns = grid.shape
    mean = np.zeros(grid.shape)
    for step, raw in raws.items():
        given = raw.margins_mm.get(name)
        placed = np.full(grid.shape, -MARGIN_MM)
        if given is not None:
            down = round((raw.grid.y_mm[0] - grid.y_mm[0]) / CELL_MM)
            along = round((raw.grid.x_mm[0] - grid.x_mm[0]) / CELL_MM)
            high, wide = given.shape
            top, left = max(down, 0), max(along, 0)
            bottom, right = min(down + high, rows), min(along + wide, columns)
            placed[top:bottom, left:right] = given[top - down : bottom - down, left - along : right - along]
        mean += shares[step] * placed
    return mean


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


def _solve_margins(plan: Plan, grid: Grid, settled: tuple[Settled, ...], bellies: _Bellies, cost, weight):
    names = [belly.id for belly in plan.bellies]
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
        margins = _margins(grid, weight[:, None] - bent)
        if step == PASSES - 1:
            break
        cells = _contour(grid, margins, names, shapes, bellies.thickness, _septa(bellies.thickness))
        got = np.array([cell.area if cell is not None else 0.0 for cell in cells])
        extra = np.clip(extra + solved.elastic_mm2 - got, -0.15 * target, 0.6 * target + 4.0)
    return margins, solved.elastic_mm2, weight


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


def _margins(grid: Grid, gain: np.ndarray) -> list[np.ndarray]:
    """Return by how much each belly wins over the next best and keeps off what bounds the space, mm."""
    ranked = np.partition(np.vstack([gain, np.zeros(gain.shape[1])]), -2, axis=0)
    best, second = ranked[-1], ranked[-2]
    margins = []
    for mine in gain:
        rival = np.where(mine >= best, second, best)
        margin = np.clip(np.minimum((mine - rival) / 2, grid.free_mm), -MARGIN_MM, MARGIN_MM)
        margins.append(margin.reshape(grid.shape))
    return margins


def _septa(thickness_mm: np.ndarray) -> np.ndarray:
    """Return half the loose tissue about each belly: less about thin layers."""
    return np.minimum(SEPTUM_MM, 0.1 * thickness_mm)


def _contour(grid: Grid, margins, names, shapes, thickness_mm, septa_mm) -> list[Polygon | None]:
    cells = []
    for name, margin, thickness, septum in zip(names, margins, thickness_mm, septa_mm, strict=True):
        cell = cell_polygon(grid, margin, septum_mm=float(septum), blur_mm=min(BLUR_MM, 0.2 * thickness))
        cells.append(carve(cell, name, shapes) if cell is not None else None)
    return part_cells(cells, np.asarray(thickness_mm))

"""One section or a run of them: plans in, outlines out. A height solved alone gives the same answer as in a sweep.

Method: a partial, elastic, additively weighted diagram on geodesic distance to muscle spines (``spine_distance``,
``costs``, ``weights``), bent so that seams pass through the nerves that run in them (``seams``), contoured and
carved (``outline``). What is guaranteed is listed in the contributor guide and tested at every mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import Polygon

from wristward.anatomy.arrays import Floats
from wristward.anatomy.forearm import Forearm
from wristward.anatomy.plan import Plan
from wristward.section.assemble import assemble
from wristward.section.bellies import Bellies
from wristward.section.costs import Beyond, Costs, Looking
from wristward.section.grid import CELL_MM, Box, Grid, ellipse_distance, make_grid
from wristward.section.margins import Margin, mean_margin, solved_margins
from wristward.section.obstacles import DISC_CLEARANCE_MM, Obstacles
from wristward.section.outline import BLUR_MM, SEPTUM_MM, Contour, carve, part_cells
from wristward.section.seams import Bends, draw_to_seams
from wristward.section.section import Section
from wristward.section.settle import Settled, settle_many
from wristward.section.spine_distance import detours
from wristward.section.weights import Wanted, Weighing

PASSES = 4
LEAST_SEPTUM_MM = 0.03
MOST_FILL = 0.97
"""Share of the free space beyond which muscles are not swelled again after giving way."""

SCALE_RANGE = (0.82, 1.18)
KEPT_OFF_MM = 30.0
"""Cost of a cell that a digit tendon takes to a muscle that is not its own."""

SMOOTH = {0: 0.40, 1: 0.24, 2: 0.06}
"""Share of the neighbours, by distance in mm, in a section's margins (a Gaussian of 1.1 mm)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Raw:
    """A plan's solved margins, before they are smoothed with the neighbours' and contoured."""

    plan: Plan
    settled: tuple[Settled, ...]
    obstacles: Obstacles
    grid: Grid
    margins: dict[str, Margin]
    """Margin by which each belly wins."""

    thickness_mm: dict[str, float]
    elastic_mm2: dict[str, float]
    pressure_mm: dict[str, float]


def solve_section(forearm: Forearm, *, z_mm: float, pose: str = "supinated") -> Section:
    """Solve the section of the mean right arm at a height; the neighbours within 2 mm are solved with it.

    Args:
        forearm: Resolved forearm.
        z_mm: Height above the distal wrist crease, mm, 0 to the elbow crease.
        pose: "supinated".

    Raises:
        ValueError: If the height or the pose is not drawn.
    """
    plans = neighbourhood(forearm, z_mm=z_mm, pose=pose)
    return finish(dict(zip(plans, solve_raws(list(plans.values())), strict=True)))


def neighbourhood(forearm: Forearm, *, z_mm: float, pose: str = "supinated") -> dict[int, Plan]:
    """Return the plans that a section is made of, by distance from its height in mm; 0 is its own.

    Raises:
        ValueError: If the height or the pose is not drawn.
    """
    return {step: forearm.plan(z_mm=z_mm + step, pose=pose) for step in smoothed_with(forearm, z_mm=z_mm)}


def smoothed_with(forearm: Forearm, *, z_mm: float) -> list[int]:
    """Return how far from a height the sections lie that its margins are averaged over, mm; 0 is its own."""
    reach = max(SMOOTH)
    others = [step for step in range(-reach, reach + 1) if step != 0]
    return [0, *(step for step in others if forearm.bottom_z_mm <= z_mm + step <= forearm.top_z_mm)]


def solve_raws(plans: Sequence[Plan]) -> list[Raw]:
    """Solve the margins of several plans: those of each are what they would be alone, and together it is faster."""
    grids = [make_grid(plan) for plan in plans]
    settled = settle_many(plans)
    looking = [
        Looking(plan, grid, Bellies(plan), discs) for plan, grid, discs in zip(plans, grids, settled, strict=True)
    ]
    found = iter(detours([view for one in looking for view in one.views]))
    return [_solve(one, discs, [next(found) for _ in one.views]) for one, discs in zip(looking, settled, strict=True)]


def _solve(looking: Looking, settled: tuple[Settled, ...], detours_mm: list[Floats]) -> Raw:
    """Solve one plan; where a belly turns out to be squeezed further than it looks, it looks further, from the start."""
    while True:
        try:
            return _solved_raw(looking, settled, detours_mm)
        except Beyond as beyond:
            looking.look_further(beyond.bellies, detours_mm)


def finish(raws: Mapping[int, Raw]) -> Section:
    """Return the section of margins smoothed over their neighbours, by distance in mm; 0 is its own height.

    The mean of margins keeps what margins promise: two cells' margins add up to no more than nothing at
    any point, at every height, so their means do too, and the smoothed outlines cannot overlap.
    """
    here, steps = raws[0], sorted(raws)
    total = sum(SMOOTH[abs(step)] for step in steps)
    shares = {step: SMOOTH[abs(step)] / total for step in steps}
    names = [belly.id for belly in here.plan.bellies]
    thickness = np.array([here.thickness_mm[name] for name in names])
    elastic = np.array([_mean(name, {step: raws[step].elastic_mm2 for step in steps}, shares) for name in names])
    contours = _contours(
        here.grid,
        [
            mean_margin(here.grid, [(raws[s].grid, raws[s].margins.get(name), shares[s]) for s in steps])
            for name in names
        ],
        thickness,
    )
    septa = _septa(thickness)
    cells = _cells(contours, names, here.obstacles, thickness, septa)
    # Smoothing changes areas a little; thinner or thicker septa give them back.
    for k, cell in enumerate(cells):
        if cell is not None:
            septa[k] = np.clip(septa[k] + (cell.area - elastic[k]) / cell.length, LEAST_SEPTUM_MM, 3 * SEPTUM_MM)
    return assemble(
        here.plan,
        here.settled,
        _cells(contours, names, here.obstacles, thickness, septa),
        elastic,
        np.array([_mean(name, {step: raws[step].pressure_mm for step in steps}, shares) for name in names]),
    )


def _mean(name: str, values: dict[int, dict[str, float]], shares: dict[int, float]) -> float:
    known = {step: share for step, share in shares.items() if name in values[step]}
    return sum(values[step][name] * share for step, share in known.items()) / sum(known.values())


def _solved_raw(looking: Looking, settled: tuple[Settled, ...], detours_mm: list[Floats]) -> Raw:
    """Solve one plan as far as its bellies look.

    Raises:
        Beyond: If a belly reaches further.
    """
    plan, grid, bellies = looking.plan, looking.grid, looking.bellies
    names = [belly.id for belly in plan.bellies]
    margins: list[Margin] = []
    elastic, weight = np.zeros(0), bellies.natural_mm
    if names:
        costs = looking.costs(detours_mm)
        wanted = _wanted(bellies, bellies.authored_mm2, np.zeros(len(names)))
        first = Weighing(_share(grid.free_mm) * CELL_MM**2).solve(costs, wanted, start_mm=weight)
        settled = draw_to_seams(plan, grid, settled, costs, first.weight_mm)
    obstacles = Obstacles(plan, settled)
    if names:
        margins, elastic, weight = _passes(looking, settled, obstacles, costs, first.weight_mm)
    return Raw(
        plan=plan,
        settled=settled,
        obstacles=obstacles,
        grid=grid,
        margins=dict(zip(names, margins, strict=True)),
        thickness_mm=dict(zip(names, bellies.thickness_mm.tolist(), strict=True)),
        elastic_mm2=dict(zip(names, elastic.tolist(), strict=True)),
        pressure_mm=dict(zip(names, (weight - bellies.natural_mm).tolist(), strict=True)),
    )


def _passes(
    looking: Looking, settled: tuple[Settled, ...], obstacles: Obstacles, costs: Costs, weight: Floats
) -> tuple[list[Margin], Floats, Floats]:
    """Bend the costs, weigh, and make up for the area that contours lose, several times over.

    Returns:
        The margins, the elastic targets, mm², and the reaches, mm, of the bellies.
    """
    plan, grid, bellies = looking.plan, looking.grid, looking.bellies
    names = [belly.id for belly in plan.bellies]
    share = _share(_free_of_discs(grid, settled))
    free_mm2 = float(share.sum()) * CELL_MM**2
    target = _scaled_targets(plan, bellies, free_mm2)
    extra = SEPTUM_MM * 4.0 * np.sqrt(target)
    filled_mm2 = min(float(target.sum()), MOST_FILL * free_mm2 - float(extra.sum()))
    bends = Bends(plan, grid, settled, _clear_of_tendons(plan, grid, settled, looking.kept(costs, weight)))
    weighing, bent = Weighing(share * CELL_MM**2), bends.apply()
    for step in range(PASSES):
        bends.correct(bent, weight)
        bent = bends.apply()
        solved = weighing.solve(bent, _wanted(bellies, target, extra), start_mm=weight)
        weight = solved.weight_mm
        if step == 0:
            # What squeezed bellies give up is shared out again, so that together they still fill their space.
            given = float(np.clip(filled_mm2 / solved.elastic_mm2.sum(), 0.8, 1.3))
            target = np.where(bellies.is_tendon, target, target * given)
            continue
        margins = solved_margins(grid, bent, weight)
        if step == PASSES - 1:
            break
        contours = _contours(grid, margins, bellies.thickness_mm)
        cells = _cells(contours, names, obstacles, bellies.thickness_mm, _septa(bellies.thickness_mm))
        got = np.array([cell.area if cell is not None else 0.0 for cell in cells])
        extra = np.clip(extra + solved.elastic_mm2 - got, -0.15 * target, 0.6 * target + 4.0)
    return margins, solved.elastic_mm2, weight


def _wanted(bellies: Bellies, target_mm2: Floats, extra_mm2: Floats) -> Wanted:
    return Wanted(
        target_mm2=target_mm2,
        extra_mm2=extra_mm2,
        natural_mm=bellies.natural_mm,
        radius_mm=bellies.radius_mm,
        elastic=~bellies.is_tendon,
    )


def _share(free_mm: Floats) -> Floats:
    """Return the share of each cell that is free, 0 to 1."""
    return np.clip(0.5 + free_mm / CELL_MM, 0.0, 1.0)


def _scaled_targets(plan: Plan, bellies: Bellies, free_mm2: float) -> Floats:
    """Scale bellies together so that they fill the stated share of the free space; tendons keep their area."""
    authored, is_tendon = bellies.authored_mm2, bellies.is_tendon
    if plan.fill is None or is_tendon.all():
        return authored
    room = plan.fill * free_mm2 - authored[is_tendon].sum()
    scale = float(np.clip(room / authored[~is_tendon].sum(), *SCALE_RANGE))
    return np.where(is_tendon, authored, authored * scale)


def _near_disc(grid: Grid, disc: Settled) -> tuple[Box, Floats]:
    """Return the rows and columns about a disc, and the distance outside it there."""
    far = max(disc.half_width_mm, disc.half_height_mm) + DISC_CLEARANCE_MM + 2 * CELL_MM
    box = rows, columns = grid.box(disc.at_mm - far, disc.at_mm + far)
    return box, ellipse_distance(
        grid.x_mm[columns],
        grid.y_mm[rows],
        at_mm=disc.at_mm,
        half_width_mm=disc.half_width_mm,
        half_height_mm=disc.half_height_mm,
        tilt_deg=disc.tilt_deg,
    )


def _free_of_discs(grid: Grid, settled: Sequence[Settled]) -> Floats:
    """Return the signed distance into the space that nerves and vessels leave free, true where it is less than a cell."""
    free = grid.free_mm.copy()
    for disc in settled:
        if disc.subcutaneous < 1 and disc.disc.part_of is None:
            box, distance = _near_disc(grid, disc)
            np.minimum(free[box], distance - DISC_CLEARANCE_MM, out=free[box])
    return free


def _clear_of_tendons(plan: Plan, grid: Grid, settled: Sequence[Settled], costs: Costs) -> Costs:
    """Return costs that keep other muscles off digit tendons; their own belly may surround them."""
    every = np.zeros(grid.shape)
    own: dict[str, Floats] = {}
    for disc in settled:
        muscle = disc.disc.part_of
        if muscle is not None and disc.subcutaneous <= 0.5:
            box, distance = _near_disc(grid, disc)
            taken = KEPT_OFF_MM * (distance < DISC_CLEARANCE_MM)
            every[box] += taken
            own.setdefault(muscle, np.zeros(grid.shape))[box] += taken
    clear = costs.copy()
    if own:
        for belly, box, field in zip(plan.bellies, clear.boxes, clear.fields, strict=True):
            field += every[box] - own[belly.id][box] if belly.id in own else every[box]
    return clear


def _septa(thickness_mm: Floats) -> Floats:
    """Return half the loose tissue about each belly: less about thin layers."""
    return np.minimum(SEPTUM_MM, 0.1 * thickness_mm)


def _contours(grid: Grid, margins: Sequence[Margin], thickness_mm: Floats) -> list[Contour]:
    blurs_mm = np.minimum(BLUR_MM, 0.2 * thickness_mm).tolist()
    return [Contour(grid, margin, blur_mm=blur_mm) for margin, blur_mm in zip(margins, blurs_mm, strict=True)]


def _cells(
    contours: Sequence[Contour],
    names: Sequence[str],
    obstacles: Obstacles,
    thickness_mm: Floats,
    septa_mm: Floats,
) -> list[Polygon | None]:
    drawn = [contour.at(septum_mm) for contour, septum_mm in zip(contours, septa_mm.tolist(), strict=True)]
    return part_cells(carve(drawn, names, obstacles), thickness_mm)

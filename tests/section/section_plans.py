"""Plans small enough to reason about: round fascia, round bones, straight spines."""

from __future__ import annotations

import numpy as np

from wristward.anatomy.curves import BEARINGS, star_ring
from wristward.anatomy.plan import Belly, Bone, Disc, Plan, Run, Sheet
from wristward.section.solve import finish, solve_raws


def belly(name, area_mm2, *points, stiffness=1.0, tissue="muscle"):
    """Return a belly about a straight or single-point spine."""
    ends = np.array(points, dtype=float)
    spine = ends.repeat(9, axis=0) if len(ends) == 1 else np.linspace(ends[0], ends[-1], 9)
    return Belly(id=name, area_mm2=area_mm2, spine_mm=spine, stiffness=stiffness, tissue=tissue, part_of=None)


def round_plan(*bellies, bones=(), sheets=(), discs=(), fill=None, radius_mm=20.0):
    """Return a plan in a round fascia under 4 mm of skin and fat."""
    radii = np.full(BEARINGS, radius_mm)
    return Plan(
        z_mm=100.0,
        pose="supinated",
        centre_mm=np.zeros(2),
        skin_radii_mm=radii + 4.0,
        fascia_radii_mm=radii,
        fill=fill,
        bones=tuple(bones),
        sheets=tuple(sheets),
        bellies=tuple(bellies),
        discs=tuple(discs),
    )


def round_bone(name, x, y, radius_mm):
    """Return a round bone."""
    radii = np.full(BEARINGS, float(radius_mm))
    centre = np.array([x, y], dtype=float)
    return Bone(id=name, centre_mm=centre, radii_mm=radii, ring_mm=star_ring(centre, radii))


def straight_sheet(name, start, stop, thickness_mm=0.7):
    """Return a straight sheet."""
    return Sheet(id=name, line_mm=np.linspace(start, stop, 25), thickness_mm=thickness_mm)


def nerve(name, x, y, *, radius_mm=1.4, seam=None, inside=None, beside=()):
    """Return a round nerve with one run."""
    runs = (Run(strength=1.0, seam=seam, inside=inside),) if seam or inside else ()
    return Disc(
        id=name,
        kind="nerve",
        at_mm=np.array([x, y], dtype=float),
        half_width_mm=radius_mm,
        half_height_mm=radius_mm,
        tilt_deg=0.0,
        runs=runs,
        beside=tuple(beside),
        part_of=None,
    )


def solve_plan(plan):
    """Solve a plan by itself, without neighbours to smooth it."""
    return finish({0: solve_raws([plan])[0]})

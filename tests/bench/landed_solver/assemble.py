"""Settled discs and carved cells to the frozen section, with the promise that nothing overlaps."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from tests.bench.landed_solver.outline import disc_polygon, largest, ring_of
from tests.bench.landed_solver.section import Section, Solved
from tests.bench.landed_solver.settle import Settled
from wristward.anatomy.curves import star_ring
from wristward.anatomy.plan import Plan

JOINT_MM = 0.5
"""Half the joint space drawn between two bones whose outlines would touch (drawn, no source)."""

PRESSURE_SHARE = 0.20
"""A belly whose area differs from the data's by more than this is reported."""

REPORT_MM2 = 28.0
SEAM_MM = 1.5
"""Farthest that a nerve may be from a muscle it runs against: the loose tissue about it."""

LEAST_DISC_MM2 = 0.02
_PRIORITY = ("nerve", "artery", "vein", "tendon")
_DRAWN = ("tendon", "vein", "artery", "nerve")


def assemble(
    plan: Plan,
    settled: tuple[Settled, ...],
    cells: list[Polygon | None],
    elastic_mm2: np.ndarray,
    pressure_mm: np.ndarray,
) -> Section:
    """Return the section; bones first, then sheets, muscles, tendons, vessels and nerves."""
    structures: list[Solved] = []
    warnings: list[str] = []
    taken: list[BaseGeometry] = []
    for bone in plan.bones:
        shape = _clear(Polygon(bone.ring_mm), taken, gap_mm=2 * JOINT_MM)
        if shape is not None:
            taken.append(shape)
            structures.append(_solved(bone.id, "bone", "bone", "subfascial", shape))
    for sheet in plan.sheets:
        shape = _clear(sheet_polygon(sheet.line_mm, sheet.thickness_mm), taken, gap_mm=0.0)
        if shape is not None:
            taken.append(shape)
            structures.append(_solved(sheet.id, "sheet", "sheet", "subfascial", shape))
    for k, belly in enumerate(plan.bellies):
        if cells[k] is None:
            continue
        elastic, pressure = float(elastic_mm2[k]), float(pressure_mm[k])
        if belly.area_mm2 >= REPORT_MM2 and abs(elastic / belly.area_mm2 - 1) > PRESSURE_SHARE:
            warnings.append(
                f"{belly.id} at z {plan.z_mm:g} mm takes {elastic:.0f} mm² "
                f"of the {belly.area_mm2:.0f} mm² asked for: pressure {pressure:.1f} mm"
            )
        structures.append(
            _solved(
                belly.id,
                "muscle",
                belly.tissue,
                "subfascial",
                cells[k],
                authored=belly.area_mm2,
                target=elastic,
                pressure=pressure,
                part_of=belly.part_of,
            )
        )
    structures.extend(_discs(settled))
    warnings.extend(_lost_seams(plan, settled, structures))
    return Section(
        z_mm=plan.z_mm,
        pose=plan.pose,
        skin_mm=_plain(star_ring(plan.centre_mm, plan.skin_radii_mm)),
        fascia_mm=_plain(star_ring(plan.centre_mm, plan.fascia_radii_mm)),
        structures=tuple(structures),
        warnings=tuple(warnings),
    )


def _lost_seams(plan: Plan, settled: tuple[Settled, ...], structures: list[Solved]) -> list[str]:
    """Return a warning for each nerve or vessel that does not lie against what it is said to run between."""
    shapes = {solved.id: Polygon(solved.ring_mm) for solved in structures}
    lost = []
    for disc in settled:
        here = shapes.get(disc.disc.id)
        for run in disc.disc.runs:
            if here is None or run.strength < 1:
                continue
            for name in run.seam if run.seam is not None else (run.on,) if run.on is not None else ():
                if name not in shapes:
                    lost.append(f"{disc.disc.id} at z {plan.z_mm:g} mm runs along {name}, which is not there")
                elif (gap := shapes[name].distance(here)) > SEAM_MM:
                    lost.append(
                        f"{disc.disc.id} at z {plan.z_mm:g} mm is {gap:.1f} mm from {name}, along which it runs"
                    )
    return lost


def sheet_polygon(line_mm: np.ndarray, thickness_mm: float) -> Polygon:
    """Return a sheet's outline."""
    return Polygon(LineString(line_mm).buffer(thickness_mm / 2, cap_style="round", quad_segs=4).exterior)


def _discs(settled: tuple[Settled, ...]) -> list[Solved]:
    """Return discs from back to front; where two still meet, the less vital one gives way."""
    shapes: dict[str, Polygon] = {}
    taken: list[BaseGeometry] = []
    for disc in sorted(settled, key=lambda s: _PRIORITY.index(s.disc.kind)):
        shape = _clear(disc_polygon(disc), taken, gap_mm=0.05)
        if shape is not None and shape.area > LEAST_DISC_MM2:
            taken.append(shape)
            shapes[disc.disc.id] = shape
    return [
        _solved(
            s.disc.id,
            s.disc.kind,
            s.disc.kind,
            "subcutaneous" if s.subcutaneous > 0.5 else "subfascial",
            shapes[s.disc.id],
            part_of=s.disc.part_of,
        )
        for s in sorted(settled, key=lambda s: _DRAWN.index(s.disc.kind))
        if s.disc.id in shapes
    ]


def _clear(shape: Polygon, taken: list[BaseGeometry], *, gap_mm: float) -> Polygon | None:
    """Return the largest piece of a shape that keeps a gap to what is already there."""
    near = [other.buffer(gap_mm) for other in taken if other.distance(shape) < gap_mm or other.intersects(shape)]
    if not near:
        return shape
    piece = largest(shape.difference(shapely.union_all(near)))
    return None if piece is None else Polygon(piece.exterior)


def _solved(name, kind, tissue, layer, polygon, *, authored=None, target=None, pressure=None, part_of=None) -> Solved:
    centre = polygon.centroid
    if not polygon.contains(centre):
        centre = shapely.maximum_inscribed_circle(polygon).interpolate(0)
    ring = ring_of(polygon)
    return Solved(
        id=name,
        kind=kind,
        tissue=tissue,
        layer=layer,
        ring_mm=ring,
        centre_mm=(round(centre.x, 3), round(centre.y, 3)),
        area_mm2=round(Polygon(ring).area, 3),
        authored_area_mm2=None if authored is None else round(authored, 3),
        target_area_mm2=None if target is None else round(target, 3),
        pressure=None if pressure is None else round(pressure, 3),
        part_of=part_of,
    )


def _plain(ring) -> tuple[tuple[float, float], ...]:
    return tuple((round(float(x), 3), round(float(y), 3)) for x, y in ring)

"""Settled discs and carved cells to the frozen section, with the promise that nothing overlaps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

from wristward.anatomy.arrays import Floats
from wristward.anatomy.curves import star_ring
from wristward.anatomy.plan import Plan
from wristward.data.kinds import StructureKind
from wristward.section.obstacles import disc_polygons
from wristward.section.outline import largest
from wristward.section.section import Layer, Ring, Section, Solved
from wristward.section.settle import Settled

JOINT_MM = 0.5
"""Half the joint space drawn between two bones whose outlines would touch (drawn, no source)."""

DISC_GAP_MM = 0.05
FASCIA_MM = 0.02
"""How far inside the fascia bones and sheets end, so that a rounded outline does not cross it."""

PRESSURE_SHARE = 0.20
"""A belly whose area differs from the data's by more than this is reported."""

REPORT_MM2 = 28.0
SEAM_MM = 1.5
"""Farthest that a nerve may be from a muscle it runs against: the loose tissue about it."""

LEAST_DISC_MM2 = 0.02
SIMPLIFY_MM = 0.02
DIGITS = 6
"""Decimals of a contour's points before it is simplified, mm."""

_PRIORITY = ("nerve", "artery", "vein", "tendon")
_DRAWN = ("tendon", "vein", "artery", "nerve")


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A structure whose outline is still the polygon it was solved as."""

    id: str
    kind: StructureKind
    tissue: StructureKind
    polygon: Polygon
    layer: Layer = "subfascial"
    authored_mm2: float | None = None
    target_mm2: float | None = None
    pressure_mm: float | None = None
    part_of: str | None = None


def assemble(
    plan: Plan,
    settled: tuple[Settled, ...],
    cells: Sequence[Polygon | None],
    elastic_mm2: Floats,
    pressure_mm: Floats,
) -> Section:
    """Return the section; bones first, then sheets, muscles, tendons, vessels and nerves."""
    drafts = _firm(plan)
    warnings: list[str] = []
    for belly, cell, elastic, pressure in zip(plan.bellies, cells, elastic_mm2, pressure_mm, strict=True):
        if cell is None:
            continue
        elastic, pressure = float(elastic), float(pressure)
        if belly.area_mm2 >= REPORT_MM2 and abs(elastic / belly.area_mm2 - 1) > PRESSURE_SHARE:
            warnings.append(
                f"{belly.id} at z {plan.z_mm:g} mm takes {elastic:.0f} mm² "
                f"of the {belly.area_mm2:.0f} mm² asked for: pressure {pressure:.1f} mm"
            )
        drafts.append(
            Draft(
                id=belly.id,
                kind="muscle",
                tissue=belly.tissue,
                polygon=cell,
                authored_mm2=belly.area_mm2,
                target_mm2=elastic,
                pressure_mm=pressure,
                part_of=belly.part_of,
            )
        )
    drafts += _discs(settled)
    structures, polygons = _solved(drafts)
    return Section(
        z_mm=plan.z_mm,
        pose=plan.pose,
        skin_mm=_rounded(star_ring(plan.centre_mm, plan.skin_radii_mm)),
        fascia_mm=_rounded(star_ring(plan.centre_mm, plan.fascia_radii_mm)),
        structures=structures,
        warnings=(*warnings, *_lost_seams(plan, settled, polygons)),
    )


def sheet_polygon(line_mm: Floats, thickness_mm: float) -> Polygon:
    """Return a sheet's outline."""
    return Polygon(LineString(line_mm).buffer(thickness_mm / 2, cap_style="round", quad_segs=4).exterior)


def _firm(plan: Plan) -> list[Draft]:
    """Return bones, with room for their joints, and sheets clear of them, all of it inside the deep fascia."""
    parts: list[tuple[str, StructureKind, Polygon, float]] = []
    parts += [(bone.id, "bone", Polygon(bone.ring_mm), 2 * JOINT_MM) for bone in plan.bones]
    parts += [(sheet.id, "sheet", sheet_polygon(sheet.line_mm, sheet.thickness_mm), 0.0) for sheet in plan.sheets]
    cleared = _cleared([shape for _, _, shape, _ in parts], [gap for _, _, _, gap in parts])
    fascia = Polygon(star_ring(plan.centre_mm, plan.fascia_radii_mm)).buffer(-FASCIA_MM)
    drafts = []
    for (name, kind, _, _), shape in zip(parts, cleared, strict=True):
        # A bone just under the skin and a sheet that is part of the fascia would come through it by a hair.
        inside = shape if shape is None or fascia.covers(shape) else largest(shape.intersection(fascia))
        if inside is not None:
            drafts.append(Draft(id=name, kind=kind, tissue=kind, polygon=Polygon(inside.exterior)))
    return drafts


def _discs(settled: Sequence[Settled]) -> list[Draft]:
    """Return discs from back to front; where two still meet, the less vital one gives way."""
    ranked = sorted(settled, key=lambda disc: _PRIORITY.index(disc.disc.kind))
    shapes = _cleared(disc_polygons(ranked), [DISC_GAP_MM] * len(ranked), least_mm2=LEAST_DISC_MM2)
    found = {disc.disc.id: shape for disc, shape in zip(ranked, shapes, strict=True) if shape is not None}
    return [
        Draft(
            id=disc.disc.id,
            kind=disc.disc.kind,
            tissue=disc.disc.kind,
            polygon=found[disc.disc.id],
            layer="subcutaneous" if disc.subcutaneous > 0.5 else "subfascial",
            part_of=disc.disc.part_of,
        )
        for disc in sorted(settled, key=lambda disc: _DRAWN.index(disc.disc.kind))
        if disc.disc.id in found
    ]


def _cleared(shapes: Sequence[Polygon], gaps_mm: Sequence[float], *, least_mm2: float = 0.0) -> list[Polygon | None]:
    """Return of each shape the largest piece that keeps its gap to those before it, None where that is too small."""
    left, top, right, bottom = shapely.bounds(np.asarray(shapes, dtype=object)).reshape(-1, 4).T
    cleared: list[Polygon | None] = []
    for k, (shape, gap) in enumerate(zip(shapes, gaps_mm, strict=True)):
        near_x = (left[:k] <= right[k] + gap) & (right[:k] >= left[k] - gap)
        near = np.flatnonzero(near_x & (top[:k] <= bottom[k] + gap) & (bottom[:k] >= top[k] - gap))
        others = [other for place in near if (other := cleared[place]) is not None]
        others = [other.buffer(gap) for other in others if other.distance(shape) < gap or other.intersects(shape)]
        rest: Polygon | None = shape
        if others:
            piece = largest(shape.difference(shapely.union_all(others)))
            rest = None if piece is None else Polygon(piece.exterior)
        cleared.append(rest if rest is not None and rest.area > least_mm2 else None)
    return cleared


def _solved(drafts: Sequence[Draft]) -> tuple[tuple[Solved, ...], dict[str, Polygon]]:
    """Return the structures, and the polygons of their rounded outlines by name."""
    if not drafts:
        return (), {}
    shapes = np.array([draft.polygon for draft in drafts], dtype=object)
    centres = shapely.centroid(shapes)
    for k in np.flatnonzero(~shapely.contains(shapes, centres)):
        centres[k] = shapely.maximum_inscribed_circle(shapes[k]).interpolate(0)
    rings = rings_of(shapes)
    owner = np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])
    polygons = np.array(shapely.polygons(shapely.linearrings(np.concatenate(rings), indices=owner)), dtype=object)
    areas = np.array(shapely.area(polygons)).tolist()
    every = zip(drafts, shapely.get_coordinates(centres).tolist(), rings, areas, strict=True)
    structures = tuple(
        Solved(
            id=draft.id,
            kind=draft.kind,
            tissue=draft.tissue,
            layer=draft.layer,
            ring_mm=tuple(map(tuple, ring.tolist())),
            centre_mm=(round(x, 3), round(y, 3)),
            area_mm2=round(area, 3),
            authored_area_mm2=_thousandth(draft.authored_mm2),
            target_area_mm2=_thousandth(draft.target_mm2),
            pressure=_thousandth(draft.pressure_mm),
            part_of=draft.part_of,
        )
        for draft, (x, y), ring, area in every
    )
    return structures, dict(zip((draft.id for draft in drafts), polygons, strict=True))


def rings_of(polygons: Floats) -> list[Floats]:
    """Return outlines anticlockwise to 1 µm, without the repeated point, each starting at its most radial point."""
    # Of points equally fit to be left out, the last digit decides, and that is the processor's; without it, the place does.
    plain = shapely.transform(polygons, lambda points_mm: np.round(points_mm, DIGITS))
    shapes = shapely.orient_polygons(shapely.simplify(plain, SIMPLIFY_MM))
    points, owner = shapely.get_coordinates(shapely.get_exterior_ring(shapes), return_index=True)
    points = np.round(points, 3)
    ends = np.searchsorted(owner, np.arange(len(polygons) + 1)).tolist()
    rings = []
    for first, last in zip(ends[:-1], ends[1:], strict=True):
        ring = points[first : last - 1]
        start = int(np.lexsort((ring[:, 1], ring[:, 0]))[0])
        rings.append(np.concatenate([ring[start:], ring[:start]]))
    return rings


def _lost_seams(plan: Plan, settled: Sequence[Settled], polygons: dict[str, Polygon]) -> list[str]:
    """Return a warning for each nerve or vessel that does not lie against what it is said to run between."""
    lost = []
    for disc in settled:
        here = polygons.get(disc.disc.id)
        for run in disc.disc.runs:
            if here is None or run.strength < 1:
                continue
            for name in run.seam if run.seam is not None else (run.on,) if run.on is not None else ():
                if name not in polygons:
                    lost.append(f"{disc.disc.id} at z {plan.z_mm:g} mm runs along {name}, which is not there")
                elif (gap := polygons[name].distance(here)) > SEAM_MM:
                    lost.append(
                        f"{disc.disc.id} at z {plan.z_mm:g} mm is {gap:.1f} mm from {name}, along which it runs"
                    )
    return lost


def _thousandth(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


def _rounded(ring_mm: Floats) -> Ring:
    return tuple((round(x, 3), round(y, 3)) for x, y in ring_mm.tolist())

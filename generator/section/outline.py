"""Fields to outlines: contours, septa, rounded corners, and room for nerves and vessels."""

from __future__ import annotations

import contourpy
import numpy as np
import shapely
import shapely.ops
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from generator.anatomy.plan import Plan
from generator.section.grid import Grid
from generator.section.settle import Settled

SEPTUM_MM = 0.22
"""Half the loose tissue between two muscles (drawn, no source)."""

ROUND_MM = 0.9
DISC_CLEARANCE_MM = 0.22
LEAST_MM2 = 1.0
"""Cells smaller than this are left out; a muscle's first and last millimetre."""

SLIT_MM = 0.3
SIMPLIFY_MM = 0.02


def cell_polygon(grid: Grid, field: np.ndarray, *, septum_mm: float, round_mm: float) -> Polygon | None:
    """Return the largest piece where a field is positive, drawn in by the septum and rounded, or None.

    Args:
        grid: Raster of the field.
        field: Margin by which the cell wins, shape (rows × columns,), mm.
        septum_mm: Distance to draw the outline in.
        round_mm: Radius of the opening that rounds convex corners and removes slivers.
    """
    lines = contourpy.contour_generator(grid.x_mm, grid.y_mm, field.reshape(grid.shape), name="serial").lines(0.0)
    rings = [Polygon(line) for line in lines if len(line) > 3 and (line[0] == line[-1]).all()]
    rings = [ring if ring.is_valid else ring.buffer(0) for ring in rings]
    # Holes are another cell's islands; they are dropped with the islands below.
    whole = largest(shapely.union_all(rings)) if rings else None
    if whole is None:
        return None
    whole = Polygon(whole.exterior)
    radius = min(round_mm, 0.45 * np.sqrt(whole.area / np.pi))
    return largest(whole.buffer(-(septum_mm + radius), quad_segs=6).buffer(radius, quad_segs=6))


def largest(shape: BaseGeometry) -> Polygon | None:
    """Return the largest polygon of a geometry, or None if it has none."""
    pieces = [piece for piece in getattr(shape, "geoms", [shape]) if piece.geom_type == "Polygon" and not piece.is_empty]
    return max(pieces, key=lambda piece: piece.area, default=None)


def disc_polygon(settled: Settled, *, grow_mm: float = 0.0, points: int = 40) -> Polygon:
    """Return the ellipse of a settled disc."""
    angle = np.linspace(0, 2 * np.pi, points, endpoint=False)
    turn = np.radians(settled.tilt_deg)
    # A polygon inscribed in an ellipse is smaller than it; this restores the area.
    swell = np.sqrt(2 * np.pi / (points * np.sin(2 * np.pi / points)))
    width, height = (settled.half_width_mm + grow_mm) * swell, (settled.half_height_mm + grow_mm) * swell
    x, y = width * np.cos(angle), height * np.sin(angle)
    return Polygon(
        np.stack([x * np.cos(turn) - y * np.sin(turn), x * np.sin(turn) + y * np.cos(turn)], axis=1) + settled.at_mm
    )


def obstacles(plan: Plan, settled: tuple[Settled, ...]) -> list[tuple[str | None, BaseGeometry]]:
    """Return what is cut out of every muscle, with the muscle that is exempt (a tendon lies on its own belly)."""
    shapes: list[tuple[str | None, BaseGeometry]] = []
    for disc in settled:
        if disc.subcutaneous <= 0.5:
            shapes.append((disc.disc.part_of, disc_polygon(disc, grow_mm=DISC_CLEARANCE_MM)))
    for sheet in plan.sheets:
        shapes.append((None, LineString(sheet.line_mm).buffer(sheet.thickness_mm / 2 + 0.1, cap_style="flat")))
    for bone in plan.bones:
        shapes.append((None, Polygon(bone.ring_mm).buffer(0.12)))
    return shapes


def carve(cell: Polygon, belly_id: str, shapes: list[tuple[str | None, BaseGeometry]]) -> Polygon | None:
    """Return the largest piece of a cell clear of the obstacles, without holes."""
    minus = [shape for exempt, shape in shapes if exempt != belly_id and shape.intersects(cell)]
    if minus:
        cell = largest(cell.difference(shapely.union_all(minus)))
    if cell is not None and cell.interiors:
        cell = largest(cell.difference(shapely.union_all([_slit(cell, Polygon(hole)) for hole in cell.interiors])))
    if cell is None or cell.area < LEAST_MM2:
        return None
    return Polygon(cell.exterior)


def _slit(cell: Polygon, hole: Polygon) -> BaseGeometry:
    """Return the thin plane that joins something surrounded by a muscle to the muscle's surface."""
    inner, outer = shapely.ops.nearest_points(hole, cell.exterior)
    return LineString([hole.centroid, inner, outer]).buffer(SLIT_MM / 2).union(hole)


def ring_of(polygon: Polygon) -> tuple[tuple[float, float], ...]:
    """Return the outline anticlockwise to 1 µm, without the repeated point, starting at its most radial point."""
    shape = shapely.orient_polygons(polygon.simplify(SIMPLIFY_MM))
    points = np.round(np.asarray(shape.exterior.coords)[:-1], 3)
    start = int(np.lexsort((points[:, 1], points[:, 0]))[0])
    points = np.roll(points, -start, axis=0)
    return tuple((float(x), float(y)) for x, y in points)

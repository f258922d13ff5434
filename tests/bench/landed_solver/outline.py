"""Fields to outlines: contours, septa, rounded corners, and room for nerves and vessels."""

from __future__ import annotations

import contourpy
import numpy as np
import shapely
import shapely.ops
from scipy.ndimage import gaussian_filter
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from tests.bench.landed_solver.grid import CELL_MM, Grid
from tests.bench.landed_solver.settle import Settled
from wristward.anatomy.plan import Plan

SEPTUM_MM = 0.22
"""Half the loose tissue between two muscles (drawn, no source)."""

BLUR_MM = 0.8
"""Blur that rounds the corners of a belly (drawn, no source)."""

DISC_CLEARANCE_MM = 0.22
LEAST_MM2 = 1.0
"""Cells smaller than this are left out; a muscle's first and last millimetre."""

SLIT_MM = 0.3
SIMPLIFY_MM = 0.02
DIGITS = 6
"""Decimals of a contour's points before it is simplified, mm."""


def cell_polygon(grid: Grid, field: np.ndarray, *, septum_mm: float, blur_mm: float) -> Polygon | None:
    """Return the largest piece where a cell wins by more than the septum, its corners rounded, or None.

    Corners are rounded by blurring the margin, which is linear: the margins of two cells never add up to
    more than nothing, so neither do their blurred margins, and the outlines cannot overlap. It also moves
    gradually with the data, where cutting off slivers would not.

    Args:
        grid: Raster of the field.
        field: Margin by which the cell wins, shape (rows × columns,), mm.
        septum_mm: Margin at which the outline is drawn.
        blur_mm: Standard deviation of the blur.
    """
    margin = gaussian_filter(field.reshape(grid.shape), blur_mm / CELL_MM, mode="nearest", truncate=3.0)
    generator = contourpy.contour_generator(
        grid.x_mm, grid.y_mm, margin, name="serial", fill_type=contourpy.FillType.OuterOffset
    )
    pieces = []
    for points, offsets in zip(*generator.filled(septum_mm, np.inf), strict=True):
        rings = [points[a:b] for a, b in zip(offsets[:-1], offsets[1:], strict=True)]
        piece = Polygon(rings[0], [ring for ring in rings[1:] if len(ring) > 3])
        pieces.append(piece if piece.is_valid else piece.buffer(0))
    return largest(shapely.union_all(pieces)) if pieces else None


def largest(shape: BaseGeometry) -> Polygon | None:
    """Return the largest polygon of a geometry, or None if it has none."""
    pieces = [
        piece for piece in getattr(shape, "geoms", [shape]) if piece.geom_type == "Polygon" and not piece.is_empty
    ]
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
        if disc.subcutaneous < 1:
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


def part_cells(cells: list[Polygon | None], thickness_mm: np.ndarray) -> list[Polygon | None]:
    """Return cells free of overlap: thin layers are blurred less than thick bellies, which give way to them."""
    parted = list(cells)
    done: list[Polygon] = []
    for k in np.argsort(thickness_mm, kind="stable"):
        cell = parted[k]
        if cell is None:
            continue
        near = [other for other in done if other.intersects(cell)]
        if near:
            cell = largest(cell.difference(shapely.union_all(near)))
            if cell is not None and cell.interiors:
                cell = largest(cell.difference(shapely.union_all([_slit(cell, Polygon(h)) for h in cell.interiors])))
            parted[k] = cell = None if cell is None or cell.area < LEAST_MM2 else Polygon(cell.exterior)
        if cell is not None:
            done.append(cell)
    return parted


def _slit(cell: Polygon, hole: Polygon) -> BaseGeometry:
    """Return the thin plane that joins something surrounded by a muscle to the muscle's surface."""
    inner, outer = shapely.ops.nearest_points(hole, cell.exterior)
    return LineString([hole.centroid, inner, outer]).buffer(SLIT_MM / 2).union(hole)


def ring_of(polygon: Polygon) -> tuple[tuple[float, float], ...]:
    """Return the outline anticlockwise to 1 µm, without the repeated point, starting at its most radial point."""
    # Of points equally fit to be left out, the last digit decides, and that is the processor's; without it, the place does.
    plain = shapely.transform(polygon, lambda points_mm: np.round(points_mm, DIGITS))
    shape = shapely.orient_polygons(plain.simplify(SIMPLIFY_MM))
    points = np.round(np.asarray(shape.exterior.coords)[:-1], 3)
    start = int(np.lexsort((points[:, 1], points[:, 0]))[0])
    points = np.roll(points, -start, axis=0)
    return tuple((float(x), float(y)) for x, y in points)

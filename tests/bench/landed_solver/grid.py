"""The raster that a section is solved on, and signed distances to what bounds it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wristward.anatomy.curves import THETA
from wristward.anatomy.plan import Bone, Plan, Sheet

CELL_MM = 0.6
"""Side of a raster cell. Contours are interpolated between cells, so outlines are finer than this."""

FEW_POINTS = 256
"""Up to this many points all segments of a line are taken at once; more would no longer fit the fast memory."""

FASCIA_CLEARANCE_MM = 0.25
BONE_CLEARANCE_MM = 0.3
SHEET_CLEARANCE_MM = 0.15
MARGIN_MM = 1.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A rectangular raster over the space inside the fascia."""

    x_mm: np.ndarray
    y_mm: np.ndarray
    points_mm: np.ndarray
    """Every raster point, shape (rows × columns, 2), row by row."""

    free_mm: np.ndarray
    """Signed distance into the free space (positive inside), shape (rows × columns,)."""

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return len(self.y_mm), len(self.x_mm)

    @property
    def share(self) -> np.ndarray:
        """Share of each cell that is free, 0 to 1, shape (rows × columns,)."""
        return np.clip(0.5 + self.free_mm / CELL_MM, 0.0, 1.0)


def make_grid(plan: Plan) -> Grid:
    """Lay a raster over the plan; fascia, bones and sheets bound the free space, nerves and vessels do not yet."""
    ring = plan.centre_mm + plan.fascia_radii_mm[:, None] * np.stack([np.cos(THETA), np.sin(THETA)], axis=1)
    low = np.floor((ring.min(axis=0) - MARGIN_MM) / CELL_MM) * CELL_MM
    high = ring.max(axis=0) + MARGIN_MM
    x = np.arange(low[0], high[0], CELL_MM)
    y = np.arange(low[1], high[1], CELL_MM)
    points = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    free = -star_distance(points, plan.centre_mm, plan.fascia_radii_mm) - FASCIA_CLEARANCE_MM
    for bone in plan.bones:
        free = np.minimum(free, bone_distance(points, bone) - BONE_CLEARANCE_MM)
    for sheet in plan.sheets:
        free = np.minimum(free, sheet_distance(points, sheet) - SHEET_CLEARANCE_MM)
    return Grid(x_mm=x, y_mm=y, points_mm=points, free_mm=free)


def star_distance(points_mm: np.ndarray, centre_mm: np.ndarray, radii_mm: np.ndarray) -> np.ndarray:
    """Return the distance outside a star-shaped ring (negative inside), exact to first order at the ring."""
    offset = points_mm - centre_mm
    reach = np.hypot(offset[:, 0], offset[:, 1])
    bearing = np.arctan2(offset[:, 1], offset[:, 0]) % (2 * np.pi)
    radius = np.interp(bearing, THETA, radii_mm, period=2 * np.pi)
    slope = (np.roll(radii_mm, -1) - np.roll(radii_mm, 1)) / (2 * (THETA[1] - THETA[0]))
    tangent = np.interp(bearing, THETA, slope, period=2 * np.pi)
    return (reach - radius) * radius / np.hypot(radius, tangent)


def bone_distance(points_mm: np.ndarray, bone: Bone) -> np.ndarray:
    """Return the distance outside a bone, mm."""
    return star_distance(points_mm, bone.centre_mm, bone.radii_mm)


def sheet_distance(points_mm: np.ndarray, sheet: Sheet) -> np.ndarray:
    """Return the distance outside a sheet of finite thickness, mm."""
    return line_distance(points_mm, sheet.line_mm) - sheet.thickness_mm / 2


def line_distance(points_mm: np.ndarray, line_mm: np.ndarray) -> np.ndarray:
    """Return the distance from points (n, 2) to an open polyline (k, 2), mm."""
    if len(points_mm) <= FEW_POINTS:
        return _few_to_line(points_mm, line_mm)
    x, y = np.ascontiguousarray(points_mm[:, 0]), np.ascontiguousarray(points_mm[:, 1])
    best = np.full(len(x), np.inf)
    for (ax, ay), (bx, by) in zip(line_mm[:-1], line_mm[1:], strict=True):
        ex, ey = bx - ax, by - ay
        px, py = x - ax, y - ay
        length2 = ex * ex + ey * ey
        if length2 > 1e-12:
            along = px * (ex / length2)
            along += py * (ey / length2)
            np.clip(along, 0.0, 1.0, out=along)
            px -= along * ex
            py -= along * ey
        px *= px
        py *= py
        px += py
        np.minimum(best, px, out=best)
    return np.sqrt(best)


def _few_to_line(points_mm: np.ndarray, line_mm: np.ndarray) -> np.ndarray:
    """Return the same for few points, every segment at once: discs ask so often that a loop is a third of a solve."""
    (ax, ay), (ex, ey) = line_mm[:-1].T, np.diff(line_mm, axis=0).T
    px, py = points_mm[:, :1] - ax, points_mm[:, 1:] - ay
    length2 = ex * ex + ey * ey
    real = length2 > 1e-12
    per_x, per_y = (np.divide(e, length2, out=np.zeros_like(e), where=real) for e in (ex, ey))
    along = np.clip(px * per_x + py * per_y, 0.0, 1.0)
    px -= along * ex
    py -= along * ey
    return np.sqrt((px * px + py * py).min(axis=1))


def ellipse_distance(
    points_mm: np.ndarray, *, at_mm: np.ndarray, half_width_mm: float, half_height_mm: float, tilt_deg: float
) -> np.ndarray:
    """Return the distance outside an ellipse (negative inside), exact to first order at its edge."""
    angle = np.radians(tilt_deg)
    x, y = (points_mm - at_mm).T
    # Written out: a product of matrices would be rounded otherwise on another processor.
    along = (x * np.cos(angle) + y * np.sin(angle)) / half_width_mm
    across = (y * np.cos(angle) - x * np.sin(angle)) / half_height_mm
    size = np.hypot(along, across)
    gradient = np.hypot(along / half_width_mm, across / half_height_mm)
    small = min(half_width_mm, half_height_mm)
    with np.errstate(divide="ignore", invalid="ignore"):
        distance = (size - 1) * size / gradient
    return np.where(gradient < 1e-9, -small, distance)

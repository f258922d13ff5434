"""The raster that a section is solved on, and signed distances to what bounds it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.anatomy.curves import star_ring
from wristward.anatomy.plan import Bone, Plan, Sheet
from wristward.section.star import Stars

CELL_MM = 0.6
"""Side of a raster cell. Contours are interpolated between cells, so outlines are finer than this."""

FASCIA_CLEARANCE_MM = 0.25
BONE_CLEARANCE_MM = 0.3
SHEET_CLEARANCE_MM = 0.15
MARGIN_MM = 1.8
FEW_SUMS = 8_000
"""Up to so many numbers all segments of a line are taken at once; more would no longer fit the fast memory."""

BOUNDS_MM = 2.6
"""Bones and sheets are looked at so far from them: further off, margins and the space that is free do not know of them."""

STEEPEST = 0.2
"""Least rise of the distance outside a bone for each mm away from it, however ragged its outline."""

Box = tuple[slice, slice]
"""Rows and columns of a raster."""


@dataclass(frozen=True, slots=True)
class Raster:
    """Columns and rows at even steps."""

    x_mm: Floats
    y_mm: Floats

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return len(self.y_mm), len(self.x_mm)

    def box(self, low_mm: Floats, high_mm: Floats) -> Box:
        """Return the rows and columns that cover a rectangle, as far as the raster goes."""
        sides = []
        for axis, low, high in ((self.y_mm, low_mm[1], high_mm[1]), (self.x_mm, low_mm[0], high_mm[0])):
            start, stop = np.searchsorted(axis, (low, high)).tolist()
            sides.append(slice(max(start - 1, 0), min(stop + 1, len(axis))))
        return sides[0], sides[1]

    def part(self, box: Box) -> tuple[Floats, Floats]:
        """Return the columns and rows of a part of the raster, mm."""
        return self.x_mm[box[1]], self.y_mm[box[0]]


@dataclass(frozen=True, slots=True)
class Grid(Raster):
    """The raster over the space inside the fascia."""

    free_mm: Floats
    """Signed distance into the free space (positive inside), shape (rows, columns), true where it is below 2 mm."""


def make_grid(plan: Plan) -> Grid:
    """Lay a raster over the plan; fascia, bones and sheets bound the free space, nerves and vessels do not yet."""
    ring = star_ring(plan.centre_mm, plan.fascia_radii_mm)
    low = np.floor((ring.min(axis=0) - MARGIN_MM) / CELL_MM) * CELL_MM
    high = ring.max(axis=0) + MARGIN_MM
    x, y = (np.arange(low[k], high[k], CELL_MM) for k in (0, 1))
    outside = star_distance(x, y, plan.centre_mm, plan.fascia_radii_mm)
    grid = Grid(x, y, -outside - FASCIA_CLEARANCE_MM)
    for bone in plan.bones:
        box, distance = near_bone(grid, bone, far_mm=BOUNDS_MM)
        np.minimum(grid.free_mm[box], distance - BONE_CLEARANCE_MM, out=grid.free_mm[box])
    for sheet in plan.sheets:
        box, distance = near_sheet(grid, sheet, far_mm=BOUNDS_MM)
        np.minimum(grid.free_mm[box], distance - SHEET_CLEARANCE_MM, out=grid.free_mm[box])
    return grid


def overlap(box: Box, other: Box) -> tuple[Box, Box]:
    """Return what two parts of a raster have in common, as rows and columns of the one and of the other."""
    mine, its = [], []
    for side, other_side in zip(box, other, strict=True):
        start = max(side.start, other_side.start)
        stop = max(start, min(side.stop, other_side.stop))
        mine.append(slice(start - side.start, stop - side.start))
        its.append(slice(start - other_side.start, stop - other_side.start))
    return (mine[0], mine[1]), (its[0], its[1])


def near_bone(raster: Raster, bone: Bone, *, far_mm: float) -> tuple[Box, Floats]:
    """Return the part of a raster that is no further than so much from a bone, and the distance outside the bone there."""
    slope = (np.roll(bone.radii_mm, -1) - np.roll(bone.radii_mm, 1)) * len(bone.radii_mm) / (4 * np.pi)
    rise = float((bone.radii_mm / np.hypot(bone.radii_mm, slope)).min())
    far = bone.radii_mm.max() + far_mm / max(rise, STEEPEST)
    box = raster.box(bone.centre_mm - far, bone.centre_mm + far)
    return box, star_distance(*raster.part(box), bone.centre_mm, bone.radii_mm)


def near_sheet(raster: Raster, sheet: Sheet, *, far_mm: float) -> tuple[Box, Floats]:
    """Return the part of a raster that is no further than so much from a sheet, and the distance outside the sheet there."""
    far = far_mm + sheet.thickness_mm / 2
    box = raster.box(sheet.line_mm.min(axis=0) - far, sheet.line_mm.max(axis=0) + far)
    return box, line_distance(*raster.part(box), sheet.line_mm) - sheet.thickness_mm / 2


def star_distance(x_mm: Floats, y_mm: Floats, centre_mm: Floats, radii_mm: Floats) -> Floats:
    """Return the distance outside a star-shaped ring (negative inside), exact to first order at the ring.

    Args:
        x_mm: Columns of a raster.
        y_mm: Rows.
        centre_mm: Centre of the ring.
        radii_mm: From centre to ring along the bearings.

    Returns:
        Shape (rows, columns), mm.
    """
    return Stars(radii_mm[None]).distance(x_mm - centre_mm[0], (y_mm - centre_mm[1])[:, None])


def line_distance(x_mm: Floats, y_mm: Floats, line_mm: Floats) -> Floats:
    """Return the distance from each crossing of columns and rows to an open polyline (k, 2), shape (rows, columns), mm."""
    if len(x_mm) * len(y_mm) * len(line_mm) <= FEW_SUMS:
        nearest: Floats = np.sqrt(_squares(x_mm, y_mm, line_mm).min(axis=0))
        return nearest
    shape = (len(y_mm), len(x_mm))
    best = np.full(shape, np.inf)
    px, py, along = np.empty(shape), np.empty(shape), np.empty(shape)
    for (ax, ay), (bx, by) in zip(line_mm[:-1].tolist(), line_mm[1:].tolist(), strict=True):
        ex, ey = bx - ax, by - ay
        x, y = x_mm - ax, (y_mm - ay)[:, None]
        length2 = ex * ex + ey * ey
        if length2 > 1e-12:
            np.add(x * (ex / length2), y * (ey / length2), out=along)
            np.maximum(along, 0.0, out=along)
            np.minimum(along, 1.0, out=along)
            np.subtract(x, np.multiply(along, ex, out=px), out=px)
            np.subtract(y, np.multiply(along, ey, out=py), out=py)
        else:
            px[:], py[:] = x, y
        px *= px
        py *= py
        px += py
        np.minimum(best, px, out=best)
    np.sqrt(best, out=best)
    return best


def _squares(x_mm: Floats, y_mm: Floats, line_mm: Floats) -> Floats:
    """Return the squares of the distances to each segment of a polyline, shape (segments, rows, columns), mm²."""
    (start_x, start_y), (ex, ey) = line_mm[:-1].T[..., None, None], np.diff(line_mm, axis=0).T[..., None, None]
    x, y = x_mm - start_x, y_mm[:, None] - start_y
    length2 = ex * ex + ey * ey
    real = length2 > 1e-12
    along = x * np.divide(ex, length2, out=np.zeros_like(ex), where=real)
    along = along + y * np.divide(ey, length2, out=np.zeros_like(ey), where=real)
    along = np.minimum(np.maximum(along, 0.0), 1.0)
    squares: Floats = (x - along * ex) ** 2 + (y - along * ey) ** 2
    return squares


def ellipse_distance(
    x_mm: Floats,
    y_mm: Floats,
    *,
    at_mm: Floats,
    half_width_mm: float,
    half_height_mm: float,
    tilt_deg: float,
) -> Floats:
    """Return the distance outside an ellipse (negative inside), exact to first order at its edge, shape (rows, columns)."""
    angle = np.radians(tilt_deg)
    x, y = x_mm - at_mm[0], (y_mm - at_mm[1])[:, None]
    # Written out: a product of matrices would be rounded otherwise on another processor.
    along = (x * np.cos(angle) + y * np.sin(angle)) / half_width_mm
    across = (y * np.cos(angle) - x * np.sin(angle)) / half_height_mm
    size = np.hypot(along, across)
    gradient = np.hypot(along / half_width_mm, across / half_height_mm)
    small = min(half_width_mm, half_height_mm)
    with np.errstate(divide="ignore", invalid="ignore"):
        distance = (size - 1) * size / gradient
    return np.where(gradient < 1e-9, -small, distance)

"""Fields to outlines: contours, septa, rounded corners, and room for nerves and vessels."""

from __future__ import annotations

from collections.abc import Sequence

import contourpy
import numpy as np
import shapely
import shapely.ops
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from wristward.anatomy.arrays import Floats
from wristward.section.grid import CELL_MM, Grid
from wristward.section.margins import Margin
from wristward.section.obstacles import Obstacles

SEPTUM_MM = 0.22
"""Half the loose tissue between two muscles (drawn, no source)."""

BLUR_MM = 0.8
"""Blur that rounds the corners of a belly (drawn, no source)."""

BLUR_ENDS = 3.0
"""Standard deviations at which the blur ends."""

PAD_CELLS = 9
"""Cells about those that a belly wins: four that a blur may win it more, one for the contour, four that reach into that."""

LEAST_MM2 = 1.0
"""Cells smaller than this are left out; a muscle's first and last millimetre."""

SLIT_MM = 0.3


class Contour:
    """A belly's blurred margin, from which its outline is drawn at one septum or several.

    Corners are rounded by blurring the margin, which is linear: the margins of two cells never add up to
    more than nothing, so neither do their blurred margins, and the outlines cannot overlap. It also moves
    gradually with the data, where cutting off slivers would not.
    """

    def __init__(self, grid: Grid, margin: Margin, *, blur_mm: float) -> None:
        """Blur a margin.

        Args:
            grid: Raster of the margin.
            margin: Margin by which the cell wins, mm.
            blur_mm: Standard deviation of the blur.
        """
        self._lines = None
        box = margin.won(pad=PAD_CELLS, shape=grid.shape)
        if box is None:
            return
        blurred = _blurred(margin.within(box), _kernel(blur_mm / CELL_MM))
        x, y = np.empty(blurred.shape), np.empty(blurred.shape)
        x[:], y[:] = grid.x_mm[box[1]], grid.y_mm[box[0], None]
        # As contour_generator would make it, without the masked arrays that it makes of what has no mask.
        self._lines = contourpy.SerialContourGenerator(
            x,
            y,
            blurred,
            None,  # type: ignore[arg-type]  # without a mask
            corner_mask=True,
            line_type=contourpy.LineType.Separate,
            fill_type=contourpy.FillType.OuterOffset,
            quad_as_tri=False,
            z_interp=contourpy.ZInterp.Linear,
            x_chunk_size=0,
            y_chunk_size=0,
        )

    def at(self, septum_mm: float) -> Polygon | None:
        """Return the largest piece where the cell wins by more than the septum, or None."""
        if self._lines is None:
            return None
        pieces = []
        for points, offsets in zip(*self._lines.filled(septum_mm, np.inf), strict=True):
            rings = [points[a:b] for a, b in zip(offsets[:-1], offsets[1:], strict=True)]
            piece = shapely.polygons(
                rings[0], [shapely.linearrings(ring) for ring in rings[1:] if len(ring) > 3] or None
            )
            pieces.append(piece if piece.is_valid else piece.buffer(0))
        return largest(shapely.union_all(pieces)) if pieces else None


def _kernel(cells: float) -> list[float]:
    """Return the weights of a blur of so many cells' standard deviation, from the middle outward."""
    reach = int(BLUR_ENDS * cells + 0.5)
    weights = np.exp(-0.5 / (cells * cells) * np.arange(-reach, reach + 1) ** 2)
    kernel: list[float] = (weights / weights.sum())[reach:].tolist()
    return kernel


def _blurred(field: Floats, kernel: list[float]) -> Floats:
    """Return a field blurred along its columns and its rows; beyond its ends it goes on as it ends."""
    for _ in range(2):
        reach, count = len(kernel) - 1, len(field)
        padded = np.empty((count + 2 * reach, field.shape[1]))
        padded[reach : reach + count], padded[:reach], padded[reach + count :] = field, field[:1], field[-1:]
        blurred = kernel[0] * field
        for step, weight in enumerate(kernel[1:], start=1):
            both = padded[reach - step : reach - step + count] + padded[reach + step : reach + step + count]
            both *= weight
            blurred += both
        field = blurred.T
    return np.ascontiguousarray(field)


def largest(shape: BaseGeometry) -> Polygon | None:
    """Return the largest polygon of a geometry, or None if it has none."""
    pieces = [
        piece for piece in getattr(shape, "geoms", [shape]) if piece.geom_type == "Polygon" and not piece.is_empty
    ]
    return max(pieces, key=lambda piece: piece.area, default=None)


def carve(cells: Sequence[Polygon | None], names: Sequence[str], obstacles: Obstacles) -> list[Polygon | None]:
    """Return the largest piece of each cell clear of the obstacles, without holes."""
    carved = []
    for cell, obstacle in zip(cells, obstacles.in_the_way(cells, names), strict=True):
        free = cell if cell is None or obstacle is None else largest(cell.difference(obstacle))
        carved.append(None if free is None else _whole(free))
    return carved


def part_cells(cells: Sequence[Polygon | None], thickness_mm: Floats) -> list[Polygon | None]:
    """Return cells free of overlap: thin layers are blurred less than thick bellies, which give way to them."""
    there = [(int(k), cell) for k in np.argsort(thickness_mm, kind="stable") if (cell := cells[k]) is not None]
    shapes = np.array([cell for _, cell in there], dtype=object)
    meeting: dict[int, list[int]] = {}
    # A cell only becomes smaller: what does not meet it now will not.
    for one, other in sorted(shapely.STRtree(shapes).query(shapes, predicate="intersects").T.tolist()):
        if other < one:
            meeting.setdefault(one, []).append(other)
    parted: dict[int, Polygon | None] = dict(enumerate(shapes))
    for one, others in meeting.items():
        near = [cell for other in others if (cell := parted[other]) is not None and cell.intersects(shapes[one])]
        if near:
            rest = largest(shapes[one].difference(shapely.union_all(near)))
            parted[one] = None if rest is None else _whole(rest)
    result: list[Polygon | None] = [None] * len(cells)
    for rank, (k, _) in enumerate(there):
        result[k] = parted[rank]
    return result


def _whole(cell: Polygon) -> Polygon | None:
    """Return a cell with its holes opened to the outside, or None if it is too small."""
    if not cell.interiors:
        return None if cell.area < LEAST_MM2 else cell
    slits = shapely.union_all([_slit(cell, Polygon(hole)) for hole in cell.interiors])
    rest = largest(cell.difference(slits))
    return None if rest is None or rest.area < LEAST_MM2 else Polygon(rest.exterior)


def _slit(cell: Polygon, hole: Polygon) -> BaseGeometry:
    """Return the thin plane that joins something surrounded by a muscle to the muscle's surface."""
    inner, outer = shapely.ops.nearest_points(hole, cell.exterior)
    return LineString([hole.centroid, inner, outer]).buffer(SLIT_MM / 2).union(hole)

"""What is cut out of muscles: nerves, vessels and digit tendons with their clearance, sheets and bones."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from wristward.anatomy.plan import Plan
from wristward.section.settle import Settled

DISC_CLEARANCE_MM = 0.22
SHEET_CLEARANCE_MM = 0.1
BONE_CLEARANCE_MM = 0.12

POINTS = 40
"""Corners of the polygon that stands for an ellipse."""

_ANGLE = np.linspace(0, 2 * np.pi, POINTS, endpoint=False)
_COS, _SIN = np.cos(_ANGLE), np.sin(_ANGLE)
_SWELL = np.sqrt(2 * np.pi / (POINTS * np.sin(2 * np.pi / POINTS)))
"""A polygon inscribed in an ellipse is smaller than it; this restores the area."""


def disc_polygons(settled: Sequence[Settled], *, grow_mm: float = 0.0) -> list[Polygon]:
    """Return the ellipses of settled discs."""
    width, height, tilt = (
        np.array([(disc.half_width_mm, disc.half_height_mm, disc.tilt_deg) for disc in settled])
        .reshape(-1, 3)
        .T[..., None]
    )
    turn = np.radians(tilt)
    x, y = (width + grow_mm) * _SWELL * _COS, (height + grow_mm) * _SWELL * _SIN
    points = np.stack([x * np.cos(turn) - y * np.sin(turn), x * np.sin(turn) + y * np.cos(turn)], axis=2)
    return list(shapely.polygons(points + np.array([disc.at_mm for disc in settled]).reshape(-1, 1, 2)))


class Obstacles:
    """The obstacles of a section. A muscle is carved four times; what is in its way is joined only once."""

    def __init__(self, plan: Plan, settled: Sequence[Settled]) -> None:
        deep = [disc for disc in settled if disc.subcutaneous < 1]
        shapes: list[BaseGeometry] = [*disc_polygons(deep, grow_mm=DISC_CLEARANCE_MM)]
        for sheet in plan.sheets:
            half_mm = sheet.thickness_mm / 2 + SHEET_CLEARANCE_MM
            shapes.append(LineString(sheet.line_mm).buffer(half_mm, cap_style="flat"))
        for bone in plan.bones:
            shapes.append(Polygon(bone.ring_mm).buffer(BONE_CLEARANCE_MM))
        self._shapes = np.array(shapes, dtype=object)
        shapely.prepare(self._shapes)
        exempt = [disc.disc.part_of for disc in deep]
        self._exempt = np.array(exempt + [None] * (len(shapes) - len(deep)), dtype=object)
        self._joined: dict[bytes, BaseGeometry] = {}

    def in_the_way(self, cells: Sequence[Polygon | None], names: Sequence[str]) -> Iterator[BaseGeometry | None]:
        """Yield for each cell what it meets, joined, or None if it meets nothing; a tendon lies on its own belly."""
        for name, met in zip(
            names, shapely.intersects(np.array(cells, dtype=object)[:, None], self._shapes), strict=True
        ):
            met &= self._exempt != name
            key = met.tobytes()
            if met.any() and key not in self._joined:
                self._joined[key] = shapely.union_all(self._shapes[met])
            yield self._joined.get(key)

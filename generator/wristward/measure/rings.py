"""Plane geometry on outlines, in mm and plain tuples: what the layers above ask of a section.

A shape is one ring or several (the parts of a structure). Nothing here knows anatomy, sides or depth.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from wristward.section.section import Point, Ring

Rings = tuple[Ring, ...]
FAR_MM = 400.0
"""Longer than any section is wide."""


@dataclass(frozen=True, slots=True)
class Reach:
    """The shortest line between two shapes."""

    distance_mm: float
    """Edge to edge; 0 where they touch or overlap."""

    from_mm: Point
    to_mm: Point


@lru_cache(maxsize=60_000)
def _polygon(ring: Ring) -> BaseGeometry:
    polygon = Polygon(ring)
    return polygon if polygon.is_valid else shapely.make_valid(polygon)


def _edge(ring: Ring) -> BaseGeometry:
    return _polygon(ring).boundary


@lru_cache(maxsize=20_000)
def shape_of(rings: Rings) -> BaseGeometry:
    """Return a shape as shapely has it, its rings joined; made once."""
    if len(rings) == 1:
        return _polygon(rings[0])
    return shapely.union_all([_polygon(ring) for ring in rings])


def centroid(rings: Rings) -> Point:
    """Return the centre of area, mm; it may lie outside a bent shape."""
    middle = shape_of(rings).centroid
    return middle.x, middle.y


def distance_mm(first: Rings, second: Rings) -> float:
    """Return the distance from edge to edge, mm; 0 where the shapes touch or overlap."""
    apart: float = shape_of(first).distance(shape_of(second))
    return apart


def nearest_point(point: Point, rings: Rings) -> Point:
    """Return the point of a shape nearest to a point; the point itself where it lies inside."""
    return _plain(shapely.get_coordinates(shapely.shortest_line(ShapelyPoint(point), shape_of(rings)))[1])


def shortest_line_to_edge(shape: Rings, ring: Ring) -> Reach:
    """Return the shortest line from a shape to a ring's edge, whichever side of it the shape is on."""
    a, b = shapely.get_coordinates(shapely.shortest_line(shape_of(shape), _edge(ring)))
    return Reach(math.dist(a, b), _plain(a), _plain(b))


def is_inside(point: Point, rings: Rings) -> bool:
    """Say whether a point lies in a shape or on its edge."""
    return bool(shapely.covers(shape_of(rings), ShapelyPoint(point)))


def depth_inside_mm(point: Point, ring: Ring) -> float:
    """Return a point's distance to a ring's edge, mm: positive inside, negative outside."""
    far: float = _edge(ring).distance(ShapelyPoint(point))
    return far if is_inside(point, (ring,)) else -far


def is_in_closed(point: Point, rings: Rings, *, slit_mm: float) -> bool:
    """Say whether a point lies in a shape once slits up to a width, such as those between layers, are closed."""
    closed = shape_of(rings).buffer(slit_mm / 2).buffer(-slit_mm / 2 - 1e-6)
    return bool(shapely.covers(closed, ShapelyPoint(point)))


def share_covered(starts: Sequence[Point], rings: Rings, *, along: Point | Ring) -> float:
    """Return the share of straight lines from some points that meet a shape, 0 to 1.

    Args:
        starts: Where the lines begin.
        rings: The shape.
        along: A unit direction, in which the lines run on without end; or a ring, to whose edge each takes the
            shortest way.
    """
    begins = np.array(starts)
    if isinstance(along[0], tuple):
        lines = shapely.shortest_line(shapely.points(begins), _edge(along))
    else:
        lines = shapely.linestrings(np.stack([begins, begins + FAR_MM * np.array(along)], axis=1))
    return float(np.mean(shapely.intersects(lines, shape_of(rings))))


def interlock_mm(ahead: Rings, behind: Rings, *, direction: Point, step_mm: float) -> tuple[float, float | None]:
    """Return how far one shape reaches past the near wall of another, on parallel lines that meet both.

    Args:
        ahead: The shape that should lie further along the direction.
        behind: The shape that should lie short of it.
        direction: Unit vector along an axis of the frame.
        step_mm: Distance between the lines.

    Returns:
        The largest reach past, mm, 0 if nowhere; and the lines' place across the direction where that is, or None.
    """
    axis = 0 if direction[0] else 1
    across = 1 - axis
    boxes = [shape_of(rings).bounds for rings in (ahead, behind)]
    low, high = max(box[across] for box in boxes), min(box[across + 2] for box in boxes)
    places = np.arange(low + step_mm / 2, high, step_mm)
    if not len(places):
        return 0.0, None
    ends = np.empty((len(places), 2, 2))
    ends[:, :, across] = places[:, None]
    ends[:, :, axis] = (-FAR_MM, FAR_MM)
    lines = shapely.linestrings(ends)
    cut_ahead, cut_behind = (shapely.bounds(shapely.intersection(lines, shape_of(rings))) for rings in (ahead, behind))
    forward = direction[axis] > 0
    near = cut_ahead[:, axis] if forward else -cut_ahead[:, axis + 2]
    far = cut_behind[:, axis + 2] if forward else -cut_behind[:, axis]
    # A line that misses one of the two has no bounds, NaN, and counts as no reach.
    past = np.nan_to_num(far - near, nan=0.0)
    worst = int(np.argmax(past))
    return (float(past[worst]), float(places[worst])) if past[worst] > 0 else (0.0, None)


def _plain(pair: Sequence[float]) -> Point:
    return float(pair[0]), float(pair[1])

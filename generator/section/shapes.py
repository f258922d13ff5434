"""Plane geometry on outlines, in mm and plain tuples: what the layers above ask of a section.

A shape is one ring or several (the parts of a structure). Nothing here knows anatomy, sides or depth.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry

from generator.section.model import Point, Ring

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
def _polygon(ring: Ring) -> Polygon:
    polygon = Polygon(ring)
    return polygon if polygon.is_valid else shapely.make_valid(polygon)


@lru_cache(maxsize=20_000)
def _shape(rings: Rings) -> BaseGeometry:
    if len(rings) == 1:
        return _polygon(rings[0])
    return shapely.union_all([_polygon(ring) for ring in rings])


def area_mm2(rings: Rings) -> float:
    """Return the area covered by a shape, counted once where its rings overlap, mm²."""
    return _shape(rings).area


def overlap_mm2(first: Rings, second: Rings) -> float:
    """Return the area two shapes share, mm²."""
    return _shape(first).intersection(_shape(second)).area


def centroid(rings: Rings) -> Point:
    """Return the centre of area, mm; it may lie outside a bent shape."""
    middle = _shape(rings).centroid
    return middle.x, middle.y


def extent(rings: Rings) -> tuple[float, float, float, float]:
    """Return x and y of the lower, then of the upper corner of the shape's box, mm."""
    return _shape(rings).bounds


def distance_mm(first: Rings, second: Rings) -> float:
    """Return the distance from edge to edge, mm; 0 where the shapes touch or overlap."""
    return _shape(first).distance(_shape(second))


def distances_mm(one: Rings, others: Sequence[Rings]) -> list[float]:
    """Return the distance from one shape to each of many, mm; the many in one call is the fast way."""
    return [float(value) for value in shapely.distance(_shape(one), [_shape(other) for other in others])]


def shortest_line(first: Rings, second: Rings) -> Reach:
    """Return the shortest line between two shapes; of overlapping shapes, a point they share."""
    a, b = shapely.get_coordinates(shapely.shortest_line(_shape(first), _shape(second)))
    return Reach(math.dist(a, b), _plain(a), _plain(b))


def nearest_point(point: Point, rings: Rings) -> Point:
    """Return the point of a shape nearest to a point; the point itself where it lies inside."""
    return _plain(shapely.get_coordinates(shapely.shortest_line(ShapelyPoint(point), _shape(rings)))[1])


def shortest_line_to_edge(shape: Rings, ring: Ring) -> Reach:
    """Return the shortest line from a shape to a ring's edge, whichever side of it the shape is on."""
    a, b = shapely.get_coordinates(shapely.shortest_line(_shape(shape), _polygon(ring).exterior))
    return Reach(math.dist(a, b), _plain(a), _plain(b))


def nearest_on_edge(point: Point, ring: Ring) -> Point:
    """Return the point of a ring's edge nearest to a point."""
    edge = _polygon(ring).exterior
    return _plain(shapely.get_coordinates(edge.interpolate(edge.project(ShapelyPoint(point))))[0])


def is_inside(point: Point, rings: Rings) -> bool:
    """Say whether a point lies in a shape or on its edge."""
    return bool(shapely.covers(_shape(rings), ShapelyPoint(point)))


def depth_inside_mm(point: Point, ring: Ring) -> float:
    """Return a point's distance to a ring's edge, mm: positive inside, negative outside."""
    polygon = _polygon(ring)
    far = polygon.exterior.distance(ShapelyPoint(point))
    return far if is_inside(point, (ring,)) else -far


def is_in_closed(point: Point, rings: Rings, *, slit_mm: float) -> bool:
    """Say whether a point lies in a shape once slits up to a width, such as those between layers, are closed."""
    closed = _shape(rings).buffer(slit_mm / 2).buffer(-slit_mm / 2 - 1e-6)
    return bool(shapely.covers(closed, ShapelyPoint(point)))


def crosses(start: Point, end: Point, rings: Rings) -> bool:
    """Say whether a straight line meets a shape."""
    return bool(_shape(rings).intersects(LineString([start, end])))


def spans(rings: Rings, *, through: Point, direction: Point) -> list[tuple[float, float]]:
    """Return where an endless line lies in a shape, as distances from a point along a unit direction.

    Args:
        rings: The shape.
        through: A point of the line, mm.
        direction: Unit vector.

    Returns:
        Pairs (in, out) in mm, ascending; negative behind the point. Empty where the line misses.
    """
    ends = [(through[0] + s * FAR_MM * direction[0], through[1] + s * FAR_MM * direction[1]) for s in (-1, 1)]
    cut = _shape(rings).intersection(LineString(ends))
    found = []
    for piece in getattr(cut, "geoms", [cut]):
        if piece.is_empty:
            continue
        along = [
            (x - through[0]) * direction[0] + (y - through[1]) * direction[1] for x, y in shapely.get_coordinates(piece)
        ]
        found.append((min(along), max(along)))
    return sorted(found)


def is_multi(rings: Rings) -> bool:
    """Say whether a shape falls into several pieces."""
    return isinstance(_shape(rings), MultiPolygon)


def _plain(pair: Sequence[float]) -> Point:
    return float(pair[0]), float(pair[1])

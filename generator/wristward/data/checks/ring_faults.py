"""The little plane geometry that checking outlines needs, in plain Python: points are (x, y) in mm."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from math import cos, hypot, radians, sin

Point = tuple[float, float]
_SECTOR_DEG = 3


def ring_area(ring: Sequence[Point]) -> float:
    """Return the area inside a closed ring: positive where it runs anticlockwise, mm²."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in _edges(ring)) / 2


def ring_centroid(ring: Sequence[Point]) -> Point:
    """Return the area centroid of a ring whose area is not 0, mm."""
    area = ring_area(ring)
    x = sum((a[0] + b[0]) * (a[0] * b[1] - b[0] * a[1]) for a, b in _edges(ring))
    y = sum((a[1] + b[1]) * (a[0] * b[1] - b[0] * a[1]) for a, b in _edges(ring))
    return x / (6 * area), y / (6 * area)


def crossing(ring: Sequence[Point]) -> Point | None:
    """Return a point where a closed ring touches or crosses itself, or None."""
    edges = list(_edges(ring))
    count = len(edges)
    for i, (a, b) in enumerate(edges):
        if a == b:
            return a
        for j in range(i + 1, count):
            c, d = edges[j]
            neighbours = j == i + 1 or (i == 0 and j == count - 1)
            if neighbours:
                shared, end, other = (b, a, d) if j == i + 1 else (a, b, c)
                if _turn(shared, end, other) == 0 and _dot(shared, end, other) > 0:
                    return shared  # the ring turns back on itself
            elif (met := _meeting(a, b, c, d)) is not None:
                return met
    return None


def holds(ring: Sequence[Point], point: Point) -> bool:
    """Say whether a ring surrounds a point."""
    x, y = point
    inside = False
    for (ax, ay), (bx, by) in _edges(ring):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            inside = not inside
    return inside


def anticlockwise(ring: Sequence[Point]) -> tuple[Point, ...]:
    """Return the ring anticlockwise and without a repeated last point."""
    points = tuple(ring[:-1]) if len(ring) > 1 and ring[0] == ring[-1] else tuple(ring)
    return points if ring_area(points) >= 0 else points[::-1]


def reach(ring: Sequence[Point], centre: Point, bearing_deg: float) -> float:
    """Return the farthest distance from a centre to the ring along a bearing, 0 where the ray meets nothing, mm."""
    direction = cos(radians(bearing_deg)), sin(radians(bearing_deg))
    found = 0.0
    for a, b in _edges(ring):
        edge = b[0] - a[0], b[1] - a[1]
        start = a[0] - centre[0], a[1] - centre[1]
        across = direction[0] * edge[1] - direction[1] * edge[0]
        if across == 0:
            continue
        along = (start[0] * edge[1] - start[1] * edge[0]) / across
        share = (start[0] * direction[1] - start[1] * direction[0]) / across
        if -1e-9 <= share <= 1 + 1e-9:
            found = max(found, along)
    return found


def inset_area(ring: Sequence[Point], depths: Sequence[tuple[float, float]]) -> float:
    """Return the area left when a ring is drawn in toward its centroid by a depth that depends on the bearing.

    Args:
        ring: Outline, mm.
        depths: (bearing_deg, depth_mm) pairs; between them the depth is taken along straight lines.

    Returns:
        Area by sectors of 3 degrees, mm².
    """
    centre = ring_centroid(ring)
    table = sorted((bearing % 360, depth) for bearing, depth in depths)
    left = 0.0
    for bearing in range(0, 360, _SECTOR_DEG):
        radius = max(0.0, reach(ring, centre, bearing) - _depth_at(table, bearing))
        left += radius**2 * radians(_SECTOR_DEG) / 2
    return left


def _depth_at(table: list[tuple[float, float]], bearing: float) -> float:
    index = bisect_left(table, (bearing, 0.0))
    low = table[index - 1]
    high = table[index % len(table)]
    span = (high[0] - low[0]) % 360 or 360
    return low[1] + (high[1] - low[1]) * ((bearing - low[0]) % 360) / span


def _edges(ring: Sequence[Point]) -> Iterator[tuple[Point, Point]]:
    return zip(ring, (*ring[1:], *ring[:1]), strict=True)


def _turn(origin: Point, a: Point, b: Point) -> float:
    return (a[0] - origin[0]) * (b[1] - origin[1]) - (a[1] - origin[1]) * (b[0] - origin[0])


def _dot(origin: Point, a: Point, b: Point) -> float:
    return (a[0] - origin[0]) * (b[0] - origin[0]) + (a[1] - origin[1]) * (b[1] - origin[1])


def _meeting(a: Point, b: Point, c: Point, d: Point) -> Point | None:
    """Return where two segments meet, or None."""
    across = (b[0] - a[0]) * (d[1] - c[1]) - (b[1] - a[1]) * (d[0] - c[0])
    if across == 0:
        return next((point for point in (c, d) if _on(a, b, point)), a if _on(c, d, a) else None)
    t = ((c[0] - a[0]) * (d[1] - c[1]) - (c[1] - a[1]) * (d[0] - c[0])) / across
    u = ((c[0] - a[0]) * (b[1] - a[1]) - (c[1] - a[1]) * (b[0] - a[0])) / across
    return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) if 0 <= t <= 1 and 0 <= u <= 1 else None


def _on(a: Point, b: Point, point: Point) -> bool:
    """Say whether a point lies on a segment."""
    if _turn(a, b, point) != 0:
        return False
    return _dot(a, b, point) >= 0 and hypot(point[0] - a[0], point[1] - a[1]) <= hypot(b[0] - a[0], b[1] - a[1])

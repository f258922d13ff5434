"""Rings and polylines as arrays: the little plane geometry that resolving knots needs.

All points are mm in the section frame (+x ulnar, +y volar). Nothing here knows a structure's name.
"""

from __future__ import annotations

import numpy as np

from wristward.anatomy.arrays import Floats

BEARINGS = 144
"""Directions in which star-shaped outlines are sampled; 2.5 degrees apart."""

THETA = np.arange(BEARINGS) * (2 * np.pi / BEARINGS)
UNIT = np.stack([np.cos(THETA), np.sin(THETA)], axis=1)


def ring_centroid(ring_mm: Floats) -> Floats:
    """Return the area centroid of a closed ring, shape (n, 2) without the repeated point."""
    x, y = ring_mm[:, 0], ring_mm[:, 1]
    xn, yn = np.roll(x, -1), np.roll(y, -1)
    cross = x * yn - xn * y
    area = cross.sum() / 2
    centre: Floats = np.array([((x + xn) * cross).sum(), ((y + yn) * cross).sum()]) / (6 * area)
    return centre


def ring_area(ring_mm: Floats) -> float:
    """Return the unsigned area of a closed ring, mm²."""
    x, y = ring_mm[:, 0], ring_mm[:, 1]
    return float(abs((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) / 2)


def smooth_ring(ring_mm: Floats, *, passes: int = 3) -> Floats:
    """Round a hand-typed ring by corner cutting (Chaikin), keeping its area by a rescale about the centroid."""
    points = np.asarray(ring_mm, dtype=float)
    area, centre = ring_area(points), ring_centroid(points)
    for _ in range(passes):
        nxt = np.roll(points, -1, axis=0)
        points = np.stack([0.75 * points + 0.25 * nxt, 0.25 * points + 0.75 * nxt], axis=1).reshape(-1, 2)
    scaled: Floats = centre + (points - centre) * np.sqrt(area / ring_area(points))
    return scaled


def star_radii(ring_mm: Floats, centre_mm: Floats) -> Floats:
    """Return the distance from a centre to a ring along each bearing, shape (BEARINGS,).

    Where a ray meets the ring more than once the farthest meeting counts, so a slightly hollow outline
    is filled rather than refused.

    Raises:
        ValueError: If a ray meets no edge, that is, the centre lies outside the ring.
    """
    a = ring_mm - centre_mm
    b = np.roll(a, -1, axis=0)
    edge = b - a
    denominator = UNIT[:, :1] * edge[:, 1] - UNIT[:, 1:] * edge[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        reach = (a[:, 0] * edge[:, 1] - a[:, 1] * edge[:, 0]) / denominator
        along = (a[:, 0] * UNIT[:, 1:] - a[:, 1] * UNIT[:, :1]) / denominator
    meets = np.isfinite(reach) & (reach >= 0) & (along >= -1e-9) & (along <= 1 + 1e-9)
    radii: Floats = np.where(meets, reach, -1.0).max(axis=1)
    if np.any(radii < 0):
        raise ValueError("the outline does not surround its centre")
    return radii


def star_ring(centre_mm: Floats, radii_mm: Floats) -> Floats:
    """Return the ring that has these radii about a centre, shape (BEARINGS, 2), anticlockwise."""
    return centre_mm + UNIT * radii_mm[:, None]


def resample_line(points_mm: Floats, count: int) -> Floats:
    """Return ``count`` points evenly spaced along an open polyline; a single point is repeated."""
    points = np.asarray(points_mm, dtype=float).reshape(-1, 2)
    if len(points) == 1:
        return np.repeat(points, count, axis=0)
    steps = np.hypot(*np.diff(points, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    if along[-1] == 0:
        return np.repeat(points[:1], count, axis=0)
    wanted = np.linspace(0, along[-1], count)
    return np.stack([np.interp(wanted, along, points[:, k]) for k in (0, 1)], axis=1)


def curve_through(points_mm: Floats, count: int) -> Floats:
    """Return ``count`` points along a smooth open curve through the given points (Catmull–Rom).

    A belly laid along a bent polyline would show the bend as a corner of its outline.
    """
    points = np.asarray(points_mm, dtype=float).reshape(-1, 2)
    if len(points) < 3:
        return resample_line(points, count)
    padded = np.vstack([2 * points[0] - points[1], points, 2 * points[-1] - points[-2]])
    t = np.linspace(0, 1, 9)[:-1, None]
    pieces = []
    for p0, p1, p2, p3 in zip(padded, padded[1:], padded[2:], padded[3:], strict=False):
        pieces.append(
            0.5 * (2 * p1 + (p2 - p0) * t + (2 * p0 - 5 * p1 + 4 * p2 - p3) * t**2 + (3 * p1 - p0 - 3 * p2 + p3) * t**3)
        )
    return resample_line(np.vstack([*pieces, points[-1:]]), count)


def middle_line(ring_mm: Floats, count: int) -> Floats:
    """Return ``count`` points along the middle of a ring's longer way, so far from its ends as it is half thick.

    A belly grown about this line with the ring's area fills about the ring. The points lie midway between the ring's
    outermost meetings with lines across its long axis; a round ring gives its centroid ``count`` times.
    """
    ring = np.asarray(ring_mm, dtype=float)
    centre, area = ring_centroid(ring), ring_area(ring)
    even = _evenly(ring, 400) - centre
    x, y = even.T
    # The long axis of the points' moments, from the radial end to the ulnar one; upright, from the dorsal to the volar.
    angle = 0.5 * np.arctan2(2 * (x * y).sum(), (x * x - y * y).sum())
    long = np.array([np.cos(angle), np.sin(angle)])
    if long[0] < 1e-9 and long[1] < 0:
        long = -long
    across = np.array([-long[1], long[0]])
    t, u = x * long[0] + y * long[1], x * across[0] + y * across[1]
    # As thick as the band with rounded ends that is as long and as large: area = w (length - w) + pi w^2 / 4.
    length, rounding = t.max() - t.min(), 1 - np.pi / 4
    half_thick = (length - np.sqrt(max(length**2 - 4 * rounding * area, 0.0))) / (4 * rounding)
    low, high = t.min() + half_thick, t.max() - half_thick
    if high - low < 0.05 * length:
        return np.repeat(centre[None], count, axis=0)
    stations = np.linspace(low, high, count)
    near = [np.abs(t - station) <= length / 60 for station in stations]
    middles = np.array([(u[found].max() + u[found].min()) / 2 for found in near], dtype=float)
    line: Floats = centre + stations[:, None] * long + middles[:, None] * across
    return line


def _evenly(ring_mm: Floats, count: int) -> Floats:
    return resample_line(np.vstack([ring_mm, ring_mm[:1]]), count + 1)[:-1]


def ellipse_axes(*, area_mm2: float, width_to_height: float) -> tuple[float, float]:
    """Return the semi-axes (along the width, along the height) of an ellipse of this area, mm."""
    height = float(np.sqrt(area_mm2 / np.pi / width_to_height))
    return height * width_to_height, height

"""Plane geometry, against shapes whose answers are known."""

from __future__ import annotations

from math import cos, pi, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LinearRing, Point, Polygon

from wristward.data.checks.ring_faults import (
    anticlockwise,
    crossing,
    holds,
    inset_area,
    reach,
    ring_area,
    ring_centroid,
)

SQUARE = ((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0))
ELL = ((0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (1.0, 1.0), (1.0, 4.0), (0.0, 4.0))
GRID = st.integers(min_value=-6, max_value=6).map(float)
RINGS = st.lists(st.tuples(GRID, GRID), min_size=4, max_size=9)


def test_area_is_signed_by_direction_and_centroid_is_not():
    """Anticlockwise is positive; an L of 7 mm² has its centroid where arithmetic puts it."""
    assert (16.0, -16.0) == (ring_area(SQUARE), ring_area(SQUARE[::-1]))
    assert 7.0 == ring_area(ELL)
    # two boxes: 4 × 1 about (2, 0.5) and 1 × 3 about (0.5, 2.5)
    assert ring_centroid(ELL) == pytest.approx(((4 * 2 + 3 * 0.5) / 7, (4 * 0.5 + 3 * 2.5) / 7))


def test_rings_come_out_anticlockwise_without_the_repeated_point():
    """Both directions and the closing point are accepted."""
    assert SQUARE == anticlockwise((*SQUARE, SQUARE[0]))
    assert 16.0 == ring_area(anticlockwise(SQUARE[::-1]))


@pytest.mark.parametrize(
    ("ring", "where"),
    [
        (SQUARE, None),
        (ELL, None),
        (((0, 0), (4, 4), (4, 0), (0, 4)), (2, 2)),
        (((0, 0), (4, 0), (4, 0), (4, 4)), (4, 0)),
        (((0, 0), (4, 0), (2, 0), (2, 4)), (4, 0)),
        (((0, 0), (4, 0), (4, 4), (2, 0), (0, 4)), (2, 0)),
    ],
    ids=["square", "ell", "bow tie", "repeated point", "spike", "touches its edge"],
)
def test_a_ring_that_touches_itself_is_found(ring, where):
    """Crossings, repeated points, spikes and touches are found where they are."""
    assert where == crossing(ring)


@given(RINGS)
def test_crossing_agrees_with_an_independent_library(ring):
    """A ring is free of crossings exactly where shapely calls it simple and none of its points repeats."""
    repeated = any(a == b for a, b in zip(ring, ring[1:] + ring[:1], strict=True))
    simple = not repeated and LinearRing(ring).is_simple and Polygon(ring).is_valid

    assert simple == (crossing(ring) is None)


@given(RINGS.filter(lambda ring: Polygon(ring).is_valid), GRID, GRID)
def test_holding_agrees_with_an_independent_library(ring, x, y):
    """A ring holds the points inside it, as shapely sees them, off its edge."""
    point = (x + 0.31, y + 0.17)
    if Polygon(ring).exterior.distance(Point(point)) > 1e-9:
        assert Polygon(ring).contains(Point(point)) == holds(ring, point)


def test_reach_is_the_farthest_meeting_along_a_bearing():
    """From the middle of a square: half a side across, half a diagonal at 45 degrees; past an L, nothing."""
    assert [2.0, 8**0.5, 2.0] == pytest.approx([reach(SQUARE, (2, 2), bearing) for bearing in (0, 45, 270)])
    assert 0.0 == reach(SQUARE, (9, 9), 45)


def test_inset_area_of_a_circle_is_that_of_the_smaller_circle():
    """A circle of 20 mm drawn in by 5 leaves one of 15; by 4 to 6 about, nearly the same; by 25, nothing."""
    circle = [(20 * cos(radians(t)), 20 * sin(radians(t))) for t in range(0, 360, 2)]

    assert inset_area(circle, [(0, 5), (180, 5), (90, 5)]) == pytest.approx(pi * 15**2, rel=1e-3)
    # depth from 4 to 6 and back along straight lines: mean of (20 - d)² is 15² + 1/3
    assert inset_area(circle, [(0, 4), (180, 6)]) == pytest.approx(pi * (15**2 + 1 / 3), rel=1e-3)
    assert 0.0 == inset_area(circle, [(0, 25), (90, 25), (200, 25)])

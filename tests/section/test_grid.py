"""Distances on the raster and from single places, against shapely and against the plain formula."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from wristward.anatomy.curves import BEARINGS, THETA
from wristward.anatomy.plan import Sheet
from wristward.section.grid import FEW_SUMS, Raster, line_distance, overlap
from wristward.section.star import Stars
from wristward.section.surfaces import Sheets

COORDINATE = st.floats(-60, 60, allow_nan=False).map(lambda value: round(value, 3))
PLACES = st.tuples(COORDINATE, COORDINATE)
RADII = st.lists(st.floats(5, 30), min_size=BEARINGS, max_size=BEARINGS)


@settings(deadline=None)
@given(line=st.lists(PLACES, min_size=2, max_size=9), points=st.lists(PLACES, min_size=1, max_size=9))
def test_distance_to_a_line_is_shapely_s(line, points):
    """Few places or many, also where a segment has no length, the distance to a polyline is the one shapely gives."""
    x, y = np.array(points).T
    wide = np.resize(x, FEW_SUMS // len(line) + len(x))
    expected = shapely.distance([[Point(a, b) for a in x] for b in y], LineString(line))

    assert pytest.approx(expected, abs=1e-5) == line_distance(x, y, np.array(line))
    assert pytest.approx(expected, abs=1e-5) == line_distance(wide, y, np.array(line))[:, : len(x)]


@settings(deadline=None)
@given(lines=st.lists(st.lists(PLACES, min_size=2, max_size=9), min_size=1, max_size=4), place=PLACES)
def test_distance_to_each_of_several_sheets_is_shapely_s(lines, place):
    """Sheets of several lengths are asked about at once, and each answers as shapely does, less half its thickness."""
    sheets = [Sheet(id="sheet", line_mm=np.array(line), thickness_mm=0.7) for line in lines]
    expected = shapely.distance(Point(place), [LineString(line) for line in lines]) - 0.35

    places = np.array([place] * len(lines))
    assert pytest.approx(expected, abs=1e-5) == Sheets(sheets)(places, np.arange(len(lines)))


@settings(deadline=None)
@given(radii=st.lists(RADII, min_size=1, max_size=3), places=st.lists(PLACES, min_size=1, max_size=9))
def test_a_star_is_read_as_interpolation_reads_it(radii, places):
    """At any bearing a star's radius is numpy's periodic interpolation, and none depends on what else is asked."""
    stars, row = Stars(np.array(radii)), np.arange(len(places)) % len(radii)
    bearing = np.array([np.arctan2(y, x) % (2 * np.pi) for x, y in places])
    expected = [np.interp(b, THETA, radii[k], period=2 * np.pi) for b, k in zip(bearing, row, strict=True)]

    found = stars.radius(bearing, row)
    alone = [float(Stars(np.array(radii[k : k + 1])).radius(b[None])[0]) for b, k in zip(bearing, row, strict=True)]

    assert pytest.approx(expected, abs=1e-9) == found
    assert alone == found.tolist()


def test_distance_outside_a_round_star_is_the_way_beyond_its_radius():
    """Of a circle the distance is exact everywhere, inside and out."""
    circle = Stars(np.full((1, BEARINGS), 10.0))

    assert [-10.0, -3.0, 0.0, 5.0] == circle.distance(
        np.array([0.0, 7.0, 0.0, 9.0]), np.array([0.0, 0.0, -10.0, 12.0])
    ).tolist()


@settings(deadline=None)
@given(low=PLACES, size=st.tuples(st.floats(0, 50), st.floats(0, 50)))
def test_a_box_holds_every_crossing_of_its_rectangle(low, size):
    """Of the raster no row or column inside the rectangle is left out."""
    raster = Raster(np.arange(-20, 20, 0.6), np.arange(-15, 22, 0.6))
    high = (low[0] + size[0], low[1] + size[1])

    rows, columns = raster.box(np.array(low), np.array(high))

    for side, axis, a, b in ((columns, raster.x_mm, low[0], high[0]), (rows, raster.y_mm, low[1], high[1])):
        inside = np.flatnonzero((axis >= a) & (axis <= b)).tolist()
        assert set(inside) <= set(range(side.start, side.stop))


def test_overlap_is_told_in_both_boxes():
    """What two boxes share is cut out of fields of each alike; boxes apart share nothing."""
    field = np.arange(100).reshape(10, 10)
    one, other, apart = (slice(2, 6), slice(1, 9)), (slice(4, 10), slice(0, 5)), (slice(8, 10), slice(0, 3))
    mine, its = overlap(one, other)

    assert field[4:6, 1:5].tolist() == field[one][mine].tolist() == field[other][its].tolist()
    assert 0 == field[one][overlap(one, apart)[0]].size == field[apart][overlap(one, apart)[1]].size

"""Distances on the raster, against shapely."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from wristward.section.grid import FEW_POINTS, line_distance

COORDINATE = st.floats(-60, 60, allow_nan=False).map(lambda value: round(value, 3))
PLACES = st.tuples(COORDINATE, COORDINATE)


@given(line=st.lists(PLACES, min_size=2, max_size=9), points=st.lists(PLACES, min_size=1, max_size=9))
def test_distance_to_a_line_is_shapely_s(line, points):
    """Few points or many, also where a segment has no length, the distance to a polyline is the one shapely gives."""
    expected = shapely.distance([Point(one) for one in points], LineString(line))
    many = np.resize(np.array(points), (FEW_POINTS + len(points), 2))

    few_mm, many_mm = line_distance(np.array(points), np.array(line)), line_distance(many, np.array(line))

    assert pytest.approx(expected, abs=1e-5) == few_mm
    assert pytest.approx(np.resize(expected, len(many)), abs=1e-5) == many_mm

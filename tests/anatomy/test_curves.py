"""Plane geometry for knots, against shapely."""

from __future__ import annotations

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon

from wristward.anatomy import curves

BEAN = np.array([[10, 0], [8, 6], [0, 8], [-9, 5], [-11, -2], [-4, -7], [6, -6]], dtype=float)


def test_area_and_centroid_are_shapelys():
    """Area and centroid of a ring agree with an independent library."""
    polygon = Polygon(BEAN)

    assert curves.ring_area(BEAN) == pytest.approx(polygon.area)
    np.testing.assert_allclose(curves.ring_centroid(BEAN), polygon.centroid.coords[0])


def test_smoothing_keeps_the_area():
    """A smoothed ring has the area of the typed one and more points."""
    smooth = curves.smooth_ring(BEAN)

    assert Polygon(smooth).area == pytest.approx(Polygon(BEAN).area)
    assert len(smooth) == 8 * len(BEAN)


def test_star_radii_reach_the_ring():
    """A star ring rebuilt from its radii covers the ring it came from."""
    centre = curves.ring_centroid(BEAN)
    rebuilt = Polygon(curves.star_ring(centre, curves.star_radii(BEAN, centre)))

    assert rebuilt.symmetric_difference(Polygon(BEAN)).area < 0.01 * Polygon(BEAN).area


def test_a_centre_outside_is_refused():
    """Radii about a point outside the ring are an error."""
    with pytest.raises(ValueError) as caught:
        curves.star_radii(BEAN, np.array([40.0, 0.0]))

    assert "the outline does not surround its centre" == str(caught.value)


def test_resampling_is_even():
    """Points are evenly spaced along the line and keep its ends."""
    line = curves.resample_line(np.array([[0, 0], [3, 0], [3, 4]]), 8)

    np.testing.assert_allclose(np.hypot(*np.diff(line, axis=0).T), 1.0, atol=0.35)
    np.testing.assert_allclose(line[[0, -1]], [[0, 0], [3, 4]])
    assert LineString(line).length <= 7.0


def test_one_point_is_repeated():
    """A spine of one point stays one point."""
    np.testing.assert_array_equal(curves.curve_through(np.array([[2, 3]]), 5), np.full((5, 2), [2.0, 3.0]))


def test_an_ellipse_has_its_area_and_shape():
    """Semi-axes give the area and the ratio asked for."""
    width, height = curves.ellipse_axes(area_mm2=9.3, width_to_height=2.4)

    assert np.pi * width * height == pytest.approx(9.3)
    assert width / height == pytest.approx(2.4)


@pytest.mark.parametrize("angle_deg", [0, 35, 90, 150, 250])
@pytest.mark.parametrize("length", [6.0, 14.0, 30.0])
def test_middle_line_of_a_band_is_its_line(angle_deg, length):
    """The middle line of a band with rounded ends is the line it was made from, within 0.3 mm."""
    angle = np.radians(angle_deg)
    way = np.array([np.cos(angle), np.sin(angle)])
    ends = np.array([[3.0, -2.0] - way * length / 2, [3.0, -2.0] + way * length / 2])
    ring = np.array(LineString(ends).buffer(3).exterior.coords)[:-1]
    line = curves.middle_line(ring, 9)
    if np.linalg.norm(line[0] - ends[0]) > np.linalg.norm(line[0] - ends[1]):
        line = line[::-1]

    np.testing.assert_allclose(line, np.linspace(*ends, 9), atol=0.3)


def test_middle_line_follows_a_bend():
    """The middle line of a bent band stays in its middle third."""
    bow = [(x, 0.02 * x * x) for x in np.linspace(-14, 14, 30)]
    band = LineString(bow).buffer(3)
    line = curves.middle_line(np.array(band.exterior.coords)[:-1], 9)

    assert LineString(line).within(LineString(bow).buffer(1))
    assert np.all(np.diff(line[:, 0]) > 0)


def test_a_round_ring_has_a_point_for_a_line():
    """The middle line of a circle is its centre."""
    ring = 5 * np.array([(np.cos(t), np.sin(t)) for t in np.linspace(0, 2 * np.pi, 60, endpoint=False)])

    assert np.abs(curves.middle_line(ring, 5)).max() < 0.01

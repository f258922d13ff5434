"""Values continuous in z."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy.interpolate import PchipInterpolator

from wristward.anatomy.track import Track, smoothstep


def test_knots_are_met_in_any_order():
    """A track passes through its knots however they are listed."""
    track = Track([50, 10, 30], [5.0, 1.0, 4.0])

    actual = [track.scalar(z) for z in (10, 30, 50)]

    assert [1.0, 4.0, 5.0] == actual


def test_beyond_the_knots_the_value_stays():
    """Outside its knots a track is constant."""
    track = Track([10, 30], [1.0, 4.0])

    assert (1.0, 4.0) == (track.scalar(-100), track.scalar(500))


def test_one_knot_is_a_constant():
    """A single knot holds everywhere."""
    np.testing.assert_array_equal(Track([10], [[2.0, 3.0]]).at(77), [2.0, 3.0])


@pytest.mark.parametrize(("z", "values", "text"), [([], [], "at least one knot"), ([5, 5], [1, 2], "share a height")])
def test_unusable_knots_are_refused(z, values, text):
    """No knots, or two at one height, are an error in words."""
    with pytest.raises(ValueError) as caught:
        Track(z, values)

    assert text in str(caught.value)


@given(st.lists(st.floats(1, 500), min_size=2, max_size=6), st.floats(0, 100))
def test_nothing_overshoots(values, z):
    """Between two knots the value stays between theirs: an area never dips below zero."""
    heights = np.linspace(0, 100, len(values))
    actual = Track(heights, values).scalar(z)
    k = min(int(np.searchsorted(heights, z, side="right")) - 1, len(values) - 2)

    assert min(values[k], values[k + 1]) - 1e-9 <= actual <= max(values[k], values[k + 1]) + 1e-9


NUMBERS = st.floats(-1e3, 1e3) | st.sampled_from([0.0, 1.0, 1e-300])


@given(st.data(), st.lists(st.floats(-50, 300), min_size=2, max_size=7, unique=True))
def test_pieces_are_those_of_scipy(data, heights):
    """Between its knots and at them, a track has to the last bit the values of scipy's monotone pieces."""
    heights = sorted({round(z, 3) for z in heights})
    assume(len(heights) > 1)
    values = data.draw(arrays(float, (len(heights), 3), elements=NUMBERS))
    asked = [*heights, *data.draw(st.lists(st.floats(heights[0], heights[-1]), max_size=5))]
    theirs = PchipInterpolator(np.array(heights), values, axis=0)
    track = Track(heights, values)

    assert [theirs(z).tolist() for z in asked] == [track.at(z).tolist() for z in asked]


def test_smoothstep_rises_between_its_ends():
    """0 before, 1 after, a half in the middle."""
    assert [0.0, 0.5, 1.0] == [smoothstep(-1), smoothstep(0.5), smoothstep(3)]

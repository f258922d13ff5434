"""Areas to weights."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import check_grad

from wristward.section import weights


def _line(*centres):
    """Return costs of bellies on a line of 400 cells of 0.1 mm²."""
    x = np.linspace(-20, 20, 400)
    return np.abs(x[None, :] - np.array(centres, dtype=float)[:, None])


def _solve(cost, target, elastic):
    target = np.array(target, dtype=float)
    natural = weights.natural_reach(target, np.zeros(len(target)))
    return weights.solve_weights(
        cost_mm=cost,
        share_mm2=np.full(cost.shape[1], 0.1),
        target_mm2=target,
        extra_mm2=np.zeros(len(target)),
        natural_mm=natural,
        radius_mm=natural,
        elastic=np.array(elastic),
        start_mm=natural,
    )


def test_natural_reach_gives_the_strip_its_area():
    """A strip about a spine of length L with reach w covers πw² + 2Lw."""
    expected = 50.0
    reach = weights.natural_reach(np.array([expected]), np.array([7.0]))[0]

    actual = np.pi * reach**2 + 2 * 7.0 * reach

    assert actual == pytest.approx(expected)


def test_loose_bellies_share_the_space_by_area():
    """Two bellies with room to spare get areas in their ratio, and the elastic target is what they get."""
    cost = _line(-8, 8)
    solved = _solve(cost, [6.0, 3.0], [True, True])

    gain = (solved.weight_mm[:, None] - cost) / weights.TEMPERATURE_MM
    part = np.exp(gain) / (np.exp(gain).sum(axis=0) + 1)
    actual = (part * 0.1).sum(axis=1)

    # Half of the last kept digit of a reach moves either end by as much, and the elastic target by a little.
    np.testing.assert_allclose(solved.elastic_mm2, actual, atol=1.2 * 10**-weights.DIGITS)


def test_squeezed_bellies_give():
    """Bellies that together want more than there is each give some, and a tendon among them gives least."""
    solved = _solve(_line(-10, 0, 10), [20.0, 20.0, 20.0], [True, False, True])

    given = 1 - solved.elastic_mm2 / 20.0

    assert given[1] < given[0]
    assert given[1] < given[2]
    assert float(solved.elastic_mm2.sum()) < 40.5


def test_the_gradient_is_that_of_the_objective():
    """The analytic gradient agrees with finite differences."""
    cost = _line(-6, 5)
    fixed = (
        cost,
        np.full(cost.shape[1], 0.1),
        np.array([8.0, 9.0]),
        np.array([0.4, 0.2]),
        np.array([1.5, 1.7]),
        np.array([1.4, 1.6]),
        np.array([0.3, 0.02]),
    )

    error = check_grad(
        lambda w: weights._objective(w, *fixed)[0], lambda w: weights._objective(w, *fixed)[1], np.array([2.0, 3.0])
    )

    assert error < 1e-4


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.lists(st.floats(2, 7), min_size=2, max_size=5))
def test_the_start_does_not_matter(areas):
    """The same weights come out of any start: the function is convex."""
    cost = _line(*np.linspace(-15, 15, len(areas)))
    target = np.array(areas)
    natural = weights.natural_reach(target, np.zeros(len(areas)))
    given_ = {
        "cost_mm": cost,
        "share_mm2": np.full(cost.shape[1], 0.1),
        "target_mm2": target,
        "extra_mm2": np.zeros(len(areas)),
        "natural_mm": natural,
        "radius_mm": natural,
        "elastic": np.ones(len(areas), dtype=bool),
    }

    one = weights.solve_weights(**given_, start_mm=natural)
    other = weights.solve_weights(**given_, start_mm=natural + np.linspace(-2, 3, len(areas)))

    np.testing.assert_allclose(one.weight_mm, other.weight_mm, atol=1e-3)

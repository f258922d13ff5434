"""Areas to weights."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import check_grad

from wristward.section import weights
from wristward.section.bellies import natural_reach
from wristward.section.costs import CUT_MM, Beyond, laid_out
from wristward.section.live import TEMPERATURE_MM, Live

CELLS = 400
SHARE_MM2 = 0.1


def _line(*centres):
    """Return costs of bellies on a line of 400 cells of 0.1 mm²."""
    x = np.linspace(-20, 20, CELLS)
    return np.abs(x[None, :] - np.array(centres, dtype=float)[:, None])


def _costs(cost, windows=None):
    """Return the costs of bellies that look at the whole line, or each at its own stretch of it."""
    windows = windows or [slice(0, cost.shape[1])] * len(cost)
    flat = np.concatenate([row[window] for row, window in zip(cost, windows, strict=True)])
    boxes = [(slice(0, 1), window) for window in windows]
    return laid_out(boxes, flat, np.zeros(len(flat), dtype=bool), (1, cost.shape[1]))


def _wanted(target, elastic):
    target = np.array(target, dtype=float)
    natural = natural_reach(target, np.zeros(len(target)))
    return weights.Wanted(
        target_mm2=target,
        extra_mm2=np.zeros(len(target)),
        natural_mm=natural,
        radius_mm=natural,
        elastic=np.array(elastic),
    )


def _solve(costs, target, elastic, start=0.0):
    wanted = _wanted(target, elastic)
    share = np.full((1, CELLS), SHARE_MM2)
    return weights.Weighing(share).solve(costs, wanted, start_mm=wanted.natural_mm + start)


def dense(weight, cost, wanted):
    """Return value, gradient and curvature of the convex function, every belly asked at every cell."""
    gain = (weight[:, None] - cost) / TEMPERATURE_MM
    top = np.maximum(gain.max(axis=0), 0.0)
    part = np.exp(gain - top)
    total = part.sum(axis=0) + np.exp(-top)
    part /= total
    area = (part * SHARE_MM2).sum(axis=1)
    give, give_slope, give_sum = wanted.give(weight)
    target, radius, extra = wanted.target_mm2, wanted.radius_mm, wanted.extra_mm2
    value = TEMPERATURE_MM * ((top + np.log(total)) * SHARE_MM2).sum()
    value += (target * radius * give_sum).sum() - ((target + extra) * weight).sum()
    curvature = (np.diag(area) - (part * SHARE_MM2) @ part.T) / TEMPERATURE_MM
    return value, area - target * (1 - give) - extra, curvature + np.diag(target * give_slope / radius + 1e-9)


def test_natural_reach_gives_the_strip_its_area():
    """A strip about a spine of length L with reach w covers πw² + 2Lw."""
    expected = 50.0
    reach = natural_reach(np.array([expected]), np.array([7.0]))[0]

    actual = np.pi * reach**2 + 2 * 7.0 * reach

    assert actual == pytest.approx(expected)


def test_loose_bellies_share_the_space_by_area():
    """Two bellies with room to spare get areas in their ratio, and the elastic target is what they get."""
    cost = _line(-8, 8)
    solved = _solve(_costs(cost), [6.0, 3.0], [True, True])

    gain = (solved.weight_mm[:, None] - cost) / TEMPERATURE_MM
    part = np.exp(gain) / (np.exp(gain).sum(axis=0) + 1)
    actual = (part * SHARE_MM2).sum(axis=1)

    # Half of the last kept digit of a reach moves either end by as much, and the elastic target by a little.
    np.testing.assert_allclose(solved.elastic_mm2, actual, atol=1.2 * 10**-weights.DIGITS)


def test_squeezed_bellies_give():
    """Bellies that together want more than there is each give some, and a tendon among them gives least."""
    solved = _solve(_costs(_line(-10, 0, 10)), [20.0, 20.0, 20.0], [True, False, True])

    given = 1 - solved.elastic_mm2 / 20.0

    assert given[1] < given[0]
    assert given[1] < given[2]
    assert float(solved.elastic_mm2.sum()) < 40.5


def test_the_gradient_is_that_of_the_objective():
    """The analytic gradient agrees with finite differences."""
    cost, wanted = _line(-6, 5), _wanted([8.0, 9.0], [True, False])

    error = check_grad(lambda w: dense(w, cost, wanted)[0], lambda w: dense(w, cost, wanted)[1], np.array([2.0, 3.0]))

    assert error < 1e-4


@settings(max_examples=50, deadline=None, derandomize=True)
@given(
    centres=st.lists(st.floats(-18, 18), min_size=1, max_size=6),
    moves=st.lists(st.floats(-1, 1), min_size=6, max_size=6),
    slack=st.floats(1.0, 2.0),
)
def test_what_is_live_says_all(centres, moves, slack):
    """Value, gradient and curvature on the live pairs are those of every belly at every cell, anywhere within the slack."""
    cost = _line(*centres)
    count = len(centres)
    wanted = _wanted(np.linspace(3, 8, count), np.arange(count) % 2 == 0)
    weight = wanted.natural_mm + np.array(moves[:count])
    live = Live(_costs(cost), np.full((1, CELLS), SHARE_MM2), wanted.natural_mm, slack_mm=slack)

    point = weights._Point(live, wanted, weight)
    value, gradient, curvature = dense(weight, cost, wanted)

    assert pytest.approx(value, abs=1e-5) == point.value
    np.testing.assert_allclose(point.gradient, gradient, atol=1e-6)
    np.testing.assert_allclose(point.curvature(), curvature, atol=1e-5)


def test_a_belly_need_not_look_at_all_cells():
    """Looking no further than they reach, and a little, bellies get the very reaches that they get looking everywhere."""
    cost = _line(-9, 0, 11)
    target, elastic = [10.0, 14.0, 9.0], [True, True, False]
    everywhere = _solve(_costs(cost), target, elastic)
    reach = np.ceil((everywhere.weight_mm + CUT_MM + 2.0) * 10).astype(int)
    windows = [
        slice(max(int((c + 20) * 10) - r, 0), min(int((c + 20) * 10) + r, CELLS))
        for c, r in zip((-9, 0, 11), reach, strict=True)
    ]

    near = _solve(_costs(cost, windows), target, elastic)

    assert any(window.stop - window.start < CELLS for window in windows)
    assert everywhere.weight_mm.tolist() == near.weight_mm.tolist()


def test_a_belly_that_comes_to_the_edge_of_what_it_looks_at_is_named():
    """A belly is not solved on cells that it looked too short for: which one it is, is said."""
    windows = [slice(0, CELLS), slice(230, 290)]

    with pytest.raises(Beyond) as caught:
        _solve(_costs(_line(-8, 6), windows), [6.0, 12.0], [True, True])

    assert [False, True] == caught.value.bellies.tolist()


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.lists(st.floats(2, 7), min_size=2, max_size=5))
def test_the_start_does_not_matter(areas):
    """The same weights come out of any start: the function is convex."""
    costs, elastic = _costs(_line(*np.linspace(-15, 15, len(areas)))), [True] * len(areas)

    one = _solve(costs, areas, elastic)
    other = _solve(costs, areas, elastic, start=np.linspace(-2, 3, len(areas)))

    np.testing.assert_allclose(one.weight_mm, other.weight_mm, atol=1e-3)


def test_costs_that_change_a_little_are_weighed_on_the_same_pairs():
    """Weighed again with other costs, on the pairs known already, the reaches are those of weighing them afresh."""
    before, after = _line(-8, 0, 9), _line(-8, 0, 9)
    after[1] -= 0.3 * np.exp(-(np.linspace(-20, 20, CELLS) ** 2) / 8)
    wanted = _wanted([9.0, 12.0, 8.0], [True, True, True])
    share = np.full((1, CELLS), SHARE_MM2)
    weighing = weights.Weighing(share)
    first = weighing.solve(_costs(before), wanted, start_mm=wanted.natural_mm)

    again = weighing.solve(_costs(after), wanted, start_mm=first.weight_mm)
    afresh = weights.Weighing(share).solve(_costs(after), wanted, start_mm=first.weight_mm)

    assert first.weight_mm.tolist() != again.weight_mm.tolist()
    assert afresh.weight_mm.tolist() == again.weight_mm.tolist()

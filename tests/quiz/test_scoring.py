"""Marks for taps, orders, ranges, levels and several right answers."""

from __future__ import annotations

from itertools import permutations
from math import factorial

import pytest
from scipy.stats import kendalltau

from tests.quiz import scoring


@pytest.mark.parametrize(
    ("distance_mm", "inside_other", "expected"),
    [(0.0, False, 1.0), (-0.5, False, 1.0), (1.5, False, 0.5), (3.0, False, 0.0), (9.0, False, 0.0), (0.2, True, 0.0)],
)
def test_tap(distance_mm, inside_other, expected):
    """A tap earns 1 inside, a falling share within 3 mm of it in free tissue, and 0 in another structure."""
    actual = scoring.score_tap(distance_mm=distance_mm, inside_other=inside_other)

    assert expected == pytest.approx(actual)


@pytest.mark.parametrize("count", [4, 5, 6])
def test_order_is_kendalls_tau(count):
    """Every order of four to six events earns scipy's tau, never below 0."""
    answers = list(permutations(range(count)))
    expected = [max(0.0, kendalltau(range(count), answer).statistic) for answer in answers]

    assert factorial(count) == len(answers)
    assert expected == pytest.approx([scoring.score_order(answer) for answer in answers], abs=1e-12)


@pytest.mark.parametrize(
    ("value", "expected"), [(40, 1.0), (60, 1.0), (50, 1.0), (61, 0.5), (70, 0.5), (30, 0.5), (71, 0.0), (29.9, 0.0)]
)
def test_range(value, expected):
    """A value earns 1 in the range, a half within half its width beyond, else 0."""
    assert expected == scoring.score_range(value=value, low=40, high=60)


def test_credit_is_read_between_levels():
    """A level between two stored ones earns what lies between theirs, and beyond the ends what the end earns."""
    credit = (0, 50, 100)
    actual = [scoring.score_credit(value_mm=z, credit=credit) for z in (-3, 0, 2.5, 5, 9, 10, 400)]

    assert [0, 0, 0.25, 0.5, 0.9, 1.0, 1.0] == pytest.approx(actual)


def test_many():
    """Half of the options judged rightly earns nothing, all of them everything."""
    right = (True, False, False, True)
    actual = [scoring.score_many(chosen=c, right=right) for c in (right, (True,) * 4, (True, False, False, False))]

    assert [1.0, 0.0, 0.5] == actual

"""The generator of whole numbers; ``vectors.json`` is shared with the browser's test."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest

from wristward.quiz.random import Random

VECTORS = json.loads(Path(__file__).with_name("vectors.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("vector", VECTORS, ids=lambda vector: str(vector["seed"]))
def test_seed_gives_the_shared_numbers(vector):
    """A seed gives the numbers, choices and orders of the shared vectors."""
    chance = Random(vector["seed"])
    actual = {
        "words": [chance.word() for _ in range(5)],
        "below": [chance.below(n) for n in (1, 2, 3, 10, 1000, 2**31)],
        "shuffled": chance.shuffled(range(12)),
    }

    assert {key: vector[key] for key in actual} == actual


def test_numbers_below_are_spread_evenly():
    """Each of seven numbers comes up a seventh of the time, within four standard deviations."""
    chance = Random(3)
    counts = Counter(chance.below(7) for _ in range(70_000))

    assert [] == [value for value in range(7) if abs(counts[value] - 10_000) > 4 * (10_000 * 6 / 7) ** 0.5]


def test_no_number_below_zero_or_none():
    """A count without a number below it is refused in words."""
    with pytest.raises(ValueError) as raised:
        Random(1).below(0)

    assert "count is 0 (allowed: 1 to 2147483648)" == str(raised.value)

"""Wording of errors."""

from __future__ import annotations

import pytest

from wristward.errors import DataError, Problem, allowed, nearest, one_of, quoted, unknown


def test_problem_reads_as_editors_expect():
    """A problem is one line: file, line, column, text."""
    problem = Problem("levels/z130.yaml", 4, 9, "side is 'rigth'")

    assert "levels/z130.yaml:4:9: side is 'rigth'" == str(problem)


def test_data_error_sorts_and_says_each_problem_once():
    """Problems come by file, line and column as numbers, without repeats."""
    late, early = Problem("b", 2, 1, "x"), Problem("b", 1, 10, "x")
    other, column = Problem("a", 9, 9, "x"), Problem("b", 1, 9, "x")
    error = DataError([late, early, other, column, late])

    assert (other, column, early, late) == error.problems
    assert "a:9:9: x\nb:1:9: x\nb:1:10: x\nb:2:1: x" == str(error)


def test_data_error_needs_a_problem():
    """An error without a problem is a mistake of ours."""
    with pytest.raises(ValueError) as raised:
        DataError([])

    assert "a DataError needs at least one problem" == str(raised.value)


@pytest.mark.parametrize(
    ("name", "found"),
    [("rigth", "right"), ("RIGHT", "right"), ("aera_mm2", "area_mm2"), ("ulnar_nerve", None), ("", None)],
)
def test_nearest_offers_what_was_meant(name, found):
    """A slip of the finger finds its name, whatever the case; another name finds nothing."""
    assert found == nearest(name, ["left", "right", "area_mm2", "middle_nerve"])


def test_unknown_names_offer_the_nearest_and_the_allowed():
    """The allowed names are sorted; a long list is cut, and left out where a near name says enough."""
    many = [f"name_{n:02d}" for n in range(33)]

    keys = ["side", "level"]

    assert "unknown key 'levl'; did you mean 'level'? (allowed: level, side)" == unknown("key", "levl", keys)
    assert "unknown key 'q' (allowed: level, side)" == unknown("key", "q", keys)
    assert "unknown id 'name_1'; did you mean 'name_31'?" == unknown("id", "name_1", many)
    assert f"(allowed: {', '.join(many[:30])} and 3 more)" == allowed(many)
    assert "(allowed: none)" == allowed([])


def test_choices_and_values_read_as_the_author_wrote_them():
    """Choices are sorted in quotes; values keep their spelling."""
    assert ["", "'a'", "'a' or 'b'", "'a', 'b' or 'c'"] == [one_of(names) for names in ("", "a", "ba", "cab")]
    assert ["null", "true", "false", "-24", "2.5", "'no'", "a map", "a list"] == [
        quoted(value) for value in (None, True, False, -24, 2.5, "no", {}, [])
    ]
    assert f"'{'x' * 57}...'" == quoted("x" * 61)

"""Overlays."""

from __future__ import annotations

import pytest

from wristward.data.reading.overlay import merge
from wristward.data.reading.tree import Node, read_yaml

BASE = "a: {x: 1, y: 2}\nlist: [1, 2]\nrows:\n  - {id: p, v: 1}\n  - {id: q, v: 2, w: 5}\n"


def tree(text: str, file: str) -> Node:
    root, problems = read_yaml(text.encode(), file=file)
    assert [] == problems
    return root


@pytest.mark.parametrize(
    ("over", "expected"),
    [
        ("a: {y: 3, z: 4}", {"a": {"x": 1, "y": 3, "z": 4}}),
        ("a: {y: null}", {"a": {"x": 1}}),
        ("a: null", {"a": None}),
        ("a: 5", {"a": 5}),
        ("list: [3]", {"list": [3]}),
        ("b: {c: null, d: 1}", {"b": {"d": 1}}),
        ("rows: [{id: q, v: 3}]", {"rows": [{"id": "p", "v": 1}, {"id": "q", "v": 3, "w": 5}]}),
        ("rows: [{id: r, v: 9}]", {"rows": [{"id": "p", "v": 1}, {"id": "q", "v": 2, "w": 5}, {"id": "r", "v": 9}]}),
        ("rows: {p: null}", {"rows": [{"id": "q", "v": 2, "w": 5}]}),
        ("rows: {q: {v: 7}}", {"rows": [{"id": "p", "v": 1}, {"id": "q", "v": 7, "w": 5}]}),
        ("rows: {r: {v: 8}}", {"rows": [{"id": "p", "v": 1}, {"id": "q", "v": 2, "w": 5}, {"id": "r", "v": 8}]}),
    ],
)
def test_maps_merge_by_key_and_lists_by_id(over, expected):
    """Maps merge by key, lists of things with an id by it, null deletes, and all else is replaced."""
    base = tree(BASE, "base")
    merged, problems = merge(base, tree(over, "over"))
    wanted = {key: value for key, value in (base.plain() | expected).items() if value is not None}

    assert ([], wanted) == (problems, merged.plain())


def test_the_base_is_left_as_it_was():
    """Laying something over a tree does not change it."""
    base = tree(BASE, "base")
    merge(base, tree("a: {x: null}\nrows: {p: null, q: {v: 0}}", "over"))

    assert tree(BASE, "base") == base


def test_values_keep_their_place():
    """What the overlay says stands in the overlay, the rest in the base."""
    merged, _ = merge(tree(BASE, "base"), tree("\na: {y: 3}\nrows: {q: {v: 7}}", "over"))

    paths = (("a", "y"), ("a", "x"), ("rows", 1, "v"), ("rows", 0, "v"))

    assert ["over:2:8", "base:1:8", "over:3:15", "base:4:16"] == [
        "{}:{}:{}".format(*merged.at(path).mark) for path in paths
    ]


@pytest.mark.parametrize(
    ("over", "message"),
    [
        ("a: {xx: null}", "over:1:5: nothing to delete: 'xx' is not in base"),
        ("rowz: null", "over:1:1: nothing to delete: 'rowz' is not in base; did you mean 'rows'?"),
        ("rows: {s: null}", "over:1:8: nothing to delete: 's' is not in base"),
        ("rows: {p: 3}", "over:1:11: p is 3, must be a map or null"),
        ("rows: [{v: 3}]", "over:1:8: an entry needs an 'id', as the list it changes goes by it"),
    ],
)
def test_what_cannot_be_laid_over_is_named(over, message):
    """A deletion of nothing and an entry without id are errors in the overlay."""
    _, problems = merge(tree(BASE, "base"), tree(over, "over"))

    assert [message] == [str(problem) for problem in problems]

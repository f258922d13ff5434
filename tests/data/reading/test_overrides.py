"""What an overlay changes is listed at its place, and nothing else is."""

from __future__ import annotations

from pathlib import Path

import pytest

from wristward.data.read import read_dataset
from wristward.data.reading.overrides import overrides
from wristward.data.reading.tree import read_yaml

ROOT = Path(__file__).resolve().parents[3]
BASE = "a: {x: 1, y: 2}\nlist: [1, 2]\nrows:\n  - {id: p, v: 1}\n  - {id: q, v: 2, w: 5}\n"


def tree(text, file):
    root, problems = read_yaml(text.encode(), file=file)
    assert [] == problems
    return root


@pytest.mark.parametrize(
    ("over", "expected"),
    [
        ("a: {y: 3, x: 1}", ["over:1:8: a.y is 3 (was 2, base:1)"]),
        ("a: {y: 2}\nlist: [1, 2]", []),
        ("a: {z: x}", ["over:1:5: a.z is new"]),
        ("a: {y: null}", ["over:1:5: a.y is taken out (was at base:1)"]),
        ("list: [3]", ["over:1:7: list is another (was at base:2)"]),
        ("rows: [{id: q, v: 3}]", ["over:1:19: rows.q.v is 3 (was 2, base:5)"]),
        ("rows: [{id: r, v: 9}]", ["over:1:8: rows.r is new"]),
        ("rows: {p: null, q: {w: 6}}", ["over:1:8: rows.p is taken out (was at base:4)", "over:1:24: rows.q.w is 6 (was 5, base:5)"]),
    ],
)  # fmt: skip
def test_each_change_is_listed(over, expected):
    """Changed, new and deleted values are listed with both places; what is said again as it was is not."""

    assert expected == [str(one) for one in overrides(tree(BASE, "base"), tree(over, "over"))]


def test_a_data_set_knows_what_was_overridden(tmp_path):
    """Changes of several overlays are kept in their order, each against what lay below it; a new file counts once."""
    for name, files in {
        "first": {"levels/z100.yaml": "muscles: {flexor: {area_mm2: 230}}\n"},
        "second": {"levels/z100.yaml": "muscles: {flexor: {area_mm2: 240}}\n", "reader/en/own.yaml": "own: {x: y}\n"},
    }.items():
        for file, text in files.items():
            path = tmp_path / name / file
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, "utf-8")
    dataset = read_dataset(ROOT / "tests" / "data" / "small", [tmp_path / "first", tmp_path / "second"])

    assert [
        "first/levels/z100.yaml:1:30: muscles.flexor.area_mm2 is 230 (was 220, small/levels/z100.yaml:15)",
        "second/levels/z100.yaml:1:30: muscles.flexor.area_mm2 is 240 (was 230, first/levels/z100.yaml:1)",
        "second/reader/en/own.yaml:1:1: a file of its own",
    ] == [str(one) for one in dataset.overrides]

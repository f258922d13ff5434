"""What all records share."""

from __future__ import annotations

from typing import Annotated

import pytest
from pydantic import Field, ValidationError

from wristward.data.reading.faults import read_record
from wristward.data.reading.tree import read_yaml
from wristward.data.records.record import (
    Many,
    Pair,
    Record,
    Refers,
    StructureId,
    fault,
    key_references,
    references,
)


class Leaf(Record):
    """Names in every place a name can stand."""

    one: StructureId | None = None
    several: Many[StructureId] = ()
    pairs: Many[Many[StructureId]] = ()
    either: Annotated[str, Refers("structure", besides=("subcutaneous",))] | None = None
    source_key: Annotated[str, Refers("source")] | None = Field(default=None, alias="source-key")
    text: str | None = None


class Tree(Record):
    """Leaves in maps and lists."""

    leaves: dict[StructureId, Leaf] = {}
    rows: Many[Leaf] = ()
    plain: dict[str, Leaf] = {}


LEAF = {
    "one": "a",
    "several": ["b", "c"],
    "pairs": [["d"], ["e", "f"]],
    "either": "subcutaneous",
    "source-key": "s",
    "text": "no name",
}


def test_references_are_found_wherever_they_stand():
    """Each name comes with the path an author wrote it at; words that name nothing are passed over."""
    tree = Tree.model_validate({"rows": [LEAF], "plain": {"k": {"either": "g"}}})

    assert [
        (("rows", 0, "one"), "structure", "a"),
        (("rows", 0, "several", 0), "structure", "b"),
        (("rows", 0, "several", 1), "structure", "c"),
        (("rows", 0, "pairs", 0, 0), "structure", "d"),
        (("rows", 0, "pairs", 1, 0), "structure", "e"),
        (("rows", 0, "pairs", 1, 1), "structure", "f"),
        (("rows", 0, "source-key"), "source", "s"),
        (("plain", "k", "either"), "structure", "g"),
    ] == list(references(tree))


def test_keys_that_are_names_are_found():
    """A map whose keys are names yields them; a map with free keys yields none."""
    tree = Tree.model_validate({"leaves": {"a": {}, "b": {}}, "plain": {"k": {}}})

    assert [(("leaves", "a"), "structure", "a"), (("leaves", "b"), "structure", "b")] == list(key_references(tree))


def test_records_are_frozen_and_strict():
    """A record cannot be changed, and text is not taken for a number."""

    class Measured(Record):
        width_mm: float

    with pytest.raises(ValidationError):
        Measured.model_validate({"width_mm": 1}).width_mm = 2
    with pytest.raises(ValidationError):
        Measured.model_validate({"width_mm": "1"})


class Drawn(Record):
    """Something with a point and two bounds that must agree."""

    at: Pair
    low: int = 0
    high: int = 1
    label: Annotated[str, Field(min_length=1)] = "x"

    def model_post_init(self, context: object) -> None:
        """Hold the bounds to one another."""
        if self.low > self.high:
            raise fault("the bounds are crossed", key="high")


@pytest.mark.parametrize(
    ("text", "messages"),
    [
        ("at: [1, 2]", []),
        ("at: [1]", ["f:1:5: at must be a pair of numbers, [a, b]"]),
        ("at: [1, x]", ["f:1:9: an entry of at is 'x', must be a number"]),
        ("low: 1", ["f:1:1: 'at' is missing"]),
        ("att: [1, 2]", ["f:1:1: unknown key 'att'; did you mean 'at'? (allowed: at, high, label, low)"]),
        ("at: [1, 2]\nlow: 1.5", ["f:2:6: low is 1.5, must be a whole number"]),
        ("at: [1, 2]\nlow: 3\nhigh: 2", ["f:3:7: the bounds are crossed"]),
        ("at: [1, 2]\nlabel: ''", ["f:2:8: label is empty, must be text"]),
        ("- at", ["f:1:1: the file is a list, must be a map"]),
        (
            "atx: 1\nlow: x\nlabel: 2",
            [
                "f:1:1: unknown key 'atx'; did you mean 'at'? (allowed: at, high, label, low)",
                "f:2:6: low is 'x', must be a whole number",
                "f:3:8: label is 2, must be text (put it in quotes)",
            ],
        ),
    ],
)
def test_faults_are_told_in_our_words(text, messages):
    """Each fault of a map is one line with its place; a key that is the guess for another is not missing too."""
    root, _ = read_yaml(text.encode(), file="f")
    record, problems = read_record(Drawn, root)

    assert messages == [str(problem) for problem in problems]
    assert (record is None) == bool(messages)

"""YAML to trees with places."""

from __future__ import annotations

import re

import pytest
import yaml
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from wristward.data.reading import tree
from wristward.data.reading.tree import Mark, read_yaml

TOKENS = st.sampled_from(
    ["a", "b: ", "- ", "\n", "  ", "[", "]", "{", "}", ", ", ": ", "'", '"', "&x ", "*x", "!t ", "#", "|\n", ">", "?"]
    + ["~", "%YAML 1.1\n", "---\n", "...\n", "<<: "]
    + ["1", "0", ".5", "1e9", ".nan", "\\", "é", "@", "`", "\t", "-", "true"]
)
TEXTS = st.lists(TOKENS, max_size=25).map("".join) | st.text(max_size=40)


def plain(text: str) -> object:
    root, problems = read_yaml(text.encode(), file="f")
    assert [] == problems
    return root.plain()


def lines(text: str) -> list[str]:
    return [str(problem) for problem in read_yaml(text.encode(), file="f")[1]]


def test_scalars_are_those_of_yaml_1_2():
    """Only true and false are booleans; what YAML 1.1 would bend stays what it looks like."""
    text = "[no, on, yes, NO, true, False, null, ~, , 1e3, 1.10, -4, +5, .5, 7., '010', \"1:30\", 1.2.3, 9a, 2e]"

    assert [
        *("no", "on", "yes", "NO", True, False, None, None, None, 1000.0, 1.1, -4, 5, 0.5, 7.0, "010", "1:30"),
        *("1.2.3", "9a", "2e"),
    ] == plain(text.replace(", ,", ", ~,"))


def test_keys_are_text():
    """A key is the text it is written as, whatever it looks like."""
    assert {"on": 1, "195": 2, "true": 3, "1_0": 4} == plain("on: 1\n195: 2\ntrue: 3\n1_0: 4\n")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("a: -010", "f:1:4: -010 starts with a zero (write it without, or in quotes for text)"),
        ("a: 0o17", "f:1:4: 0o17 is not decimal (write it in decimal, or in quotes for text)"),
        ("a: [1, 1_0.5]", "f:1:8: 1_0.5 has a '_' in it (write the digits alone, or in quotes for text)"),
        ("a: 1:30:00", "f:1:4: 1:30:00 looks like a time (put it in quotes)"),
        ("a: -.inf", "f:1:4: -.inf is not a number to draw with (allowed: finite numbers)"),
        ("a: " + "9" * 5000, f"f:1:4: {'9' * 37}... has more than 18 digits (allowed: at most 18)"),
        ("'': 1", "f:1:1: a key is empty (allowed: text)"),
        ("a: ! x", "f:1:4: tag '!' is not allowed (allowed: plain values)"),
        ("{a: 1}: 2", "f:1:1: a key is a map (allowed: text)"),
        ("a: @b", "f:1:4: a character that cannot begin a value (put the text in quotes)"),
        ("a: - b", "f:1:4: a '-' where no list can stand"),
        ("[", "f:1:2: a value is missing here"),
    ],
)
def test_surprises_are_refused(text, message):
    """What another reader would take otherwise, or cannot read at all, is one line in our words."""
    assert [message] == lines(text)


def test_every_fault_of_a_file_is_reported():
    """Reading goes on after a fault, also up to the one that ends it."""
    assert [
        "f:1:4: 010 starts with a zero (write it without, or in quotes for text)",
        "f:2:1: duplicate key 'a' (first at line 1)",
        "f:3:4: anchor '&x' is not allowed (write the value out where it is used)",
        "f:4:1: this line's indentation fits no line above it",
    ] == lines("a: 010\na: 2\nb: &x 3\n- 4\n")


def test_places_of_keys_and_values():
    """Every value and key knows its line and column, counted from 1."""
    root, _ = read_yaml("é: {b: [10,\n  20]}\n".encode(), file="f")

    assert Mark("f", 2, 3) == root.at(("é", "b", 1)).mark
    assert Mark("f", 1, 5) == root.key_mark(("é", "b"))
    assert Mark("f", 1, 8) == root.at(("é", "b", 7, "c")).mark


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=60) | TEXTS.map(lambda text: text.encode("utf-8", "surrogatepass")))
@example(b"a: \xed\xa0\x80")
def test_any_bytes_give_a_tree_or_problems(data):
    """No input makes the reader fail otherwise than by problems; a tree without problems was all there was."""
    root, problems = read_yaml(data, file="f")

    assert (root is not None) or problems
    assert all(problem.line >= 1 and problem.col >= 1 and "\n" not in problem.text for problem in problems)


@settings(max_examples=300, deadline=None)
@given(TEXTS)
@example("[b: ]")
@example("- \n-")
def test_the_fast_parser_reads_as_pythons_own(text):
    """Both parsers give the same tree or problems, so machines without the fast one get the same data.

    One oddity is left out: the fast one takes a comment stuck to a block sign (">#"), Python's own refuses it.
    """
    assume(re.search(r"[|>][-+0-9]*#", text) is None)
    data = text.encode("utf-8", "surrogatepass")
    fast, kept = read_yaml(data, file="f"), tree._FAST
    try:
        tree._FAST = yaml.SafeLoader
        slow = read_yaml(data, file="f")
    finally:
        tree._FAST = kept

    assert (fast[0], fast[1]) == (slow[0], slow[1])

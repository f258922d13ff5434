"""Words for readers."""

from __future__ import annotations

import copy

import pytest

from wristward.data.reading.tree import read_yaml
from wristward.data.words.keys import read_words
from wristward.data.words.traced import AskedWords
from wristward.errors import DataError


def read(**texts: str):
    problems = []
    trees = {name: read_yaml(text.encode(), file=name)[0] for name, text in texts.items()}
    words, places = read_words(trees, problems)
    return words, places, [str(problem) for problem in problems]


def test_nested_and_dotted_keys_are_the_same():
    """Maps inside maps and keys with dots give the same flat catalogue, in the order of the files."""
    words, places, problems = read(one="a: {b: B, c: {d: D}}", two="a.e: E\nf: F")

    assert [("a.b", "B"), ("a.c.d", "D"), ("a.e", "E"), ("f", "F")] == list(words.items())
    assert ("one", 1, 15) == tuple(places["a.c.d"])
    assert [] == problems


def test_what_is_no_word_is_refused():
    """Repeated keys, also across files and spellings, and values that are no text are named."""
    words, _, problems = read(
        one="a: {b: B, n: 1, e: '', l: [x], t: true}", two="a.b: again\na c: x\nz: null", three="- x"
    )

    assert {"a.b": "B"} == words
    assert [
        "one:1:14: 'a.n' is 1, must be text (put it in quotes)",
        "one:1:20: 'a.e' is empty, must be text",
        "one:1:27: 'a.l' is a list, must be text",
        "one:1:35: 'a.t' is true, must be text (put it in quotes)",
        "two:1:1: 'a.b' is also said at one:1",
        "two:2:1: key 'a c' (allowed: letters, digits, '.', '_' and '-')",
        "two:3:4: 'z' is null, must be text",
        "three:1:1: the file is a list, must be a map",
    ] == problems


def test_a_word_that_is_asked_for_and_missing_is_told_beside_its_siblings():
    """The message names the key, and the place of the words beside which it should stand; ``get`` still may ask."""
    words = AskedWords(*read(one="x: X", two="a: {b: B, c: {d: D}}")[:2])
    told = []
    for key in ("a.c.e", "a.f", "q.r"):
        with pytest.raises(DataError) as refused:
            words[key]
        told.append(str(refused.value))

    text = "is missing, here or in another file of words (allowed: any text)"
    assert [f"two:1:15: 'a.c.e' {text}", f"two:1:5: 'a.f' {text}", f"one:1:1: 'q.r' {text}"] == told
    assert ("none", False) == (words.get("q.r", "none"), "q.r" in words)


@pytest.mark.parametrize("made", [lambda words: words, copy.deepcopy])
def test_a_word_that_asks_for_too_much_says_so(made):
    """What nobody fills in is told at the word, also by a copy; what is filled in is plain text."""
    words = made(AskedWords(*read(one="a: '{x} of {y}'\nb: '{0} {'")[:2]))
    told = []
    for key in ("a", "b"):
        with pytest.raises(DataError) as refused:
            words[key].format(x=1)
        told.append(str(refused.value))

    assert ["one:1:1: 'a' asks for '{y}', which is not filled in here (allowed: '{x}')"] == told[:1]
    assert ["one:2:1: 'b' cannot be filled in (allowed: '{x}')"] == told[1:]
    assert ("1 of 2", str) == (words["a"].format(x=1, y=2), type(words["a"].format(x=1, y=2)))

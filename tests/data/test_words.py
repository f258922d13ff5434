"""Words for readers."""

from __future__ import annotations

from generator.data.words import read_words
from generator.data.yaml_reader import read_yaml


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

"""Text of the data is text: nothing in it can become a tag, an attribute or an address that runs a script.

Words for readers are Markdown with ``{names}`` that are filled in; a name that nobody fills in is a mistake as well.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Set
from string import Formatter

from wristward.data.reading.tree import Mark, Node
from wristward.errors import Problem, one_of, quoted

LONGEST_NAME = 300
"""Letters of a name; the longest packaged one has 61."""

NAMES = ("name", "latin", "short", "title_short")
REFUSED = (
    (re.compile(r"<[A-Za-z/!?]"), "a tag (allowed: text without '<' before a letter)"),
    (re.compile(r"&#"), "a coded letter (allowed: the letter itself)"),
    (re.compile(r"\bon[a-z]+\s*=", re.I), "what would run as a script (allowed: text)"),
    (re.compile(r"(javascript|vbscript|data)\s*:", re.I), "an address that would run as a script (allowed: text)"),
)
FIELD = re.compile(r"[a-z][a-z0-9_]*")


def check_plain(root: Node, *, words: bool) -> list[Problem]:
    """Return a problem for each text of a file that could be more than text.

    Args:
        root: The file's tree.
        words: Whether it holds words for readers, in which ``{names}`` are filled in.
    """
    problems = []
    for key, text, mark in _texts(root):
        said = next((said for pattern, said in REFUSED if pattern.search(text)), None)
        if said is None and words:
            said = _wrong_field(text)
        elif said is None and re.search(r"[{}]", text):
            said = "a brace (allowed: text without '{' and '}')"
        if said is not None:
            problems.append(mark.problem(f"{quoted(text)} holds {said}"))
        elif key in NAMES and len(text) > LONGEST_NAME:
            problems.append(mark.problem(f"{key} has {len(text)} letters, must have at most {LONGEST_NAME}"))
    return problems


def check_fields(base: Node | None, over: Node) -> list[Problem]:
    """Return a problem for each word of an overlay that asks for a name which its word, or its siblings, do not have."""
    problems: list[Problem] = []
    beside = base.entries if base is not None else {}
    for key, entry in over.entries.items():
        below = beside.get(key)
        if isinstance(entry.value, dict):
            problems += check_fields(below, entry)
        elif isinstance(entry.value, str) and beside:
            known = [below] if below is not None else beside.values()
            allowed = {name for one in known if isinstance(one.value, str) for name in fields_of(one.value)}
            problems += unfilled(entry.mark, key, fields_of(entry.value), allowed)
    return problems


def unfilled(mark: Mark, key: str, asked: Set[str], filled: Set[str]) -> list[Problem]:
    """Return a problem for each name that the word of a key asks for and nobody fills in."""
    return [
        mark.problem(f"'{key}' asks for '{{{name}}}', which is not filled in here (allowed: {named_in_braces(filled)})")
        for name in sorted(asked - filled)
    ]


def named_in_braces(names: Iterable[str]) -> str:
    """Return names as a word writes them, "'{side}' or '{z}'", or "none"."""
    return one_of(f"{{{name}}}" for name in names) or "none"


def fields_of(text: str) -> set[str]:
    """Return the names in braces of a word; none where its braces are wrong."""
    try:
        return {name for _, name, _, _ in Formatter().parse(text) if name is not None}
    except ValueError:
        return set()


def _texts(node: Node, key: str = "") -> Iterator[tuple[str, str, Mark]]:
    """Yield the key, text and place of every text of a tree."""
    for inner, entry in node.entries.items():
        yield from _texts(entry, inner)
    for entry in node.items:
        yield from _texts(entry, key)
    if isinstance(node.value, str):
        yield key, node.value, node.mark


def _wrong_field(text: str) -> str | None:
    """Return what is wrong with the braces of a word, or None."""
    try:
        fields = list(Formatter().parse(text))
    except ValueError:
        return "a brace without its other half (allowed: '{name}')"
    for _, name, spec, conversion in fields:
        if name is not None and (not FIELD.fullmatch(name) or spec or conversion):
            return f"'{{{name}}}' (allowed: a name in braces, as '{{name}}')"
    return None

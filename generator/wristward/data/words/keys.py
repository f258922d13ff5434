"""The words readers see: nested maps of text, from as many files as there are topics, to dotted keys."""

from __future__ import annotations

import re
from collections.abc import Mapping

from wristward.data.reading.tree import Mark, Node
from wristward.errors import Problem, quoted

_KEY = re.compile(r"[A-Za-z0-9_.-]+")


def read_words(trees: Mapping[str, Node], problems: list[Problem]) -> tuple[dict[str, str], dict[str, Mark]]:
    """Return words by dotted key and the place of each, both in the order of file names and files.

    Faults (what is no text, no fit key, or said twice) are added to ``problems``.
    """
    words: dict[str, str] = {}
    places: dict[str, Mark] = {}
    for root in trees.values():
        if not isinstance(root.value, dict):
            problems.append(root.mark.problem(f"the file is {quoted(root.value)}, must be a map"))
            continue
        for path, dotted, entry in flat_words(root.value):
            mark = root.key_mark(path)
            if not _KEY.fullmatch(dotted):
                problems.append(mark.problem(f"key {quoted(dotted)} (allowed: letters, digits, '.', '_' and '-')"))
            elif not isinstance(entry, str):
                hint = " (put it in quotes)" if isinstance(entry, (int, float)) else ""
                problems.append(root.at(path).mark.problem(f"'{dotted}' is {quoted(entry)}, must be text{hint}"))
            elif entry == "":
                problems.append(root.at(path).mark.problem(f"'{dotted}' is empty, must be text"))
            elif dotted in places:
                first = places[dotted]
                problems.append(mark.problem(f"'{dotted}' is also said at {first.file}:{first.line}"))
            else:
                words[dotted], places[dotted] = entry, mark
    return words, places


def flat_words(value: Mapping[str, Node], before: str = "") -> list[tuple[tuple[str, ...], str, object]]:
    """Return (path, dotted key, value) of every entry of nested maps, in file order."""
    found: list[tuple[tuple[str, ...], str, object]] = []
    for key, node in value.items():
        dotted = f"{before}.{key}" if before else key
        if isinstance(node.value, dict):
            found += [((key, *path), name, inner) for path, name, inner in flat_words(node.value, dotted)]
        else:
            found.append(((key,), dotted, node.value))
    return found

"""What is wrong, where, and what would have been right: the wording every layer shares.

A problem is an author's mistake with a place. Nothing here prints, exits or knows a file format.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

ALLOWED_SHOWN = 30
"""Longer lists of allowed names are cut in messages; the nearest name is given separately."""

NEAR = 0.7
"""Likeness (difflib's ratio) from which a name is offered: "rigth" is 0.8 like "right"."""


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One mistake of an author. Lines and columns count from 1, as editors do."""

    file: str
    line: int
    col: int
    text: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.col}: {self.text}"


class DataError(Exception):
    """All problems found in one go, sorted by file, line and column, each once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        if not self.problems:
            raise ValueError("a DataError needs at least one problem")
        super().__init__("\n".join(str(problem) for problem in self.problems))


def quoted(value: object) -> str:
    """Return a value as an author wrote it: text in quotes, numbers and true/false/null bare, long text cut."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return f"{value:.12g}" if isinstance(value, float) else str(value)
    if isinstance(value, dict):
        return "a map"
    if isinstance(value, (list, tuple)):
        return "a list"
    text = str(value)
    return f"'{text}'" if len(text) <= 60 else f"'{text[:57]}...'"


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Return the known name most like the given one, or None where nothing is alike."""
    options = sorted(set(known))
    by_lower = {option.lower(): option for option in reversed(options)}
    found = get_close_matches(name.lower(), list(by_lower), n=1, cutoff=NEAR)
    return by_lower[found[0]] if found else None


def allowed(known: Iterable[str]) -> str:
    """Return "(allowed: a, b, c)", sorted; long lists are cut and counted."""
    options = sorted(set(known))
    if not options:
        return "(allowed: none)"
    shown = ", ".join(options[:ALLOWED_SHOWN])
    left = len(options) - ALLOWED_SHOWN
    return f"(allowed: {shown})" if left <= 0 else f"(allowed: {shown} and {left} more)"


def unknown(what: str, name: str, known: Iterable[str]) -> str:
    """Return "unknown key 'levl'; did you mean 'level'? (allowed: level, side)".

    With a near name among many, the long list of names is left out.
    """
    options = sorted(set(known))
    near = nearest(name, options)
    if near is None:
        return f"unknown {what} {quoted(name)} {allowed(options)}"
    if len(options) > ALLOWED_SHOWN:
        return f"unknown {what} {quoted(name)}; did you mean '{near}'?"
    return f"unknown {what} {quoted(name)}; did you mean '{near}'? {allowed(options)}"


def one_of(known: Iterable[str]) -> str:
    """Return "'a', 'b' or 'c'", sorted."""
    options = [f"'{option}'" for option in sorted(set(known))]
    if len(options) < 2:
        return "".join(options)
    return f"{', '.join(options[:-1])} or {options[-1]}"

"""Where each fence of a page stands in its file, so that a mistake inside is told with the editor's line and column.

Superfences hands over a fence's text alone, without its indent; the file is read again to find the place.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

OPENING = re.compile(r"^(?P<before>[ \t>]*)(?P<marks>`{3,}|~{3,})(?P<info>[^`]*)$")
INDENT = " \t>"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Line and column of a fence's first letter, counted from 1, and how far its lines are indented."""

    line: int
    col: int
    indent: int = 0


class FencePlaces:
    """The fences of some names in a page, in the order in which superfences comes to them."""

    def __init__(self, text: str, names: Iterable[str]) -> None:
        self._lines = text.splitlines()
        self._openings = _openings(self._lines, re.compile(rf"[{{\s.]*({'|'.join(map(re.escape, names))})\b"))
        self._next = 0
        self.count = len(self._openings)
        """How many fences of these names the file opens."""

    def of_opening(self) -> Place:
        """Return the place of the next fence's opening."""
        if self._next >= len(self._openings):
            return Place(line=1, col=1)
        at = self._openings[self._next]
        return Place(line=at + 1, col=_indent(self._lines[at]) + 1)

    def of_body(self, body: str) -> Place:
        """Return the place of the next fence with this body, and go on behind it."""
        wanted = [line.strip(INDENT) for line in body.split("\n")]
        for index in range(self._next, len(self._openings)):
            first = self._openings[index] + 1
            found = [line.strip(INDENT) for line in self._lines[first : first + len(wanted)]]
            if found == wanted or body.strip() == "":
                self._next = index + 1
                return Place(line=first + 1, col=1, indent=_lost(self._lines[first : first + len(wanted)], body))
        return Place(line=1, col=1)


def _openings(lines: list[str], named: re.Pattern[str]) -> list[int]:
    """Return the lines that open a fence of one of the names; what stands inside another fence is text."""
    found, closing = [], None
    for at, line in enumerate(lines):
        opening = OPENING.match(line)
        if closing is not None:
            if closing.fullmatch(line.strip(INDENT)):
                closing = None
        elif opening is not None:
            closing = re.compile(rf"{re.escape(opening['marks'])}{re.escape(opening['marks'][0])}*")
            if named.match(opening["info"]):
                found.append(at)
    return found


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(INDENT))


def _lost(lines: list[str], body: str) -> int:
    """Return by how much superfences shortened the lines."""
    return next((len(line) - len(short) for line, short in zip(lines, body.split("\n"), strict=False) if short), 0)

"""One checked file with its tree: what the checks beyond single fields look at, and how they point."""

from __future__ import annotations

from dataclasses import dataclass

from wristward.data.reading.tree import Mark, Node
from wristward.data.records.record import Record
from wristward.errors import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """A file's name relative to the data folder, its tree and its record."""

    name: str
    root: Node
    record: Record

    def problem(self, path: tuple, text: str) -> Problem:
        """Return a problem at the value that ends the path."""
        return self.root.at(path).mark.problem(text)

    def key_problem(self, path: tuple, text: str) -> Problem:
        """Return a problem at the key that ends the path."""
        return self.root.key_mark(path).problem(text)

    def key_mark(self, path: tuple) -> Mark:
        """Return the place of the key that ends the path."""
        return self.root.key_mark(path)

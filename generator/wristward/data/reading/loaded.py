"""One checked file with its tree: what the checks beyond single fields look at, and how they point."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Generic, TypeGuard, TypeVar

from wristward.data.reading.tree import KeyPath, Mark, Node
from wristward.data.records.record import Record
from wristward.errors import Problem

R = TypeVar("R", bound=Record)
R_co = TypeVar("R_co", bound=Record, covariant=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded(Generic[R_co]):
    """A file's name relative to the data folder, its tree and its record."""

    name: str
    root: Node
    record: R_co

    def problem(self, path: KeyPath, text: str) -> Problem:
        """Return a problem at the value that ends the path."""
        return self.root.at(path).mark.problem(text)

    def key_problem(self, path: KeyPath, text: str) -> Problem:
        """Return a problem at the key that ends the path."""
        return self.root.key_mark(path).problem(text)

    def key_mark(self, path: KeyPath) -> Mark:
        """Return the place of the key that ends the path."""
        return self.root.key_mark(path)


def of_record(files: Iterable[Loaded[Record]], record: type[R]) -> list[Loaded[R]]:
    """Return the files whose record is of this kind, in their order."""
    return [file for file in files if _holds(file, record)]


def _holds(file: Loaded[Record], record: type[R]) -> TypeGuard[Loaded[R]]:
    return isinstance(file.record, record)

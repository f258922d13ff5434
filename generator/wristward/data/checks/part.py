"""Further files of the data, each with its own record, that the region's core does not need."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from wristward.data.dataset import Dataset
from wristward.data.reading.tree import KeyPath
from wristward.data.records.record import Record

R = TypeVar("R", bound=Record)

Fault = tuple[KeyPath, str]
"""Path in the file, and what is wrong there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part(Generic[R]):
    """A file of its own, such as branches.yaml, that a dataset may hold."""

    name: str
    """Key in ``Dataset.parts``, and the schema's name."""

    file: str
    """Name relative to the data folder."""

    record: type[R]
    """Record of the whole file."""

    defines: dict[str, str] = field(default_factory=dict)
    """Kind of name → key of the file whose entries carry the names, so that ``Refers(kind)`` resolves, such as
    {"branch": "branches"}. The entries are a map by id, or a list of records with an ``id``."""

    check: Callable[[R, Dataset], Iterable[Fault]] | None = None
    """Given the file's record and the data, return what is wrong beyond single fields."""

    def names(self, record: R, kind: str) -> dict[str, KeyPath]:
        """Return the ids of a kind that the file defines, with the path of each, in file order."""
        key = self.defines[kind]
        entries = getattr(record, key)
        if isinstance(entries, dict):
            return {name: (key, name) for name in entries}
        return {entry.id: (key, index) for index, entry in enumerate(entries)}

"""Further files of the data, each with its own record, that the region's core does not need."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from wristward.data.records.record import Record

Fault = tuple[tuple, str]
"""Path in the file, and what is wrong there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A file of its own, such as branches.yaml, that a dataset may hold."""

    name: str
    """Key in ``Dataset.parts``, and the schema's name."""

    file: str
    """Name relative to the data folder."""

    record: type[Record]
    """Record of the whole file."""

    defines: dict[str, str] = field(default_factory=dict)
    """Kind of name → key of the file whose entries carry the names, so that ``Refers(kind)`` resolves, such as
    {"branch": "branches"}. The entries are a map by id, or a list of records with an ``id``."""

    check: Callable[[Any, Any], Iterable[Fault]] | None = None
    """Given the file's record and the Dataset, return what is wrong beyond single fields."""

    def names(self, record: Any, kind: str) -> dict[str, tuple]:
        """Return the ids of a kind that the file defines, with the path of each, in file order."""
        key = self.defines[kind]
        entries = getattr(record, key)
        if isinstance(entries, dict):
            return {name: (key, name) for name in entries}
        return {entry.id: (key, index) for index, entry in enumerate(entries)}

"""Further files of the data, each with its own record, that the region's core does not need."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from generator.data.record import Record

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

    defines: dict[str, Callable[[Any], Iterable[str]]] = field(default_factory=dict)
    """Kind of name → ids the file defines, so that ``Refers(kind)`` resolves: {"branch": lambda f: f.branches}."""

    check: Callable[[Any, Any], Iterable[Fault]] | None = None
    """Given the file's record and the Dataset, return what is wrong beyond single fields."""

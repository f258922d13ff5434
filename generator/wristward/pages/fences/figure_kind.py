"""What a kind of figure is to a fence, and what every fence must hold beyond its record."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from wristward.data.checks.part import Fault
from wristward.data.dataset import PartName
from wristward.data.records.record import Record, key_references, references
from wristward.errors import one_of, quoted, unknown
from wristward.pages.atlas import Atlas


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One fence whose record is right."""

    record: Any
    """Of the kind's own class."""

    number: int
    """Which fence of its page it is, from 1."""

    here: str
    """The page's ``src_uri``."""


def _no_faults(record: Any, atlas: Atlas) -> Iterator[Fault]:
    return iter(())


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureKind:
    """One figure that a page can ask for."""

    record: type[Record]
    """Its options, as an author writes them; the page Reference lists them."""

    draw: Callable[[Asked, Atlas], str]
    """Returns the HTML of a fence without faults. Which scripts it needs is read from the hosts in it."""

    check: Callable[[Any, Atlas], Iterator[Fault]] = _no_faults
    """Given the record, yields what cannot be drawn; asked only where every name and height is known."""

    once: tuple[str, ...] | None = None
    """A page can hold it once, or once for each value of these options: its parts have fixed ids. None for any number."""

    made_from: tuple[PartName, ...] = ()
    """Files of the data that it needs beyond the arm itself."""


def faults(kind: FigureKind, asked: Asked, atlas: Atlas) -> Iterator[Fault]:
    """Yield what is wrong with a fence beyond its record: unknown names, and what cannot be drawn."""
    record = asked.record
    missing = [name for name in kind.made_from if not atlas.dataset.has(name)]
    if missing:
        yield (
            ("figure",),
            f"figure is '{record.figure}', and the data has no {one_of(f'{one}.yaml' for one in missing)}",
        )
        return
    known = _known(atlas)
    named = [*references(record), *key_references(record)]
    wrong = [(path, unknown(what, name, known[what])) for path, what, name in named if name not in known[what]]
    z_mm = getattr(record, "z_mm", None)
    if z_mm is not None and z_mm not in atlas.sections:
        top_mm = max(atlas.sections)
        wrong.append((("z_mm",), f"z_mm is {quoted(z_mm)} (allowed: a whole number from 0 to {top_mm})"))
    yield from wrong or kind.check(record, atlas)


def _known(atlas: Atlas) -> dict[str, list[str]]:
    dataset = atlas.dataset
    return {
        "structure": list(atlas.structures),
        "travel": [dataset.region.travel],
        "arm": [name for name, arm in dataset.region.arms.items() if arm.is_scaled_only],
        "block": list(dataset.branches.blocks) if dataset.has("branches") else [],
        "operation": list(dataset.operations.operations) if dataset.has("operations") else [],
    }

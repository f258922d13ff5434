"""What an overlay changes, place by place, so that an author sees what a course differs in and where it is said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wristward.data.reading.overlay import entries_by_id
from wristward.data.reading.tree import Mark, Node
from wristward.errors import quoted


@dataclass(frozen=True, slots=True, order=True)
class Override:
    """One change that an overlay makes; a value said again as it was is none."""

    place: Mark
    """Where the overlay says it."""

    text: str
    """What it is, and what it was."""

    def __str__(self) -> str:
        return f"{self.place.file}:{self.place.line}:{self.place.col}: {self.text}"


def new_file(over: Node) -> Override:
    """Return the change of a file that has none of its name below it."""
    return Override(Mark(over.mark.file, 1, 1), "a file of its own")


def overrides(base: Node, over: Node, path: tuple[str, ...] = ()) -> Iterator[Override]:
    """Yield what changes when ``over`` is laid over ``base``, as ``overlay.merge`` does it, in the overlay's order."""
    if isinstance(base.value, dict) and isinstance(over.value, dict):
        for key, entry in over.value.items():
            yield from _entry(base.value.get(key), entry, (*path, key), over.keys[key])
        return
    entries = entries_by_id(base)
    if entries is not None and isinstance(over.value, dict):
        for key, entry in over.value.items():
            yield from _entry(entries.get(key), entry, (*path, key), over.keys[key])
    elif entries is not None and isinstance(over.value, list):
        for entry in over.value:
            name = str(entry.entries["id"].plain()) if "id" in entry.entries else "?"
            yield from _entry(entries.get(name), entry, (*path, name), entry.mark)
    elif base.plain() != over.plain():
        yield Override(over.mark, f"{'.'.join(path)} {_became(base, over)}")


def _entry(base: Node | None, over: Node, path: tuple[str, ...], mark: Mark) -> Iterator[Override]:
    name = ".".join(path)
    if over.value is None:
        if base is not None:
            yield Override(mark, f"{name} is taken out (was at {_at(base)})")
    elif base is None:
        yield Override(mark, f"{name} is new")
    else:
        yield from overrides(base, over, path)


def _became(base: Node, over: Node) -> str:
    if isinstance(base.value, (dict, list)) or isinstance(over.value, (dict, list)):
        return f"is another (was at {_at(base)})"
    return f"is {quoted(over.value)} (was {quoted(base.value)}, {_at(base)})"


def _at(node: Node) -> str:
    return f"{node.mark.file}:{node.mark.line}"

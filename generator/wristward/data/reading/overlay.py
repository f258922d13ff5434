"""One tree laid over another: how a course or a variant changes the data without copying it.

Maps merge by key; lists whose entries have an ``id`` merge by it, and may be changed by a map from id to changes;
everything else is replaced. ``null`` deletes. Each node keeps its own place, so that errors name the overriding file.
"""

from __future__ import annotations

from collections.abc import Iterable

from wristward.data.reading.tree import Mark, Node
from wristward.errors import Problem, nearest, quoted


def merge(base: Node, over: Node) -> tuple[Node, list[Problem]]:
    """Return the merged tree; neither argument is changed.

    Problems are deletions of what is not there, and entries without ``id`` over a list that goes by it.
    """
    problems: list[Problem] = []
    return _merge(base, over, problems), problems


def _merge(base: Node, over: Node, problems: list[Problem]) -> Node:
    if isinstance(base.value, dict) and isinstance(over.value, dict):
        return _merge_maps(base, over, problems)
    if _goes_by_id(base) and isinstance(over.value, list):
        return _merge_lists(base, over, problems)
    if _goes_by_id(base) and isinstance(over.value, dict):
        return _change_list(base, over, problems)
    return over


def _merge_maps(base: Node, over: Node, problems: list[Problem]) -> Node:
    value, keys = dict(base.entries), dict(base.keys)
    for key, entry in over.entries.items():
        if entry.value is None:
            if value.pop(key, None) is None:
                problems.append(over.keys[key].problem(_nothing(key, base.entries, base.mark)))
            keys.pop(key, None)
        else:
            value[key] = _merge(value[key], entry, problems) if key in value else without_nulls(entry)
            keys[key] = over.keys[key]
    # What is missing from a merged map is said where its base stands; the overlay's own keys keep their place.
    return Node(value, base.mark, keys)


def _merge_lists(base: Node, over: Node, problems: list[Problem]) -> Node:
    entries = by_id(base)
    for entry in over.items:
        name = _id(entry)
        if name is None:
            problems.append(entry.mark.problem("an entry needs an 'id', as the list it changes goes by it"))
        elif name in entries:
            entries[name] = _merge(entries[name], entry, problems)
        else:
            entries[name] = without_nulls(entry)
    return Node(list(entries.values()), base.mark)


def _change_list(base: Node, over: Node, problems: list[Problem]) -> Node:
    entries = by_id(base)
    for name, entry in over.entries.items():
        if entry.value is None:
            if entries.pop(name, None) is None:
                problems.append(over.keys[name].problem(_nothing(name, entries, base.mark)))
        elif not isinstance(entry.value, dict):
            problems.append(entry.mark.problem(f"{name} is {quoted(entry.value)}, must be a map or null"))
        elif name in entries:
            entries[name] = _merge(entries[name], entry, problems)
        else:
            named = {"id": Node(name, over.keys[name]), **without_nulls(entry).entries}
            entries[name] = Node(named, entry.mark, {"id": over.keys[name], **entry.keys})
    return Node(list(entries.values()), base.mark)


def entries_by_id(node: Node) -> dict[str, Node] | None:
    """Return the entries of a list that goes by ``id``, or None where it is no such list."""
    return by_id(node) if _goes_by_id(node) else None


def without_nulls(node: Node) -> Node:
    """Return a tree without the keys whose value is null: there was nothing to delete, and nothing is said."""
    if isinstance(node.value, dict):
        kept = {key: without_nulls(entry) for key, entry in node.value.items() if entry.value is not None}
        return Node(kept, node.mark, node.keys)
    return node


def _nothing(name: str, known: Iterable[str], where: Mark) -> str:
    near = nearest(name, known)
    guess = f"; did you mean '{near}'?" if near is not None else ""
    return f"nothing to delete: '{name}' is not in {where.file}{guess}"


def by_id(node: Node) -> dict[str, Node]:
    """Return the entries of a list that have an ``id``, by it."""
    return {name: entry for entry in node.items if (name := _id(entry)) is not None}


def _id(entry: Node) -> str | None:
    id_ = entry.entries.get("id")
    return id_.value if id_ is not None and isinstance(id_.value, str) else None


def _goes_by_id(node: Node) -> bool:
    return bool(node.items) and len(by_id(node)) == len(node.items)

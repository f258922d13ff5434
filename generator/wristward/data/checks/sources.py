"""Every fact gets its source: its own, or that of the record or file around it. None goes without."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeVar

from wristward.data.reading.loaded import Loaded
from wristward.data.reading.tree import KeyPath
from wristward.data.records.level import LevelRecord
from wristward.data.records.record import Record, Sourced
from wristward.data.records.region import RegionRecord
from wristward.data.records.source import SourceRecord
from wristward.errors import Problem, quoted

R = TypeVar("R", bound=Record)

Around = dict[str, Any]
"""Source, confidence and seen, as what stands around a map says them."""

_CONTAINERS = (LevelRecord, RegionRecord)
"""Files that may name a source for all that is in them, but need not."""

_DRAWN = "graphic"
"""Type of a source that is a drawing: nothing was measured, so its confidence is 1."""

_KEYS = ("source", "confidence", "seen")


def settle_sources(file: Loaded[R], sources: Mapping[str, SourceRecord]) -> tuple[R, list[Problem]]:
    """Fill in the source, confidence and ``seen`` that each sourced map takes from around it.

    Returns:
        The file's record with every source in place, and a problem for each map without source or confidence,
        each publication of which nothing says what was read, and each drawing that claims a confidence above 1.
    """
    problems: list[Problem] = []
    settled: R = _settle(file.record, dict.fromkeys(_KEYS), (), file, sources, problems)
    return settled, problems


def _settle(
    value: Any,
    around: Around,
    path: KeyPath,
    file: Loaded[Record],
    sources: Mapping[str, SourceRecord],
    problems: list[Problem],
) -> Any:
    if isinstance(value, Record):
        update: dict[str, Any] = {}
        if isinstance(value, Sourced):
            own = {key: getattr(value, key) for key in _KEYS}
            around = _joined(own, around)
            fault = _fault(value, around, path, file, sources)
            if fault is not None:
                problems.append(fault)
                return value
            update = {key: _seen(around, sources) if key == "seen" else around[key] for key in _KEYS}
        for name, info in type(value).model_fields.items():
            entry = getattr(value, name)
            if isinstance(entry, (Record, tuple, dict)):
                update[name] = _settle(entry, around, (*path, info.alias or name), file, sources, problems)
        return value.model_copy(update=update)
    if isinstance(value, dict):
        return {key: _settle(entry, around, (*path, key), file, sources, problems) for key, entry in value.items()}
    if isinstance(value, tuple) and any(isinstance(entry, Record) for entry in value):
        return tuple(_settle(entry, around, (*path, i), file, sources, problems) for i, entry in enumerate(value))
    return value


def _joined(own: Around, around: Around) -> Around:
    """Let a map's own source stand alone: the confidence of another source says nothing about it."""
    if own["source"] is not None and own["source"] != around["source"]:
        return own
    return {key: own[key] if own[key] is not None else around[key] for key in _KEYS}


def _seen(around: Around, sources: Mapping[str, SourceRecord]) -> str | None:
    seen: str | None = around["seen"]
    if seen is not None or around["source"] not in sources:
        return seen
    return sources[around["source"]].seen


def _fault(
    value: Sourced, around: Around, path: KeyPath, file: Loaded[Record], sources: Mapping[str, SourceRecord]
) -> Problem | None:
    if not path and isinstance(value, _CONTAINERS) and around["source"] is None:
        return None
    if around["source"] is None:
        return file.problem(path, "'source' is missing, and nothing around it names one")
    if around["confidence"] is None:
        return file.problem(path, f"'confidence' is missing for source '{around['source']}' (allowed: 1, 2 or 3)")
    source = sources.get(around["source"])
    if source is None:
        return None
    # The region's zero and frame are ours by definition, and sure.
    if source.type == _DRAWN and around["confidence"] > 1 and not isinstance(file.record, RegionRecord):
        text = f"confidence is {quoted(around['confidence'])}, must be 1 for what is drawn without a source"
        return file.problem((*path, "confidence"), text)
    if source.published and _seen(around, sources) is None:
        text = f"'seen' is missing for source '{around['source']}' (allowed: 'abstract', 'memory' or 'table')"
        return file.problem(path, text)
    return None

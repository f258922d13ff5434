"""What the schemas take from the data: names to offer as examples, lists that are closed, and the region's ends.

The records name no structure and no height of a region; what an editor shows beside a key is read from the data itself.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from wristward.data.checks.part import Part
from wristward.data.dataset import Dataset
from wristward.data.records.record import IN_REGION, REFERS, Refers
from wristward.data.records.region import Frame

CLOSED = ("direction", "compartment", "travel", "kind of question")
"""Kinds whose names are few and all given by the region: an editor underlines any other."""

ENDS = ("plus", "minus")
OFFERED = 3
"""Names that are offered as examples of a key."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SchemaNames:
    """Names by kind, and how high the region reaches."""

    names: Mapping[str, tuple[str, ...]]
    """By kind, in the order of the files; of structures also by their own kind."""

    top_mm: float
    frame: Frame

    def finished(self, schema: dict[str, Any]) -> dict[str, Any]:
        """Return a schema in which the words that the records' marks left are replaced by what the data says."""
        mark = schema.get(REFERS)
        in_region = IN_REGION in schema
        schema = {key: value for key, value in schema.items() if key not in (REFERS, IN_REGION)}
        if "description" in schema and isinstance(schema["description"], str):
            schema["description"] = schema["description"].format_map(self._filled())
        if in_region:
            schema |= {"minimum": 0, "maximum": self.top_mm}
        if mark is not None:
            schema = schema | {key: value for key, value in self._offered(mark).items() if key not in schema}
        if schema.get("type") == "array" and "examples" not in schema:
            example = _example(schema)
            schema |= {} if example is None else {"examples": [example]}
        elif "anyOf" in schema and "examples" not in schema:
            schema |= {"examples": found} if (found := _first(schema["anyOf"])) else {}
        return schema

    def _filled(self) -> dict[str, str]:
        """Return what descriptions ask for: directions, where the reader stands, and what heights count."""
        frame = self.frame
        ways = {f"{name}_{end}": getattr(axis, end) for name, axis in (("x", frame.x), ("y", frame.y)) for end in ENDS}
        return {**ways, "z": frame.z, "seen_from": frame.seen_from}

    def _offered(self, mark: Refers) -> dict[str, Any]:
        names = self.names.get(mark.such_as or mark.to, ())
        closed = {"enum": sorted({*names, *mark.besides})} if mark.to in CLOSED else {}
        return closed | ({"examples": [*names[:OFFERED]]} if names else {})


def schema_names(dataset: Dataset, parts: Sequence[Part[Any]]) -> SchemaNames:
    """Return what the schemas of a data folder take from it."""
    names: dict[str, tuple[str, ...]] = {"structure": tuple(dataset.structures), "source": tuple(dataset.sources)}
    for id_, record in dataset.structures.items():
        names[record.kind] = (*names.get(record.kind, ()), id_)
    names |= {kind: tuple(found) for kind, found in dataset.region.names().items()}
    for part in parts:
        if part.name in dataset.parts:
            for kind in part.defines:
                names[kind] = tuple(part.names(dataset.parts[part.name], kind))
    return SchemaNames(names=names, top_mm=dataset.region.reference_length_mm, frame=dataset.region.frame)


def _first(choices: Sequence[dict[str, Any]]) -> list[Any]:
    return next((one["examples"] for one in choices if one.get("examples")), [])


def _example(schema: Mapping[str, Any]) -> list[Any] | None:
    """Return an example of a list, of as many entries as it must have; None where none of its entries has one."""
    items = schema.get("items", {})
    found = items.get("examples") if isinstance(items, dict) else None
    return found[: max(1, schema.get("minItems", 1))] if found else None

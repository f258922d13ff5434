"""Draft-07 JSON Schemas of the data's files, so that an editor completes, explains and checks while one types.

``python3 -m wristward.data.schema`` writes them to ``anatomy_data/schema/``; a test holds the committed files to this.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from wristward.data.checks.part import Part
from wristward.data.dataset import Dataset
from wristward.data.parts import PARTS
from wristward.data.read import read_dataset
from wristward.data.records.level import LevelRecord
from wristward.data.records.record import IN_REGION, REFERS, Record
from wristward.data.records.region import ReferenceArm, RegionRecord
from wristward.data.records.relation import RelationsFile
from wristward.data.records.source import SourcesFile
from wristward.data.records.structure import StructuresFile
from wristward.data.schema_names import SchemaNames, schema_names
from wristward.locate import where_is_data

DRAFT = "http://json-schema.org/draft-07/schema#"
_CORE: dict[str, type[Record]] = {
    "arm": ReferenceArm,
    "level": LevelRecord,
    "region": RegionRecord,
    "relations": RelationsFile,
    "sources": SourcesFile,
    "structures": StructuresFile,
}
_LEFT_OUT = ("discriminator", "default")
_OF_LISTS = {"minLength": "minItems", "maxLength": "maxItems"}
_WORDS = {
    "$schema": DRAFT,
    "title": "Words for readers",
    "description": "Nested maps of text; keys joined by dots name the words.",
    "$ref": "#/definitions/Words",
    "definitions": {
        "Words": {
            "type": "object",
            "propertyNames": {"pattern": "^[A-Za-z0-9_.-]+$"},
            "additionalProperties": {
                "anyOf": [
                    {"type": "string", "minLength": 1, "description": "What a reader sees.", "examples": ["Muscles"]},
                    {"$ref": "#/definitions/Words"},
                ]
            },
        }
    },
}


def schemas(dataset: Dataset, parts: Sequence[Part[Any]] = PARTS) -> dict[str, str]:
    """Return the text of each schema by file name, such as "level.schema.json": the same text for the same data."""
    names = schema_names(dataset, parts)
    records = _CORE | {part.name: part.record for part in parts}
    documents = {name: draft_07(record, names) for name, record in records.items()} | {"reader": _WORDS}
    return {
        f"{name}.schema.json": json.dumps(document, indent=2, ensure_ascii=False) + "\n"
        for name, document in sorted(documents.items())
    }


def write_schemas(folder: Path, dataset: Dataset, parts: Sequence[Part[Any]] = PARTS) -> list[Path]:
    """Write the schemas of a dataset into a folder, leaving unchanged files untouched, and return the files that changed."""
    folder.mkdir(parents=True, exist_ok=True)
    changed = []
    for name, text in schemas(dataset, parts).items():
        path = folder / name
        if not path.is_file() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8", newline="\n")
            changed.append(path)
    return changed


def draft_07(record: type[Record], names: SchemaNames) -> dict[str, Any]:
    """Return the schema of a record as a value; what it says of names and heights is taken from the data."""
    emitted = record.model_json_schema(by_alias=True, mode="validation", ref_template="#/definitions/{model}")
    definitions = emitted.pop("$defs", {})
    document = {"$schema": DRAFT, **_translated(emitted, names)}
    if definitions:
        document["definitions"] = {name: _translated(definitions[name], names) for name in sorted(definitions)}
    return document


def _translated(value: Any, names: SchemaNames) -> Any:
    """Say in draft 07 what pydantic says in draft 2020-12."""
    if isinstance(value, list):
        return [_translated(entry, names) for entry in value]
    if not isinstance(value, dict):
        return value
    # An optional key is left out, not null: null is for overlays, which have no schema.
    choices = value.get("anyOf")
    if choices is not None and {"type": "null"} in choices and len(choices) == 2:
        (choice,) = (entry for entry in choices if entry != {"type": "null"})
        value = {key: entry for key, entry in value.items() if key != "anyOf"} | choice
    # A bound put on a list after its conversion comes out as if it bounded a text.
    if value.get("type") == "array":
        value = {_OF_LISTS.get(key, key): entry for key, entry in value.items()}
    if "patternProperties" in value:
        value = value | {"additionalProperties": False}
    # Beside a "$ref" draft 07 ignores everything, so the description moves outside of it.
    if "$ref" in value and len(value) > 1:
        value = {key: entry for key, entry in value.items() if key != "$ref"} | {"allOf": [{"$ref": value["$ref"]}]}
    if "prefixItems" in value:
        value = {key: entry for key, entry in value.items() if key != "prefixItems"} | {
            "items": value["prefixItems"],
            "additionalItems": False,
        }
    named = {key: entry for key, entry in value.items() if key not in _LEFT_OUT}
    # A key may itself be called "title" or "default": only the keywords of a schema are dropped, not such keys.
    translated: dict[str, Any] = {}
    for key, entry in named.items():
        if key == "propertyNames":
            # Keys of a map are not completed: of them is only said how they may be written.
            if written := {rule: bound for rule, bound in entry.items() if rule != REFERS}:
                translated[key] = written
        elif key in ("properties", "definitions"):
            translated[key] = {name: _translated(_untitled(inner), names) for name, inner in entry.items()}
        elif key == "enum":
            # typing hands out the first of equal Literals, whatever the order: imports must not change the text.
            translated[key] = sorted(entry)
        elif key in ("examples", "const", "required", REFERS, IN_REGION):
            translated[key] = entry
        else:
            translated[key] = _translated(entry, names)
    return names.finished(translated)


def _untitled(schema: dict[str, Any]) -> dict[str, Any]:
    """Leave out the title pydantic makes of a key: editors show the key already."""
    return {key: entry for key, entry in schema.items() if key != "title"}


if __name__ == "__main__":
    for written in write_schemas(where_is_data() / "schema", read_dataset(where_is_data())):
        print(written.name)

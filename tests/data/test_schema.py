"""The schemas editors use."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft7Validator

from wristward.data.read import read_dataset
from wristward.data.reading.tree import read_yaml
from wristward.data.schema import schemas, write_schemas
from wristward.locate import where_is_data

SMALL = Path(__file__).parent / "small"
SHIPPED = read_dataset(where_is_data())
COMMITTED = Path(__file__).parents[2] / "anatomy_data" / "schema"
FOR_FILES = {
    "arm": "arms/*.yaml",
    "level": "levels/*.yaml",
    "structures": "structures/*.yaml",
    "region": "region.yaml",
    "relations": "relations.yaml",
    "sources": "sources.yaml",
    "branches": "branches.yaml",
    "territories": "territories.yaml",
    "operations": "operations.yaml",
    "drugs": "drugs.yaml",
    "hand_map": "hand_map.yaml",
    "teaching": "teaching.yaml",
    "quiz_items": "quiz_items.yaml",
    "reader": "reader/**/*.yaml",
}


def test_committed_schemas_are_those_emitted():
    """The files in the repository are what the records say now, byte for byte, and no others."""
    committed = {path.name: path.read_text(encoding="utf-8") for path in COMMITTED.iterdir()}

    assert schemas(SHIPPED) == committed


def test_writing_leaves_unchanged_files_alone(tmp_path):
    """The first writing makes every file, the second touches none, and the text is the same each time."""
    first = write_schemas(tmp_path / "schema", SHIPPED)

    assert sorted(schemas(SHIPPED)) == [path.name for path in first]
    assert [] == write_schemas(tmp_path / "schema", SHIPPED)


def test_there_is_a_schema_for_each_kind_of_file():
    """Each file of the data has its schema."""
    assert sorted(f"{name}.schema.json" for name in FOR_FILES) == sorted(schemas(SHIPPED))


@pytest.mark.parametrize("name", sorted(schemas(SHIPPED)))
def test_schemas_are_draft_07_and_explain_every_key(name):
    """Each schema is draft 07 by the draft's own schema, and each key has a description, each value an example."""
    schema = json.loads(schemas(SHIPPED)[name])
    Draft7Validator.check_schema(schema)
    bare = []
    for where, keys in _properties(schema, ""):
        for key, value in keys.items():
            plain = value.get("type") in ("string", "number", "integer", "boolean")
            if "description" not in value or (plain and not value.get("examples")):
                bare.append(f"{where}.{key}")

    assert "http://json-schema.org/draft-07/schema#" == schema["$schema"]
    assert [] == bare


@pytest.mark.parametrize("name", sorted(FOR_FILES))
def test_schemas_accept_what_the_reader_accepts(name):
    """The small arm and the shipped data pass their schemas."""
    validator = Draft7Validator(json.loads(schemas(SHIPPED)[f"{name}.schema.json"]))
    files = [path for folder in (SMALL, where_is_data()) for path in sorted(folder.glob(FOR_FILES[name]))]
    faults = [
        f"{path.name}: {list(error.absolute_path)}: {error.message}"
        for path in files
        for error in validator.iter_errors(read_yaml(path.read_bytes(), file=path.name)[0].plain())
    ]

    assert files
    assert [] == faults


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("level", "z_mm: 1\nskinn: 2"),
        ("level", "z_mm: low"),
        ("level", "z_mm: 1\nmuscles: {a: {area_mm2: 0, spine: [[0, 1]]}}"),
        ("level", "z_mm: 1\nmuscles: {a: {area_mm2: 1, spine: [[0, 1, 2]]}}"),
        ("level", "z_mm: 1\nskin: {outline: [[0, 1]]}"),
        ("structures", "structures: {a: {kind: nreve, name: b, from_z_mm: 1, to_z_mm: 0}}"),
        ("structures", "structures: {A: {kind: nerve, name: b, from_z_mm: 1, to_z_mm: 0}}"),
        ("sources", "sources: {a: {type: blog, what: b}}"),
        ("relations", "relations: [{id: a, says: b, z_mm: [1, 2], wobbles: {}}]"),
        ("reader", "a: {b: 1}"),
    ],
)
def test_schemas_refuse_what_the_reader_refuses(name, text):
    """An editor underlines a misspelt key, a wrong type, a bound and a shape."""
    validator = Draft7Validator(json.loads(schemas(SHIPPED)[f"{name}.schema.json"]))

    assert not validator.is_valid(read_yaml(text.encode(), file="f")[0].plain())


def test_modelines_lead_to_the_schemas():
    """Every data file's first line names, relative to the file, the schema that is for it."""
    wrong, seen = [], set()
    for folder in (SMALL, where_is_data()):
        for name, pattern in FOR_FILES.items():
            for path in sorted(folder.glob(pattern)):
                seen.add(name)
                first = path.read_text(encoding="utf-8").splitlines()[0]
                target = path.parent / first.partition("$schema=")[2]
                if target.resolve() != (COMMITTED / f"{name}.schema.json").resolve():
                    wrong.append(f"{path.relative_to(folder)}: {first}")

    assert set(FOR_FILES) == seen
    assert [] == wrong


def _properties(schema: object, where: str):
    """Yield every map of keys in a schema with its place."""
    if isinstance(schema, list):
        for entry in schema:
            yield from _properties(entry, where)
    if not isinstance(schema, dict):
        return
    for key, value in schema.items():
        if key == "properties":
            yield where, value
            for name, inner in value.items():
                yield from _properties(inner, f"{where}.{name}")
        elif key not in ("examples", "enum", "const"):
            yield from _properties(value, f"{where}.{key}" if key not in ("items", "allOf") else where)

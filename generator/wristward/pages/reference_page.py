"""The page Reference: every key of every data file and of every figure in a page, from the schema that editors read."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

from wristward.data.kinds import KNOT_MAPS
from wristward.data.parts import PARTS
from wristward.data.records.record import Sourced
from wristward.data.schema import draft_07, schemas
from wristward.data.schema_names import schema_names
from wristward.pages.atlas import Atlas
from wristward.pages.fences.figure_kinds import figure_kinds
from wristward.pages.markdown import address, front_matter, plain, table
from wristward.pages.saying import Words

REFERENCE = "reference.md"
SOURCED = "source-keys"
FILES = {
    "region": "region.yaml",
    "arm": "arms/*.yaml",
    "level": "levels/*.yaml, knots/*.yaml",
    "structures": "structures/*.yaml",
} | {
    "relations": "relations.yaml",
    "sources": "sources.yaml",
    **{part.name: part.file for part in PARTS},
    "reader": "reader/en/*.yaml",
}
"""Schema → the file it describes, in the order of the page."""

BOUNDS = (
    ("minimum", "at_least"),
    ("exclusiveMinimum", "more_than"),
    ("maximum", "at_most"),
    ("exclusiveMaximum", "less_than"),
)
TYPES = {"number": "number", "integer": "integer", "string": "text", "boolean": "boolean"}
HUMP = re.compile(r"(?<=[a-z0-9])(?=[A-Z])")


def reference_page(atlas: Atlas) -> str:
    """Return the page: figures first, then the files."""
    words, names = atlas.words, schema_names(atlas.dataset, PARTS)
    title, description = words("reference.title"), words("reference.description")
    parts = [front_matter(title=title, description=description) + f"# {title}\n\n{description}\n"]
    parts.append(f"## {words('reference.figures')} {{ #figures }}\n\n{words('reference.figures_text')}\n")
    for name, kind in figure_kinds(atlas.dataset.region).items():
        parts += _Document(words, draft_07(kind.record, names), anchor=f"figure-{name}").chapter(f"`figure: {name}`")
    parts.append(f"## {words('reference.files')} {{ #files }}\n\n{words('reference.files_text')}\n")
    sourced = draft_07(Sourced, names) | {"description": words("reference.sourced_text")}
    parts += _Document(words, sourced, anchor=SOURCED).chapter(words("reference.sourced"), whole=True)
    documents = schemas(atlas.dataset)
    for name, file in FILES.items():
        document = json.loads(documents[f"{name}.schema.json"])
        parts += _Document(words, document, anchor=f"file-{name}").chapter(f"`{file}`")
    parts += _knots(atlas)
    return "\n".join(parts)


def _knots(atlas: Atlas) -> Iterator[str]:
    """Yield the heading and the table of what is drawn between the levels."""
    knots, words = atlas.dataset.knots, atlas.words
    if not knots:
        return
    yield f"## {words('reference.knots')} {{ #knots }}\n\n{words('reference.knots_text')}\n"
    rows = []
    for knot in knots:
        to = address(f"{atlas.travel_page}?z={knot.z_mm:.0f}", here=REFERENCE)
        held = [f"`{key}`" for key in ("skin", "fascia", "fill") if getattr(knot, key) is not None]
        for group in KNOT_MAPS:
            ids = ", ".join(f"`{id_}`" for id_ in knot.group(group))
            held += [f"`{group}`: {ids}"] if ids else []
        rows.append([f"[`{knot.z_mm:g}`]({to})", "; ".join(held)])
    yield table((words("reference.knots_at"), words("reference.knots_hold")), rows) + "\n"


class _Document:
    """One schema, and the maps inside it that have keys of their own."""

    def __init__(self, words: Words, document: Mapping[str, Any], *, anchor: str) -> None:
        self._words, self._document, self._anchor = words, document, anchor
        self._definitions: Mapping[str, Mapping[str, Any]] = document.get("definitions", {})

    def chapter(self, title: str, *, whole: bool = False) -> Iterator[str]:
        """Yield the heading, the table of the whole, and one of each map inside.

        The keys that say where a fact comes from are told once, in the chapter that is ``whole``.
        """
        yield f"### {title} {{ #{self._anchor} }}\n"
        yield from self._table(self._document, whole=whole)
        for name, definition in self._definitions.items():
            if "properties" in definition:
                yield f"#### {_spoken(name)} {{ #{self._address(name)} }}\n"
                yield from self._table(definition)

    def _table(self, schema: Mapping[str, Any], *, whole: bool = False) -> Iterator[str]:
        if schema.get("description"):
            yield f"{plain(_flat(schema['description']))}\n"
        needed, properties = schema.get("required", ()), dict(schema.get("properties", {}))
        if not whole and set(Sourced.model_fields) <= set(properties):
            properties = {key: entry for key, entry in properties.items() if key not in Sourced.model_fields}
            yield self._words("reference.with_source", link=f"#{SOURCED}") + "\n"
        rows = [
            [
                f"`{key}`",
                self._value(entry),
                self._words("reference.needed" if key in needed else "reference.optional"),
                plain(_flat(entry.get("description", ""))),
                _example(entry),
            ]
            for key, entry in properties.items()
        ]
        if rows:
            columns = ("key", "value", "must", "what", "example")
            yield table((self._words(f"reference.column.{column}") for column in columns), rows) + "\n"

    def _value(self, schema: Mapping[str, Any]) -> str:
        """Return what a value may be, in words, with a link to the keys of a map."""
        if "$ref" in schema:
            return self._named(schema["$ref"].rsplit("/", 1)[1])
        if "allOf" in schema:
            return self._value(schema["allOf"][0])
        if "const" in schema:
            return f"`{schema['const']}`"
        if "enum" in schema:
            return ", ".join(f"`{one}`" for one in schema["enum"])
        choices = schema.get("anyOf") or schema.get("oneOf")
        if choices:
            return self._words("reference.or").join(dict.fromkeys(self._value(one) for one in choices))
        if schema.get("type") == "array":
            items = schema.get("items", {})
            if isinstance(items, list):
                return self._words("reference.pair", of=", ".join(self._value(one) for one in items))
            return self._words("reference.list", of=self._value(items))
        if schema.get("type") == "object":
            inner = [*schema.get("patternProperties", {}).values(), schema.get("additionalProperties")]
            of = next((one for one in inner if isinstance(one, dict)), None)
            return self._words("reference.any_map") if of is None else self._words("reference.map", of=self._value(of))
        if schema.get("type") not in TYPES:
            return self._words("reference.anything")
        bounds = [self._words(f"reference.{word}", of=f"{schema[key]:g}") for key, word in BOUNDS if key in schema]
        return " ".join([self._words(f"reference.{TYPES[schema['type']]}"), *bounds])

    def _named(self, name: str) -> str:
        definition = self._definitions[name]
        if "properties" in definition:
            return f"[{_spoken(name)}](#{self._address(name)})"
        return self._value(definition)

    def _address(self, name: str) -> str:
        return f"{self._anchor}-{_spoken(name).replace(' ', '-')}"


def _spoken(name: str) -> str:
    """Return "muscle knot" of "MuscleKnotRecord"."""
    return HUMP.sub(" ", name.removesuffix("Record")).lower()


def _example(schema: Mapping[str, Any]) -> str:
    examples = schema.get("examples", ())
    if not examples:
        return ""
    return f"`{examples[0] if isinstance(examples[0], str) else json.dumps(examples[0], ensure_ascii=False)}`"


def _flat(text: str) -> str:
    return " ".join(text.split())

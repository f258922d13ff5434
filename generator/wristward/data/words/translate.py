"""A dataset in another language: Latin names for structures, and what data files say in English said by the catalogue.

Some sentences stand in data files beside their number and source. A translation says them under ``told.``; what it
leaves out stays English, and knows that it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from wristward.data.dataset import Dataset
from wristward.data.reading.folder import shown_name
from wristward.data.records.quiz import WrittenItemRecord
from wristward.data.records.record import Record
from wristward.data.records.source import SourceRecord
from wristward.data.records.teaching import StatementRecord
from wristward.data.words.languages import ENGLISH
from wristward.data.words.phrase import Phrase
from wristward.data.words.told import statements_of, texts_of

R = TypeVar("R", bound=Record)

Say = Callable[[str, str], str]
"""Key of the catalogue and English text → what readers are told."""


def translated(dataset: Dataset) -> Dataset:
    """Return a dataset whose records say what the catalogue of its language says; an English one as it is."""
    if dataset.language == ENGLISH:
        return dataset
    words = dataset.words
    decimal = next((word.decimal for word in words.values() if isinstance(word, Phrase)), ".")

    def english(text: str) -> Phrase:
        return Phrase(text, language=ENGLISH, decimal=decimal)

    def say(key: str, text: str) -> str:
        return words.get(key, english(text))

    def said(key: str, source: SourceRecord) -> SourceRecord:
        title, note = source.title, source.note
        if title is not None:
            title = english(title) if source.published else say(f"told.source.{key}", title)
        return _with(source, what=english(source.what), title=title, note=english(note) if note is not None else None)

    region = dataset.region.model_copy(
        update={
            "level_names": tuple(
                _with(one, name=say(f"told.level.{one.id}", one.name)) for one in dataset.region.level_names
            ),
            "arms": {
                id_: _with(arm, name=say(f"told.arm.{id_}", arm.name)) if arm.name is not None else arm
                for id_, arm in dataset.region.arms.items()
            },
            "landmarks": {
                id_: _with(mark, name=say(f"told.landmark.{id_}", mark.name))
                for id_, mark in dataset.region.landmarks.items()
            },
        }
    )
    latin = words.get("language.names") == "latin"
    structures = {
        id_: _with(record, name=shortened(record.latin, words)) if latin and record.latin else record
        for id_, record in dataset.structures.items()
    }
    sources = {key: said(key, source) for key, source in dataset.sources.items()}
    relations = tuple(_with(one, says=say(f"told.relation.{one.id}", one.says)) for one in dataset.relations)
    return replace(
        dataset,
        region=region,
        structures=structures,
        relations=relations,
        sources=sources,
        parts=_parts(dataset.parts, say) | _questions(dataset, english),
        arms={name: translated(arm) for name, arm in dataset.arms.items()},
    )


def shortened(latin: str, words: Mapping[str, str]) -> str:
    """Return a Latin name as it is printed: "N. X" of "nervus X"."""
    return re.sub(r"(?<![^ ])\w+", lambda found: words.get(f"language.latin.{found[0]}", found[0]), latin)


def _parts(parts: Mapping[str, Record], say: Say) -> dict[str, Record]:
    changed: dict[str, dict[str, dict[str, Record]]] = {}
    for shown, id_, key, text in texts_of(parts):
        part = parts[shown.part]
        entries = changed.setdefault(shown.part, {}).setdefault(shown.entries, dict(getattr(part, shown.entries)))
        entries[id_] = _with(entries[id_], **{shown.field: say(key, text)})
    found = {name: _with(record, **changed.get(name, {})) for name, record in parts.items()}
    return {name: _restated(record, say) if any(statements_of(record)) else record for name, record in found.items()}


def _questions(dataset: Dataset, english: Callable[[str], str]) -> dict[str, Record]:
    """Return the questions written by hand: the data's own are English, a course writes in whatever language it likes."""
    if not dataset.has("quiz_items"):
        return {}

    def spoken(item: WrittenItemRecord) -> WrittenItemRecord:
        options = tuple(_with(one, text=english(one.text), why=english(one.why)) for one in item.options)
        return _with(item, stem=english(item.stem), why=english(item.why), options=options)

    own = f"{shown_name(dataset.folder)}/"
    items = {
        id_: spoken(item) if dataset.where("quiz_item", id_).file.startswith(own) else item
        for id_, item in dataset.quiz_items.items.items()
    }
    return {"quiz_items": _with(dataset.quiz_items, items=items)}


def _restated(value: Any, say: Say) -> Any:
    """Return a record whose statements say what the catalogue says in their place."""
    if isinstance(value, tuple):
        return tuple(_restated(one, say) for one in value)
    if isinstance(value, dict):
        return {key: _restated(one, say) for key, one in value.items()}
    if not isinstance(value, Record) or not any(statements_of(value)):
        return value
    if isinstance(value, StatementRecord):
        return _with(value, says=say(f"told.statements.{value.told}", value.says))
    return _with(value, **{name: _restated(one, say) for name, one in value.__dict__.items()})


def _with(record: R, **values: object) -> R:
    return record.model_copy(update=values) if values else record

"""A dataset in another language: Latin names for structures, and what data files say in English said by the catalogue.

Some sentences stand in data files beside their number and source. A translation says them under ``told.``; what it
leaves out stays English, and knows that it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from wristward.data.dataset import Dataset
from wristward.data.records.record import Record
from wristward.data.records.teaching import StatementRecord
from wristward.data.words.languages import ENGLISH
from wristward.data.words.phrase import Phrase

TOLD = {
    "findings": ("branches", "findings", "says"),
    "blocks": ("branches", "blocks", "note"),
    "pooled": ("branches", "branches", "pooled"),
    "disagreements": ("branches", "branches", "disagreement"),
    "variants": ("branches", "variants", "changes"),
    "signs": ("teaching", "signs", "says"),
    "sign_names": ("teaching", "signs", "name"),
    "cuffs": ("territories", "cuffs", "says"),
    "drugs": ("drugs", "drugs", "name"),
}
"""Kind of text in the catalogue → part, its key with entries by id, and which text of an entry pages and quizzes show."""


def told_words(region: Any, relations: Any, sources: Mapping[str, Any], parts: Mapping[str, Any]) -> dict[str, str]:
    """Return what the data files say to readers, by the key under which a translation says it."""
    told = {f"told.level.{one.id}": one.name for one in region.level_names if one.id is not None}
    told |= {f"told.arm.{id_}": arm.name for id_, arm in region.arms.items()}
    told |= {f"told.landmark.{id_}": mark.name for id_, mark in region.landmarks.items()}
    # An arm's own relations are still as its file has them.
    own = [one for arm in region.arms.values() for one in arm.relations]
    told |= {f"told.relation.{one['id']}": one["says"] for one in own if {"id", "says"} <= one.keys()}
    told |= {f"told.relation.{one.id}": one.says for one in relations}
    # A paper keeps the title it was published under.
    told |= {f"told.source.{key}": source.title for key, source in sources.items() if not source.published}
    told |= {told_key: text for _, _, told_key, text in _texts(parts)}
    told |= {f"told.statements.{one.told}": one.says for record in parts.values() for one in _statements(record)}
    return {key: text for key, text in told.items() if text}


def translated(dataset: Dataset) -> Dataset:
    """Return a dataset whose records say what the catalogue of its language says; an English one as it is."""
    if dataset.language == ENGLISH:
        return dataset
    words = dataset.words
    decimal = next((word.decimal for word in words.values() if isinstance(word, Phrase)), ".")

    def english(text: str | None) -> str | None:
        return Phrase(text, language=ENGLISH, decimal=decimal) if text else text

    def say(key: str, text: str | None) -> str | None:
        return words.get(key, english(text)) if text else text

    region = dataset.region.model_copy(
        update={
            "level_names": tuple(
                _with(one, name=say(f"told.level.{one.id}", one.name)) for one in dataset.region.level_names
            ),
            "arms": {
                id_: _with(arm, name=say(f"told.arm.{id_}", arm.name)) for id_, arm in dataset.region.arms.items()
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
    sources = {
        key: _with(
            source,
            what=english(source.what),
            title=english(source.title) if source.published else say(f"told.source.{key}", source.title),
            note=english(source.note),
        )
        for key, source in dataset.sources.items()
    }
    relations = tuple(_with(one, says=say(f"told.relation.{one.id}", one.says)) for one in dataset.relations)
    return replace(
        dataset,
        region=region,
        structures=structures,
        relations=relations,
        sources=sources,
        parts=_parts(dataset.parts, say),
        arms={name: translated(arm) for name, arm in dataset.arms.items()},
    )


def shortened(latin: str, words: Mapping[str, str]) -> str:
    """Return a Latin name as it is printed: "N. medianus" of "nervus medianus"."""
    found = (re.fullmatch(r"(\w*)(.*)", one) for one in latin.split(" "))
    return " ".join(words.get(f"language.latin.{one[1]}", one[1]) + one[2] for one in found)


def _parts(parts: Mapping[str, Record], say: Any) -> dict[str, Record]:
    changed: dict[str, dict[str, dict[str, Record]]] = {}
    for kind, id_, told_key, text in _texts(parts):
        part, key, field = TOLD[kind]
        entries = changed.setdefault(part, {}).setdefault(key, dict(getattr(parts[part], key)))
        entries[id_] = _with(entries[id_], **{field: say(told_key, text)})
    found = {name: _with(record, **changed.get(name, {})) for name, record in parts.items()}
    return {name: _restated(record, say) if any(_statements(record)) else record for name, record in found.items()}


def _texts(parts: Mapping[str, Record]) -> Iterator[tuple[str, str, str, str]]:
    """Yield (kind, id, key of the catalogue, text) of every text of a part that may be translated."""
    for kind, (part, key, field) in TOLD.items():
        for id_, entry in getattr(parts[part], key).items() if part in parts else ():
            text = getattr(entry, field)
            if text:
                yield kind, id_, f"told.{kind}.{id_}", text


def _statements(value: Any) -> Iterator[StatementRecord]:
    """Yield every statement of a record that a translation may say."""
    if isinstance(value, StatementRecord) and value.told is not None:
        yield value
    if isinstance(value, Record):
        value = value.__dict__
    if isinstance(value, dict):
        value = tuple(value.values())
    if isinstance(value, tuple):
        for one in value:
            yield from _statements(one)


def _restated(value: Any, say: Any) -> Any:
    """Return a record whose statements say what the catalogue says in their place."""
    if isinstance(value, tuple):
        return tuple(_restated(one, say) for one in value)
    if isinstance(value, dict):
        return {key: _restated(one, say) for key, one in value.items()}
    if not isinstance(value, Record) or not any(_statements(value)):
        return value
    if isinstance(value, StatementRecord):
        return _with(value, says=say(f"told.statements.{value.told}", value.says))
    return _with(value, **{name: _restated(one, say) for name, one in value.__dict__.items()})


def _with(record: Any, **values: Any) -> Any:
    return record.model_copy(update=values) if values else record

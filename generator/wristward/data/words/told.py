"""What data files say to readers in English, beside its number and source, and by which key a translation says it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from wristward.data.records.record import Record
from wristward.data.records.region import RegionRecord
from wristward.data.records.relation import RelationRecord
from wristward.data.records.source import SourceRecord
from wristward.data.records.teaching import StatementRecord


class Shown(NamedTuple):
    """Which texts of a file pages and quizzes show."""

    part: str
    entries: str
    """The file's key with entries by id."""

    field: str
    """The text of each entry."""


OF_PARTS = {
    "findings": Shown("branches", "findings", "says"),
    "blocks": Shown("branches", "blocks", "note"),
    "pooled": Shown("branches", "branches", "pooled"),
    "disagreements": Shown("branches", "branches", "disagreement"),
    "variants": Shown("branches", "variants", "changes"),
    "signs": Shown("teaching", "signs", "says"),
    "sign_names": Shown("teaching", "signs", "name"),
    "cuffs": Shown("territories", "cuffs", "says"),
    "drugs": Shown("drugs", "drugs", "name"),
}
"""Kind of text in the catalogue → where it stands in a file that a dataset may do without."""

OF_CORE = ("arm", "landmark", "level", "relation", "source", "statements")
"""Kinds of text that stand elsewhere: in the region's core, and in statements wherever they are."""

TOLD = tuple(f"told.{kind}." for kind in (*OF_PARTS, *OF_CORE))
"""Beginnings of the keys under which a translation says what data files say in English."""


def told_words(
    region: RegionRecord,
    relations: Iterable[RelationRecord],
    sources: Mapping[str, SourceRecord],
    parts: Mapping[str, Record],
) -> dict[str, str]:
    """Return what the data files say to readers, by the key under which a translation says it."""
    told: dict[str, str | None] = {f"told.level.{one.id}": one.name for one in region.level_names if one.id is not None}
    told |= {f"told.arm.{id_}": arm.name for id_, arm in region.arms.items()}
    told |= {f"told.landmark.{id_}": mark.name for id_, mark in region.landmarks.items()}
    # An arm's own relations are still as its file has them.
    own = [one for arm in region.arms.values() for one in arm.relations]
    told |= {f"told.relation.{one['id']}": one["says"] for one in own if {"id", "says"} <= one.keys()}
    told |= {f"told.relation.{one.id}": one.says for one in relations}
    # A paper keeps the title it was published under.
    told |= {f"told.source.{key}": source.title for key, source in sources.items() if not source.published}
    told |= {one.key: one.says for one in texts_of(parts)}
    told |= {f"told.statements.{one.told}": one.says for record in parts.values() for one in statements_of(record)}
    return {key: text for key, text in told.items() if text}


class Text(NamedTuple):
    """One text of a part that may be translated."""

    shown: Shown
    id: str
    """The entry it stands in."""

    key: str
    """Of the catalogue."""

    says: str


def texts_of(parts: Mapping[str, Record]) -> Iterator[Text]:
    """Yield every text of a part that may be translated, save statements."""
    for kind, shown in OF_PARTS.items():
        for id_, entry in getattr(parts[shown.part], shown.entries).items() if shown.part in parts else ():
            text = getattr(entry, shown.field)
            if text:
                yield Text(shown, id_, f"told.{kind}.{id_}", text)


def statements_of(value: object) -> Iterator[StatementRecord]:
    """Yield every statement of a record that a translation may say."""
    if isinstance(value, StatementRecord) and value.told is not None:
        yield value
    if isinstance(value, Record):
        value = value.__dict__
    if isinstance(value, dict):
        value = tuple(value.values())
    if isinstance(value, tuple):
        for one in value:
            yield from statements_of(one)

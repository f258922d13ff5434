"""The checked data as one value: records, and where each of them stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from wristward.data.arms import DRAWN
from wristward.data.reading.overrides import Override
from wristward.data.reading.tree import Mark
from wristward.data.records.level import LevelRecord
from wristward.data.records.record import Record
from wristward.data.records.region import RegionRecord
from wristward.data.records.relation import RelationRecord
from wristward.data.records.source import SourceRecord
from wristward.data.records.structure import StructureRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Dataset:
    """Everything a data folder says, overlays applied, every name resolved and every source in place."""

    folder: Path
    region: RegionRecord
    levels: tuple[LevelRecord, ...]
    """Proximal first: z falls."""

    structures: dict[str, StructureRecord]
    """By id, in the order of the files' names and then of the file."""

    relations: tuple[RelationRecord, ...]
    sources: dict[str, SourceRecord]
    words: dict[str, str]
    """Words for readers by dotted key, in the dataset's language where it has them."""

    parts: dict[str, Record] = field(default_factory=dict)
    """Files of registered parts that are there, by the part's name."""

    places: dict[tuple[str, str | float], Mark] = field(default_factory=dict)
    files: tuple[Path, ...] = ()
    overrides: tuple[Override, ...] = ()
    """What the overlays change, in the order in which they are laid."""

    language: str = "en"
    fallbacks: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """By language that was read: the keys of English words that it does not have, in the order of their files."""

    arm: str = DRAWN
    """The arm that levels, structures and relations describe."""

    arms: dict[str, Dataset] = field(default_factory=dict)
    """The arms that draw something otherwise; one that is only larger or smaller is not among them."""

    def of_arm(self, name: str) -> Dataset:
        """Return the data of an arm: its own where it draws something otherwise, else these."""
        return self.arms.get(name, self)

    def where(self, kind: str, name: str | float) -> Mark:
        """Return the place of a record.

        Args:
            kind: "structure", "level", "relation", "source", "word", "landmark", "arm", "lift", or a kind that a part
                defines.
            name: Its id; a level's z_mm; of a lift the arm's and the relation's, with a space between.

        Raises:
            KeyError: If there is no such record.
        """
        return self.places[kind, name]

    def data_files(self) -> tuple[Path, ...]:
        """Return every file read, overlays too, sorted: what a preview watches."""
        return self.files

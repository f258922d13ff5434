"""The checked data as one value: records, and where each of them stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, TypeVar

from wristward.data.arms import DRAWN
from wristward.data.reading.folder import shown_name
from wristward.data.reading.overrides import Override
from wristward.data.reading.tree import Mark
from wristward.data.records.branch import BranchesFile
from wristward.data.records.level import LevelRecord
from wristward.data.records.quiz import QuizItemsFile
from wristward.data.records.record import Record
from wristward.data.records.region import RegionRecord
from wristward.data.records.relation import RelationRecord
from wristward.data.records.scenario import DrugsFile, OperationsFile, TerritoriesFile
from wristward.data.records.source import SourceRecord
from wristward.data.records.structure import StructureRecord
from wristward.data.records.teaching import HandMapFile, TeachingFile
from wristward.errors import DataError, Problem

PartName = Literal["branches", "drugs", "hand_map", "operations", "quiz_items", "teaching", "territories"]
"""Files that a dataset may do without, each without its ".yaml"."""

F = TypeVar("F", bound=Record)

Places = dict[tuple[str, str | float], Mark]
"""Place of a record by its kind and id."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dataset:
    """Everything a data folder says, overlays applied, every name resolved and every source in place."""

    folder: Path
    region: RegionRecord
    levels: tuple[LevelRecord, ...]
    """What is drawn at the heights that readers know by name. Proximal first: z falls."""

    knots: tuple[LevelRecord, ...]
    """What is drawn between them, in the same order."""

    structures: dict[str, StructureRecord]
    """By id, in the order of the files' names and then of the file."""

    relations: tuple[RelationRecord, ...]
    sources: dict[str, SourceRecord]
    words: dict[str, str]
    """Words for readers by dotted key, in the dataset's language where it has them."""

    parts: dict[str, Record] = field(default_factory=dict)
    """Files of registered parts that are there, by the part's name. The program's own have a property each."""

    places: Places = field(default_factory=dict)
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

    @property
    def branches(self) -> BranchesFile:
        """branches.yaml: where nerves branch, and what blocks want. It needs the file, as its neighbours theirs.

        Raises:
            DataError: If there is no such file; ``has`` says so beforehand.
        """
        return self._file("branches", BranchesFile)

    @property
    def drugs(self) -> DrugsFile:
        """drugs.yaml: printed limits."""
        return self._file("drugs", DrugsFile)

    @property
    def hand_map(self) -> HandMapFile:
        """hand_map.yaml: the drawing of a hand."""
        return self._file("hand_map", HandMapFile)

    @property
    def operations(self) -> OperationsFile:
        """operations.yaml: the made-up list of operations."""
        return self._file("operations", OperationsFile)

    @property
    def quiz_items(self) -> QuizItemsFile:
        """quiz_items.yaml: questions written by hand."""
        return self._file("quiz_items", QuizItemsFile)

    @property
    def teaching(self) -> TeachingFile:
        """teaching.yaml: what the pages about blocks say."""
        return self._file("teaching", TeachingFile)

    @property
    def territories(self) -> TerritoriesFile:
        """territories.yaml: what is supplied by what."""
        return self._file("territories", TerritoriesFile)

    def has(self, *names: PartName) -> bool:
        """Say whether the data holds all of these files."""
        return all(name in self.parts for name in names)

    def _file(self, name: PartName, record: type[F]) -> F:
        found = self.parts.get(name)
        if not isinstance(found, record):
            text = "there is no such file, and what is asked for is made from it"
            raise DataError([Problem(f"{shown_name(self.folder)}/{name}.yaml", 1, 1, text)])
        return found

    def of_arm(self, name: str) -> Dataset:
        """Return the data of an arm: its own where it draws something otherwise, else these."""
        return self.arms.get(name, self)

    def levels_and_knots(self) -> tuple[LevelRecord, ...]:
        """Return all that is drawn, height by height, proximal first: what an arm is interpolated from."""
        return tuple(sorted((*self.levels, *self.knots), key=lambda one: -one.z_mm))

    def where(self, kind: str, name: str | float) -> Mark:
        """Return the place of a record.

        Args:
            kind: "structure", "level", "relation", "source", "word", "landmark", "arm", "lift", or a kind that a part
                defines.
            name: Its id; a level's or knot's z_mm; of a lift the arm's and the relation's, with a space between.

        Raises:
            KeyError: If there is no such record.
        """
        return self.places[kind, name]

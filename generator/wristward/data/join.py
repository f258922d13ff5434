"""Checked files to one ``Dataset``, with the place of every record, and the checks that need it whole."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from wristward.data.checks.drawing import normalised
from wristward.data.checks.part import Part
from wristward.data.checks.spoken import check_spoken
from wristward.data.dataset import Dataset, Places
from wristward.data.reading.loaded import Loaded, of_record
from wristward.data.reading.tree import Mark
from wristward.data.records.level import LevelRecord
from wristward.data.records.record import Record
from wristward.data.records.region import RegionRecord
from wristward.data.records.relation import RelationsFile
from wristward.data.records.source import SourcesFile
from wristward.data.records.structure import StructuresFile
from wristward.errors import Problem

Files = Sequence[Loaded[Record]]


def joined(
    files: Files, parts: Sequence[Part[Any]], *, folder: Path, words: dict[str, str], word_places: Mapping[str, Mark]
) -> Dataset:
    """Return the records of a folder's files as one dataset; outlines run anticlockwise.

    Args:
        files: Every file, checked; a region and a bibliography are among them.
        parts: Further files the folder may hold.
        folder: The data folder.
        words: Words for readers by key.
        word_places: The place of each.
    """
    (region,), (bibliography,) = of_record(files, RegionRecord), of_record(files, SourcesFile)
    catalogue = of_record(files, StructuresFile)
    drawn = sorted((file.record for file in of_record(files, LevelRecord)), key=lambda one: -one.z_mm)
    named = {one.z_mm for one in region.record.level_names}
    return Dataset(
        folder=folder,
        region=region.record,
        levels=tuple(normalised(one) for one in drawn if one.z_mm in named),
        knots=tuple(normalised(one) for one in drawn if one.z_mm not in named),
        structures={id_: record for file in catalogue for id_, record in file.record.structures.items()},
        relations=tuple(one for file in of_record(files, RelationsFile) for one in file.record.relations),
        sources=bibliography.record.sources,
        words=words,
        parts={name: file.record for name, file in held(files, parts).items()},
        places=_places(files, parts, word_places),
    )


def check_joined(dataset: Dataset, files: Files, parts: Sequence[Part[Any]]) -> list[Problem]:
    """Return what is wrong with further files as a whole, and which entries readers have no words for."""
    here = held(files, parts)
    problems = [
        here[part.name].problem(path, text)
        for part in parts
        if part.name in here and part.check is not None
        for path, text in part.check(here[part.name].record, dataset)
    ]
    (region,) = of_record(files, RegionRecord)
    return problems + check_spoken({**here, "region": region}, dataset.words)


def held(files: Files, parts: Sequence[Part[Any]]) -> dict[str, Loaded[Record]]:
    """Return the further files that are there, by the part's name."""
    by_name = {file.name: file for file in files}
    return {part.name: by_name[part.file] for part in parts if part.file in by_name}


def _places(files: Files, parts: Sequence[Part[Any]], word_places: Mapping[str, Mark]) -> Places:
    places: Places = {("word", key): mark for key, mark in word_places.items()}
    for level in of_record(files, LevelRecord):
        places["level", level.record.z_mm] = level.root.at(("z_mm",)).mark
    for file in of_record(files, StructuresFile):
        places |= {("structure", id_): file.key_mark(("structures", id_)) for id_ in file.record.structures}
    for bibliography in of_record(files, SourcesFile):
        places |= {("source", key): bibliography.key_mark(("sources", key)) for key in bibliography.record.sources}
    for region in of_record(files, RegionRecord):
        places |= {("landmark", id_): region.key_mark(("landmarks", id_)) for id_ in region.record.landmarks}
        for name, arm in region.record.arms.items():
            places["arm", name] = region.key_mark(("arms", name))
            for index, lifted in enumerate(arm.lifts):
                places["lift", f"{name} {lifted}"] = region.root.at(("arms", name, "lifts", index)).mark
    for relations in of_record(files, RelationsFile):
        for index, relation in enumerate(relations.record.relations):
            places["relation", relation.id] = relations.root.at(("relations", index)).mark
    here = held(files, parts)
    for part in parts:
        for kind in part.defines if part.name in here else ():
            file_of_part = here[part.name]
            for name, path in part.names(file_of_part.record, kind).items():
                places[kind, name] = file_of_part.key_mark(path)
    return places

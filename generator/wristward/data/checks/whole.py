"""Every check that looks at files together: names resolve, facts have sources, levels and catalogue fit each other."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from wristward.data.checks.drawing import check_drawing
from wristward.data.checks.folders import check_folders
from wristward.data.checks.names import check_catalogue_kinds, check_level_kinds, check_references, check_twice
from wristward.data.checks.part import Part
from wristward.data.checks.presence import (
    check_circles,
    check_courses,
    check_drawn,
    check_heights,
    check_knots,
    check_landmarks,
    check_ranges,
)
from wristward.data.checks.sources import settle_sources
from wristward.data.reading.loaded import Loaded, of_record
from wristward.data.records.level import LevelRecord
from wristward.data.records.record import Record
from wristward.data.records.region import RegionRecord
from wristward.data.records.relation import RelationsFile
from wristward.data.records.source import SourceRecord, SourcesFile
from wristward.data.records.structure import StructureRecord, StructuresFile
from wristward.errors import Problem


def check_files(
    files: Sequence[Loaded[Record]],
    parts: Sequence[Part[Any]],
    *,
    unread: Collection[str],
    heights: Mapping[str, frozenset[float]] | None = None,
    changed: Collection[str] | None = None,
    named: Collection[str] = (),
) -> tuple[list[Loaded[Record]], list[Problem]]:
    """Check files, and settle the sources of their facts; how they fit together is checked of all.

    Args:
        files: Every file that has a record.
        parts: Further files the folder may hold.
        unread: Names of the files without a record: what merely could not be read is not spoken of.
        heights: Of each file of levels/ and knots/ the heights with a name when it was laid, mm; an arm's knots lie in
            no folder, and are not held to one.
        changed: Of an arm's files, those that it changes; only these are checked by themselves. By default all.
        named: Further files in which names must resolve.

    Returns:
        The files with every source in place, in the same order, and the problems.
    """
    problems: list[Problem] = []
    structures = {id_: one for file in of_record(files, StructuresFile) for id_, one in file.record.structures.items()}
    sources = {key: one for file in of_record(files, SourcesFile) for key, one in file.record.sources.items()}
    known = _known(files, parts, unread, structures=structures, sources=sources)
    fresh = {file.name for file in files} if changed is None else set(changed)
    settled: list[Loaded[Record]] = []
    for file in files:
        if file.name in fresh or file.name in named:
            problems += check_references(file, known)
        if "source" in known and file.name in fresh:
            record, found = settle_sources(file, sources)
            problems += found
            file = replace(file, record=record)
        settled.append(file)
    catalogue, levels = of_record(settled, StructuresFile), of_record(settled, LevelRecord)
    problems += check_twice(catalogue)
    for level in levels:
        if level.name in fresh:
            problems += check_level_kinds(level, structures) + check_drawing(level)
    for part in catalogue:
        problems += check_catalogue_kinds(part, structures) + check_courses(part)
    problems += check_knots(levels, structures) + check_circles(catalogue)
    if not any(name.startswith(("levels/", "knots/", "structures/")) for name in unread):
        problems += check_drawn(catalogue, levels)
    for region in of_record(settled, RegionRecord):
        problems += check_landmarks(region) + check_heights(levels, region.record)
        if heights is not None:
            problems += check_folders(levels, region.record, heights)
        for relations in of_record(settled, RelationsFile):
            problems += check_ranges(relations, region.record)
    return settled, problems


def _known(
    files: Sequence[Loaded[Record]],
    parts: Sequence[Part[Any]],
    unread: Collection[str],
    *,
    structures: Mapping[str, StructureRecord],
    sources: Mapping[str, SourceRecord],
) -> dict[str, Iterable[str]]:
    """Return the ids of each kind whose files could all be read."""
    known: dict[str, Iterable[str]] = {}
    if not any(name.startswith("structures/") for name in unread):
        known["structure"] = structures
    if "sources.yaml" not in unread:
        known["source"] = sources
    for region in of_record(files, RegionRecord):
        known |= region.record.names()
    for part in parts:
        here = [file for file in files if file.name == part.file]
        for kind in part.defines if part.file not in unread else ():
            known[kind] = [name for file in here for name in part.names(file.record, kind)]
    return known

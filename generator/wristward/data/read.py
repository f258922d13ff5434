"""A data folder, and overlays upon it, to one checked ``Dataset``.

Problems of all files are collected: what cannot be read is left out, and the checks go on with the rest, except
those that would then speak of what merely could not be read.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from wristward.data.arms import ARM_FILES, Trees, draw_otherwise, gather_arms
from wristward.data.checks.part import Part
from wristward.data.checks.spoken import spoken_keys
from wristward.data.checks.whole import check_files
from wristward.data.dataset import Dataset
from wristward.data.join import Files, check_joined, held, joined
from wristward.data.parts import PARTS
from wristward.data.reading.faults import read_record
from wristward.data.reading.folder import fits
from wristward.data.reading.loaded import Loaded, of_record
from wristward.data.reading.tree import Mark, Node
from wristward.data.records.level import KNOT_FILES, LEVEL_FILES, LevelRecord
from wristward.data.records.record import Record
from wristward.data.records.region import ReferenceArm, RegionRecord
from wristward.data.records.relation import RelationsFile
from wristward.data.records.source import SourcesFile
from wristward.data.records.structure import StructuresFile
from wristward.data.trees import lay_files
from wristward.data.words.catalogue import Catalogue
from wristward.data.words.languages import ENGLISH, WORDS, is_words, languages_in
from wristward.data.words.told import told_words
from wristward.data.words.traced import AskedWords
from wristward.data.words.translate import translated
from wristward.errors import DataError, Problem, one_of, quoted

CORE: dict[str, type[Record]] = {
    "region.yaml": RegionRecord,
    LEVEL_FILES: LevelRecord,
    KNOT_FILES: LevelRecord,
    "structures/*.yaml": StructuresFile,
    "relations.yaml": RelationsFile,
    "sources.yaml": SourcesFile,
}
"""Name pattern → record of the file."""

NEEDED = ("region.yaml", "sources.yaml", LEVEL_FILES, "structures/*.yaml")
DRAWING = (LevelRecord, StructuresFile, RelationsFile)
"""What an arm may change."""


def read_dataset(
    folder: str | Path,
    overlays: Sequence[str | Path] = (),
    *,
    parts: Sequence[Part[Any]] = PARTS,
    language: str = ENGLISH,
    every_language: bool = False,
    arms: Collection[str] | None = None,
) -> Dataset:
    """Read and check a data folder.

    Args:
        folder: The data folder (``wristward.locate.where_is_data()`` for the shipped one).
        overlays: Folders laid over it in this order; a file changes the file of the same name below it.
        parts: Further files the folder may hold.
        language: What readers are spoken to in; what it does not say is said in English.
        every_language: Whether the words of all other languages are read and checked as well.
        arms: Which of the arms that draw something otherwise are read; all by default.

    Returns:
        The checked data. Outlines run anticlockwise; every sourced record has its source and confidence.

    Raises:
        DataError: With every problem of every file.
        ValueError: If there are no words in the language; the text says which there are.
    """
    folders = [Path(folder), *map(Path, overlays)]
    known = languages_in(folders)
    if language not in known:
        raise ValueError(f"language is {quoted(language)} (allowed: {one_of(known)})")
    catalogue = Catalogue(language, known if every_language else [language])
    patterns = [*CORE, ARM_FILES, *WORDS, *(part.file for part in parts)]
    laid = lay_files(folders, patterns, needed=NEEDED, catalogue=catalogue)
    problems = laid.problems
    _stop_at(problems if not laid.trees else ())
    problems += gather_arms(laid.trees)
    files, unread, found = _records(laid.trees, parts, told=problems)
    problems += found
    word_places, found = catalogue.put_together(laid.trees)
    problems += found
    files, found = check_files(files, parts, unread=laid.unread | unread, heights=laid.heights)
    _stop_at(problems + found)
    words, problems = _said(files, parts, catalogue)
    dataset = replace(
        joined(files, parts, folder=folders[0], words=AskedWords(words, word_places), word_places=word_places),
        files=tuple(laid.paths),
        overrides=tuple(laid.overrides),
        language=language,
        fallbacks=catalogue.fallbacks(),
    )
    _stop_at(problems + check_joined(dataset, files, parts))
    return translated(replace(dataset, arms=_other_arms(dataset, files, arms)))


def _stop_at(problems: Collection[Problem]) -> None:
    if problems:
        raise DataError(problems)


def _records(
    trees: Trees, parts: Sequence[Part[Any]], *, told: Sequence[Problem] = ()
) -> tuple[list[Loaded[Record]], set[str], list[Problem]]:
    """Return the files that are records, the names of those that are none, and why they are not.

    A value the reader refused has no value: its type was not the author's mistake, and where a problem is ``told``
    already none is added.
    """
    files: list[Loaded[Record]] = []
    unread: set[str] = set()
    problems: list[Problem] = []
    top_mm = _top_mm(trees.get("region.yaml"))
    models: dict[str, type[Record]] = {**{part.file: part.record for part in parts}, **CORE}
    for name, root in trees.items():
        if is_words(name):
            continue
        model = next(record for pattern, record in models.items() if fits(name, pattern))
        record, found = read_record(model, root, top_mm=top_mm)
        places = {(problem.file, problem.line, problem.col) for problem in (*told, *problems)}
        problems += [problem for problem in found if (problem.file, problem.line, problem.col) not in places]
        if record is None:
            unread.add(name)
        else:
            files.append(Loaded(name=name, root=root, record=record))
    return files, unread, problems


def _top_mm(region: Node | None) -> float | None:
    """Return how high the region reaches, before any record is made; None where that is no number."""
    value = region.value.get("reference_length_mm") if region is not None and isinstance(region.value, dict) else None
    return value.value if value is not None and isinstance(value.value, int | float) else None


def _said(files: Files, parts: Sequence[Part[Any]], catalogue: Catalogue) -> tuple[dict[str, str], list[Problem]]:
    """Return the words that readers are told, by key, and what translations say wrongly."""
    (region,), (bibliography,) = of_record(files, RegionRecord), of_record(files, SourcesFile)
    relations = [one for file in of_record(files, RelationsFile) for one in file.record.relations]
    here = held(files, parts)
    records = {name: file.record for name, file in here.items()}
    return catalogue.said(
        spoken=spoken_keys({**here, "region": region}),
        told=told_words(region.record, relations, bibliography.record.sources, records),
    )


def _other_arms(dataset: Dataset, files: Files, asked: Collection[str] | None) -> dict[str, Dataset]:
    """Read each arm that draws something otherwise, as if its changes stood in the files of the drawn one.

    Raises:
        DataError: With the problems of every arm.
    """
    (region,) = of_record(files, RegionRecord)
    arms: dict[str, Dataset] = {}
    problems: list[Problem] = []
    for name, arm in region.record.arms.items():
        if arm.is_scaled_only or (asked is not None and name not in asked):
            continue
        try:
            arms[name] = _other_arm(name, arm, region.root.at(("arms", name)), dataset, files)
        except DataError as error:
            problems += error.problems
    _stop_at(problems)
    return arms


def _other_arm(name: str, arm: ReferenceArm, root: Node, dataset: Dataset, files: Files) -> Dataset:
    drawn = {file.name: file.root for file in files if isinstance(file.record, DRAWING)}
    changed, problems = draw_otherwise(drawn, name, arm, root)
    _stop_at(problems)
    read, unread, problems = _records(changed, ())
    core = [file for file in files if file.name not in changed and type(file.record) in CORE.values()]
    together = sorted(core + read, key=lambda file: file.name)
    # A file that the arm leaves alone may name a structure that the arm takes out.
    named = drawn if None in arm.structures.values() else ()
    together, found = check_files(together, (), unread=unread, changed=changed, named=named)
    _stop_at([_in_arm(problem, root.mark) for problem in problems + found])
    of_arm = joined(together, (), folder=dataset.folder, words=dataset.words, word_places={})
    return replace(
        of_arm,
        parts=dataset.parts,
        files=dataset.files,
        arm=name,
        places=dataset.places | of_arm.places,
        language=dataset.language,
    )


def _in_arm(problem: Problem, arm: Mark) -> Problem:
    """Return a problem of an arm at its own file: what it points at elsewhere is right in the drawn arm."""
    if problem.file == arm.file:
        return problem
    return Problem(arm.file, 1, 1, f"in this arm {problem.text} (at {problem.file}:{problem.line})")

"""A data folder, and overlays upon it, to one checked ``Dataset``. The only place that opens data files.

Problems of all files are collected: what cannot be read is left out, and the checks go on with the rest, except
those that would then speak of what merely could not be read.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from wristward.data.arms import ARM_FILES, draw_otherwise, gather_arms
from wristward.data.checks.drawing import check_drawing, normalised
from wristward.data.checks.folders import check_folders, in_the_other, is_drawn, named_heights
from wristward.data.checks.names import (
    check_catalogue_kinds,
    check_level_kinds,
    check_references,
    check_twice,
)
from wristward.data.checks.part import Part
from wristward.data.checks.plain import check_plain
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
from wristward.data.checks.spoken import check_spoken, spoken_keys
from wristward.data.dataset import Dataset
from wristward.data.parts import PARTS
from wristward.data.reading.faults import read_record
from wristward.data.reading.folder import fits, list_files, read_bytes, shown_name
from wristward.data.reading.loaded import Loaded
from wristward.data.reading.overlay import merge, without_nulls
from wristward.data.reading.overrides import Override, new_file, overrides
from wristward.data.reading.tree import Mark, Node, read_yaml
from wristward.data.records.level import KNOT_FILES, LEVEL_FILES, LevelRecord
from wristward.data.records.record import Record
from wristward.data.records.region import ReferenceArm, RegionRecord
from wristward.data.records.relation import RelationsFile
from wristward.data.records.source import SourcesFile
from wristward.data.records.structure import StructuresFile
from wristward.data.words.catalogue import Catalogue
from wristward.data.words.languages import ENGLISH, WORDS, check_language_name, is_words, languages_in
from wristward.data.words.traced import AskedWords
from wristward.data.words.translate import told_words, translated
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


def read_dataset(
    folder: str | Path,
    overlays: Sequence[str | Path] = (),
    *,
    parts: Sequence[Part] = PARTS,
    language: str = ENGLISH,
    every_language: bool = False,
) -> Dataset:
    """Read and check a data folder.

    Args:
        folder: The data folder (``wristward.locate.where_is_data()`` for the shipped one).
        overlays: Folders laid over it in this order; a file changes the file of the same name below it.
        parts: Further files the folder may hold.
        language: What readers are spoken to in; what it does not say is said in English.
        every_language: Whether the words of all other languages are read and checked as well.

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
    reading = _Reading(
        folders[0], folders[1:], parts, language=language, languages=known if every_language else [language]
    )
    dataset = reading.read()
    if reading.problems:
        raise DataError(reading.problems)
    return dataset


class _Reading:
    """One run over the files; collects problems."""

    def __init__(
        self, folder: Path, overlays: list[Path], parts: Sequence[Part], *, language: str, languages: Iterable[str]
    ) -> None:
        self.folder, self.overlays, self.parts = folder, overlays, parts
        self.problems: list[Problem] = []
        self.catalogue = Catalogue(language, languages, self.problems)
        self.unread: set[str] = set()
        """Names of files without a record."""
        self.overrides: list[Override] = []
        self.named: dict[str, frozenset[float]] = {}
        """Which heights had a name for readers when a file of levels/ or knots/ was laid."""

    def read(self) -> Dataset | None:
        trees, paths = self._trees()
        if not trees:
            return None
        self.problems += gather_arms(trees)
        files = self._records({name: root for name, root in trees.items() if not is_words(name)})
        places = self.catalogue.put_together(trees)
        self._check(files)
        if self.problems:
            return None
        words = AskedWords(self._said(files), places)
        dataset = self._dataset(files, words=words, places=places, paths=paths)
        dataset = replace(dataset, language=self.catalogue.language, fallbacks=self.catalogue.fallbacks())
        if not self.problems:
            dataset = self._with_arms(dataset, files)
        return dataset if self.problems else translated(dataset)

    # Files to trees

    def _trees(self) -> tuple[dict[str, Node], list[Path]]:
        patterns = [*CORE, ARM_FILES, *WORDS, *(part.file for part in self.parts)]
        trees: dict[str, Node] = {}
        paths: list[Path] = []
        for number, folder in enumerate([self.folder, *self.overlays]):
            files, problems = list_files(folder, patterns)
            self.problems += problems
            for name, path in files.items():
                if is_words(name):
                    shown = f"{shown_name(folder)}/{name}"
                    self.problems += check_language_name(name, shown)
                    if not self.catalogue.reads(name):
                        continue
                paths.append(path)
                self._lay(trees, name, self._tree(path, f"{shown_name(folder)}/{name}", name), over=number > 0)
            heights = named_heights(trees.get("region.yaml"))
            self.named |= {name: heights for name in files if is_drawn(name) and name not in self.named}
            if number == 0 and not problems:
                self._check_needed(files)
        return dict(sorted(trees.items())), sorted(paths)

    def _tree(self, path: Path, shown: str, name: str) -> Node | None:
        data, problems = read_bytes(path, shown)
        root = None
        if not problems:
            root, problems = read_yaml(data, file=shown)
        if root is not None:
            problems = [*problems, *check_plain(root, words=is_words(name))]
        self.problems += problems
        if root is None:
            self.unread.add(name)
        return root

    def _lay(self, trees: dict[str, Node], name: str, root: Node | None, *, over: bool) -> None:
        if root is None:
            return
        other = in_the_other(name)
        if over and other in trees and name not in trees:
            text = f"what lies below it here is {other} (allowed: {other})"
            self.problems.append(Problem(root.mark.file, 1, 1, text))
            return
        if over:
            self.overrides += overrides(trees[name], root) if name in trees else [new_file(root)]
        if is_words(name):
            self.catalogue.take(name, root, over=trees if over else None)
        if name not in trees:
            # In an arm's file null takes out what the drawn arm has, whether or not the file lies in an overlay.
            trees[name] = without_nulls(root) if self.overlays and not fits(name, ARM_FILES) else root
            return
        trees[name], problems = merge(trees[name], root)
        self.problems += problems

    def _check_needed(self, files: Iterable[str]) -> None:
        for pattern in NEEDED:
            if not any(fits(name, pattern) for name in files):
                self.problems.append(Problem(shown_name(self.folder), 1, 1, f"'{pattern}' is missing"))

    def _said(self, files: list[Loaded]) -> dict[str, str]:
        """Return the words that readers are told, by key."""
        by_name = {file.name: file for file in files}
        parts = {part.name: by_name[part.file] for part in self.parts if part.file in by_name}
        region, sources = by_name["region.yaml"], by_name["sources.yaml"].record.sources
        relations = [one for file in _of(files, RelationsFile) for one in file.record.relations]
        records = {name: file.record for name, file in parts.items()}
        return self.catalogue.said(
            spoken=spoken_keys(parts | {"region": region}),
            told=told_words(region.record, relations, sources, records),
        )

    # Trees to records

    def _records(self, trees: dict[str, Node]) -> list[Loaded]:
        files = []
        for name, root in trees.items():
            record, problems = read_record(self._model(name), root)
            # A value the reader refused has no value: its type was not the author's mistake.
            told = {(problem.file, problem.line, problem.col) for problem in self.problems}
            self.problems += [p for p in problems if (p.file, p.line, p.col) not in told]
            if record is None:
                self.unread.add(name)
            else:
                files.append(Loaded(name=name, root=root, record=record))
        return files

    def _model(self, name: str) -> type[Record]:
        for part in self.parts:
            if name == part.file:
                return part.record
        return next(record for pattern, record in CORE.items() if fits(name, pattern))

    # Checks across files

    def _check(
        self, files: list[Loaded], *, changed: Collection[str] | None = None, named: Collection[str] = ()
    ) -> None:
        """Check the files; of an arm's only those it ``changed``, and in those ``named`` whether names resolve.

        How the files fit together is checked of all.
        """
        catalogue, levels = _of(files, StructuresFile), _of(files, LevelRecord)
        structures = {name: record for file in catalogue for name, record in file.record.structures.items()}
        sources = {key: record for file in _of(files, SourcesFile) for key, record in file.record.sources.items()}
        known = self._known(files, structures=structures, sources=sources)
        fresh = {file.name for file in files} if changed is None else set(changed)
        for file in list(files):
            if file.name in fresh or file.name in named:
                self.problems += check_references(file, known)
            if "source" in known and file.name in fresh:
                settled, problems = settle_sources(file, sources)
                self.problems += problems
                files[files.index(file)] = replace(file, record=settled)
        self.problems += check_twice(catalogue, "structures")
        for file in [file for file in levels if file.name in fresh]:
            self.problems += check_level_kinds(file, structures) + check_drawing(file)
        for file in catalogue:
            self.problems += check_catalogue_kinds(file, structures) + check_courses(file)
        self.problems += check_knots(levels, structures)
        self.problems += check_circles(catalogue)
        if not any(name.startswith(("levels/", "knots/", "structures/")) for name in self.unread):
            self.problems += check_drawn(catalogue, levels)
        for file in _of(files, RegionRecord):
            self.problems += check_landmarks(file) + check_heights(levels, file.record)
            if changed is None:
                self.problems += check_folders(levels, file.record, self.named)
            for relations in _of(files, RelationsFile):
                self.problems += check_ranges(relations, file.record)

    def _known(self, files: list[Loaded], *, structures: dict, sources: dict) -> dict[str, Iterable[str]]:
        """Return the ids of each kind whose files could all be read."""
        known: dict[str, Iterable[str]] = {"structure": structures, "source": sources}
        for file in _of(files, RegionRecord):
            known["landmark"] = file.record.landmarks
        for name in self.unread:
            if name.startswith("structures/"):
                known.pop("structure", None)
            if name == "sources.yaml":
                known.pop("source", None)
        for part in self.parts:
            here = [file for file in files if file.name == part.file]
            for kind in part.defines if part.file not in self.unread else ():
                known[kind] = [name for file in here for name in part.names(file.record, kind)]
        return known

    # Records to the dataset

    def _dataset(self, files: list[Loaded], *, words: dict, places: dict, paths: list[Path]) -> Dataset | None:
        region = _of(files, RegionRecord)[0]
        relations = _of(files, RelationsFile)
        catalogue = _of(files, StructuresFile)
        bibliography = _of(files, SourcesFile)[0]
        drawn = sorted(_of(files, LevelRecord), key=lambda file: -file.record.z_mm)
        named = {one.z_mm for one in region.record.level_names}
        places = {("word", key): mark for key, mark in places.items()}
        places |= {("level", file.record.z_mm): file.root.at(("z_mm",)).mark for file in drawn}
        for file in catalogue:
            places |= _key_places(file, "structure", "structures")
        places |= _key_places(bibliography, "source", "sources")
        places |= _key_places(region, "landmark", "landmarks") | _key_places(region, "arm", "arms")
        for name, arm in region.record.arms.items():
            for index, lifted in enumerate(arm.lifts):
                places["lift", f"{name} {lifted}"] = region.root.at(("arms", name, "lifts", index)).mark
        for file in relations:
            for index, relation in enumerate(file.record.relations):
                places["relation", relation.id] = file.root.at(("relations", index)).mark
        by_name = {file.name: file for file in files}
        parts = {part.name: by_name[part.file] for part in self.parts if part.file in by_name}
        for part in self.parts:
            for kind in part.defines if part.name in parts else ():
                file = parts[part.name]
                for name, path in part.names(file.record, kind).items():
                    places[kind, name] = file.key_mark(path)
        dataset = Dataset(
            folder=self.folder,
            region=region.record,
            levels=tuple(normalised(file.record) for file in drawn if file.record.z_mm in named),
            knots=tuple(normalised(file.record) for file in drawn if file.record.z_mm not in named),
            structures={name: record for file in catalogue for name, record in file.record.structures.items()},
            relations=tuple(relation for file in relations for relation in file.record.relations),
            sources=bibliography.record.sources,
            words=words,
            parts={name: file.record for name, file in parts.items()},
            places=places,
            files=tuple(paths),
            overrides=tuple(self.overrides),
        )
        for part in self.parts:
            if part.name in parts and part.check is not None:
                file = parts[part.name]
                self.problems += [file.problem(path, text) for path, text in part.check(file.record, dataset)]
        self.problems += check_spoken(parts | {"region": region}, words)
        return dataset

    # Other arms

    def _with_arms(self, dataset: Dataset, files: list[Loaded]) -> Dataset:
        """Read each arm that draws something otherwise, as if its changes stood in the files of the drawn one."""
        (region,) = _of(files, RegionRecord)
        arms = {}
        for name, arm in region.record.arms.items():
            if not arm.is_scaled_only:
                arms[name] = self._arm(name, arm, region.root.at(("arms", name)), dataset, files)
        return replace(dataset, arms=arms)

    def _arm(self, name: str, arm: ReferenceArm, root: Node, dataset: Dataset, files: list[Loaded]) -> Dataset | None:
        drawn = {file.name: file.root for file in files if isinstance(file.record, DRAWING)}
        changed, problems = draw_otherwise(drawn, name, arm, root)
        reading = _Reading(self.folder, self.overlays, (), language=ENGLISH, languages=())
        if not problems:
            read = reading._records(changed)
            core = [file for file in files if file.name not in changed and type(file.record) in CORE.values()]
            together = sorted(core + read, key=lambda file: file.name)
            # A file that the arm leaves alone may name a structure that the arm takes out.
            named = drawn if None in arm.structures.values() else ()
            reading._check(together, changed=changed, named=named)
            problems = [_in_arm(problem, root.mark) for problem in reading.problems]
        self.problems += problems
        if problems:
            return None
        of_arm = reading._dataset(together, words=dataset.words, places={}, paths=[])
        return replace(
            of_arm,
            parts=dataset.parts,
            files=dataset.files,
            arm=name,
            places=dataset.places | of_arm.places,
            language=dataset.language,
        )


DRAWING = (LevelRecord, StructuresFile, RelationsFile)
"""What an arm may change."""


def _in_arm(problem: Problem, arm: Mark) -> Problem:
    """Return a problem of an arm at its own file: what it points at elsewhere is right in the drawn arm."""
    if problem.file == arm.file:
        return problem
    return Problem(arm.file, 1, 1, f"in this arm {problem.text} (at {problem.file}:{problem.line})")


def _of(files: Iterable[Loaded], record: type[Record]) -> list[Loaded]:
    return [file for file in files if isinstance(file.record, record)]


def _key_places(file: Loaded, kind: str, key: str) -> dict[tuple[str, str], Mark]:
    return {(kind, name): file.key_mark((key, name)) for name in getattr(file.record, key)}

"""Whether what a course adds has its words: a page names every operation, case, branch, territory, variant and arm."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from wristward.data.reading.loaded import Loaded
from wristward.data.reading.tree import KeyPath
from wristward.data.records.branch import BranchesFile
from wristward.data.records.record import Record
from wristward.data.records.region import RegionRecord
from wristward.data.records.scenario import OperationsFile, TerritoriesFile
from wristward.data.records.teaching import HandMapFile, TeachingFile
from wristward.errors import Problem, one_of


def check_spoken(parts: Mapping[str, Loaded[Record]], words: Mapping[str, str]) -> list[Problem]:
    """Return a problem for each entry without its words, at the entry.

    A catalogue that has no words of a kind at all shows no such pages, and is not asked for them.
    """
    problems = []
    kinds = {_kind(key) for key in words if key.count(".") > 1}
    for name, loaded in parts.items():
        for path, ways in _SPOKEN.get(name, _nothing)(loaded.record):
            if any(_kind(way) in kinds for way in ways) and not any(way in words for way in ways):
                name = ways[0].rpartition(".")[2]
                text = f"'{name}' has no words for readers (allowed: {one_of(ways)} in reader/en/)"
                problems.append(loaded.key_problem(path, text))
    return problems


def _kind(key: str) -> tuple[str, ...]:
    return tuple(key.split(".")[:2])


def spoken_keys(parts: Mapping[str, Loaded[Record]]) -> set[str]:
    """Return every key by which an entry of the data may be named: a course may name its own in its language alone."""
    return {
        way for name, loaded in parts.items() for _, ways in _SPOKEN.get(name, _nothing)(loaded.record) for way in ways
    }


Spoken = Iterator[tuple[KeyPath, tuple[str, ...]]]
"""Path of an entry, and the dotted keys of which one must be among the words."""


def _nothing(file: Record) -> Spoken:
    return iter(())


def _operations(file: OperationsFile) -> Spoken:
    for id_, operation in file.operations.items():
        yield ("operations", id_), (f"quiz.operation.{id_}",)
        yield ("operations", id_, "cuff", "site"), (f"teach.cuff_site.{operation.cuff.site}",)


def _cases(file: TeachingFile) -> Spoken:
    for index, case in enumerate(file.cases):
        yield ("cases", index, case.operation), (f"teach.case.{case.operation}",)
    for index, record in enumerate(file.look_alikes):
        yield ("look_alikes", index, record.id), (f"teach.look_alike.{record.id}",)


def _hand_map(file: HandMapFile) -> Spoken:
    letters = [*file.signs.values()]
    for nerve, letter in file.signs.items():
        if letters.count(letter) > 1:
            yield ("signs", nerve), (f"teach.hand.shared.{letter}",)


def _branches(file: BranchesFile) -> Spoken:
    for id_, branch in file.branches.items():
        yield ("branches", id_), (f"block.event.{id_}",)
        for index, study in enumerate(branch.studies):
            yield ("branches", id_, "studies", index, "of"), (f"teach.of.{study.of}",)
    for index, statement in enumerate(file.practice):
        for key in ("about", "found"):
            yield ("practice", index, "finding"), (f"block_levels.practice.{key}.{statement.finding}",)
    for id_, variant in file.variants.items():
        yield ("variants", id_), (f"teach.variant.{id_}",)
        for index, study in enumerate(variant.studies):
            yield ("variants", id_, "studies", index, "of"), (f"teach.of.{study.of}",)


def _territories(file: TerritoriesFile) -> Spoken:
    for id_ in file.territories:
        yield ("territories", id_), (f"block.territory.{id_}", f"quiz.territory.{id_}")
    for id_, factor in file.factors.items():
        for name in factor.alternatives:
            yield ("factors", id_, "alternatives", name), (f"teach.alternative.{id_}.{name}",)


def _region(file: RegionRecord) -> Spoken:
    for axis, ends in (("x", file.frame.x), ("y", file.frame.y)):
        for end in ("plus", "minus"):
            yield ("frame", axis, end), (f"figure.compass.{getattr(ends, end)}",)
    for said in ("title", "description"):
        yield ("travel",), (f"site.{file.travel}.{said}",)
    for way in file.frame.eighths():
        yield ("frame",), (f"figure.way.{way}",)
    for id_ in file.asked_stretches():
        for topic in ("kind", "topic"):
            yield ("stretches", id_), (f"quiz.{topic}.{id_}",)
    for id_ in file.compartments:
        yield ("compartments", id_), (f"figure.compartment.{id_}",)
        yield ("compartments", id_), (f"site.compartments.{id_}",)
    for id_, arm in file.arms.items():
        yield ("arms", id_), (f"figure.arm.{id_}",)
        yield ("arms", id_), (f"client.arms.name.{id_}",)
        if not arm.is_scaled_only:
            yield ("arms", id_), (f"arms.differs.{id_}",)
        for index, relation in enumerate(arm.lifts):
            yield ("arms", id_, "lifts", index), (f"arms.lifts.{id_}.{relation}",)


_SPOKEN: dict[str, Callable[[Any], Spoken]] = {
    "operations": _operations,
    "teaching": _cases,
    "hand_map": _hand_map,
    "branches": _branches,
    "territories": _territories,
    "region": _region,
}

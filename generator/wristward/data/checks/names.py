"""Every name resolves, and to the right kind of thing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wristward.data.kinds import KNOT_MAPS
from wristward.data.reading.loaded import Loaded
from wristward.data.reading.tree import KeyPath
from wristward.data.records.level import LevelRecord, MuscleKnot, Wrap
from wristward.data.records.record import Record, key_references, references
from wristward.data.records.structure import StructureRecord, StructuresFile
from wristward.errors import Problem, unknown

_UNDER = {kind: group for group, kinds in KNOT_MAPS.items() for kind in kinds}
_ARTICLE = {"artery": "an artery"}


def check_references(file: Loaded[Record], known: Mapping[str, Iterable[str]]) -> list[Problem]:
    """Return a problem for each name that refers to nothing.

    Args:
        file: The file.
        known: Kind → ids. A kind that is not listed could not be read, and is not checked.
    """
    problems = [
        file.problem(path, unknown(kind, name, known[kind]))
        for path, kind, name in references(file.record)
        if kind in known and name not in known[kind]
    ]
    problems += [
        file.key_problem(path, unknown(kind, name, known[kind]))
        for path, kind, name in key_references(file.record)
        if kind in known and name not in known[kind]
    ]
    return problems


def check_level_kinds(file: Loaded[LevelRecord], structures: Mapping[str, StructureRecord]) -> list[Problem]:
    """Return a problem for each knot that stands under the wrong map, is a group, or wraps what is no bone."""
    problems = []
    for group, kinds in KNOT_MAPS.items():
        for name, knot in file.record.group(group).items():
            record = structures.get(name)
            if record is None:
                continue
            path = (group, name)
            if record.kind not in kinds:
                text = f"'{name}' is {_a(record.kind)} and belongs under '{_UNDER[record.kind]}', not '{group}'"
                problems.append(file.key_problem(path, text))
            elif record.is_group:
                text = f"'{name}' is a group and is not drawn (allowed: its parts {', '.join(record.parts)})"
                problems.append(file.key_problem(path, text))
            bone = knot.spine.wrap if isinstance(knot, MuscleKnot) and isinstance(knot.spine, Wrap) else None
            if bone is not None and bone in structures and structures[bone].kind != "bone":
                problems.append(_wrong(file, (*path, "spine", "wrap"), bone, structures, ("bone",)))
    return problems


def check_catalogue_kinds(file: Loaded[StructuresFile], structures: Mapping[str, StructureRecord]) -> list[Problem]:
    """Return a problem for each reference between structures that makes no sense."""
    problems = []
    for name, record in file.record.structures.items():
        at = ("structures", name)
        for path, kind, other in references(record):
            if kind == "structure" and other == name:
                problems.append(file.problem((*at, *path), f"'{name}' names itself"))
        for index, supply in enumerate(record.supply):
            if supply.nerve in structures and structures[supply.nerve].kind != "nerve":
                problems.append(_wrong(file, (*at, "supply", index, "nerve"), supply.nerve, structures, ("nerve",)))
        shares = sum(supply.share for supply in record.supply)
        if shares and abs(shares - 1) > 0.011:
            text = f"the shares of the supply sum to {shares:.3g}, must sum to 1"
            problems.append(file.problem((*at, "supply"), text))
        problems += _check_group(file, name, structures)
        part_of, wanted = record.part_of, _WHOLE.get(record.kind, ())
        if part_of is not None and part_of in structures and part_of != name and structures[part_of].kind not in wanted:
            problems.append(_wrong(file, (*at, "part_of"), part_of, structures, wanted))
    return problems


_WHOLE = {
    "sheet": ("muscle",),
    "muscle": ("muscle",),
    "tendon": ("muscle",),
    "nerve": ("nerve",),
    "artery": ("artery",),
    "vein": ("vein",),
}


def _check_group(file: Loaded[StructuresFile], name: str, structures: Mapping[str, StructureRecord]) -> list[Problem]:
    """Hold ``parts`` of a group and ``part_of`` of its parts to one another."""
    record = structures[name]
    problems = []
    for index, part in enumerate(record.parts):
        if part in structures and part != name and structures[part].part_of != name:
            text = f"'{part}' is a part here, but has no 'part_of: {name}'"
            problems.append(file.problem(("structures", name, "parts", index), text))
    whole = structures.get(record.part_of) if record.part_of is not None else None
    if record.kind == "muscle" and whole is not None and whole.is_group and name not in whole.parts:
        text = f"'{record.part_of}' does not list '{name}' among its parts"
        problems.append(file.problem(("structures", name, "part_of"), text))
    return problems


def check_twice(files: Iterable[Loaded[StructuresFile]]) -> list[Problem]:
    """Return a problem for each structure that two files define."""
    first: dict[str, Loaded[StructuresFile]] = {}
    problems = []
    for file in files:
        for name in file.record.structures:
            if name in first:
                mark, at = first[name].key_mark(("structures", name)), ("structures", name)
                problems.append(file.key_problem(at, f"'{name}' is also defined at {mark.file}:{mark.line}"))
            first.setdefault(name, file)
    return problems


def _wrong(
    file: Loaded[Record], path: KeyPath, name: str, structures: Mapping[str, StructureRecord], kinds: tuple[str, ...]
) -> Problem:
    fit = " or ".join(_a(kind) for kind in kinds)
    return file.problem(path, f"'{name}' is {_a(structures[name].kind)} (allowed: {fit})")


def _a(kind: str) -> str:
    return _ARTICLE.get(kind, f"a {kind}")

"""What stands in levels, courses and company fits the stretch of arm each structure is present in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wristward.data.kinds import KNOT_MAPS
from wristward.data.reading.loaded import Loaded
from wristward.data.reading.tree import KeyPath
from wristward.data.records.level import LevelRecord, MuscleKnot, Wrap
from wristward.data.records.region import RegionRecord
from wristward.data.records.relation import RelationsFile
from wristward.data.records.structure import Companion, StructureRecord, StructuresFile
from wristward.errors import Problem

BEYOND_MM = 60.0
"""Landmarks may lie this far beyond the creases: a condyle above, a carpal bone below."""


HINT_MM = 15.0
"""A knot may stand this far beyond its structure's end, as a hint of where it is heading."""


def check_heights(levels: Iterable[Loaded[LevelRecord]], region: RegionRecord) -> list[Problem]:
    """Return a problem for each level outside the region and for each that shares its height with another."""
    top = region.reference_length_mm
    first: dict[float, Loaded[LevelRecord]] = {}
    problems = []
    for file in levels:
        z = file.record.z_mm
        if not 0 <= z <= top:
            problems.append(file.problem(("z_mm",), f"z_mm is {z:g}, outside the region (allowed: 0 to {top:g})"))
        if z in first:
            mark = first[z].root.at(("z_mm",)).mark
            problems.append(file.problem(("z_mm",), f"z_mm {z:g} is also that of {mark.file}:{mark.line}"))
        first.setdefault(z, file)
    return problems


def check_ranges(relations: Loaded[RelationsFile], region: RegionRecord) -> list[Problem]:
    """Return a problem for each relation asked outside the region, and each id used twice."""
    top = region.reference_length_mm
    problems = []
    first: dict[str, int] = {}
    for index, relation in enumerate(relations.record.relations):
        low, high = relation.z_mm
        if low < 0 or high > top:
            text = f"z_mm [{low:g}, {high:g}] of '{relation.id}' leaves the region (allowed: 0 to {top:g})"
            problems.append(relations.problem(("relations", index, "z_mm"), text))
        if relation.id in first:
            mark = relations.root.at(("relations", first[relation.id], "id")).mark
            text = f"id '{relation.id}' is also that of {mark.file}:{mark.line}"
            problems.append(relations.problem(("relations", index, "id"), text))
        first.setdefault(relation.id, index)
    return problems


def check_landmarks(file: Loaded[RegionRecord]) -> list[Problem]:
    """Return a problem for each landmark or named height far outside the region, and each stretch that leaves it."""
    region, top = file.record, file.record.reference_length_mm
    near = (-BEYOND_MM, top + BEYOND_MM)
    heights: list[tuple[KeyPath, float, tuple[float, float]]]
    heights = [(("landmarks", name, "z_mm"), landmark.z_mm, near) for name, landmark in region.landmarks.items()]
    for name, stretch in region.stretches.items():
        heights += [(("stretches", name, "z_mm", k), z, (0.0, top)) for k, z in enumerate(stretch.z_mm)]
    heights += [(("level_names", index, "z_mm"), named.z_mm, near) for index, named in enumerate(region.level_names)]
    return [
        file.problem(path, f"z_mm is {z:g}, outside the region (allowed: {low:g} to {high:g})")
        for path, z, (low, high) in heights
        if not low <= z <= high
    ]


def check_knots(levels: Iterable[Loaded[LevelRecord]], structures: Mapping[str, StructureRecord]) -> list[Problem]:
    """Return a problem for each knot well beyond its structure's ends, and each round a bone that is not cut there."""
    problems = []
    for file in levels:
        z = file.record.z_mm
        for group in KNOT_MAPS:
            for name, knot in file.record.group(group).items():
                ends = _missed(structures.get(name), z, margin_mm=HINT_MM)
                if ends is not None:
                    text = f"'{name}' is drawn at z {z:g} mm, but is present from {ends} only"
                    problems.append(file.key_problem((group, name), text))
                bone = knot.spine.wrap if isinstance(knot, MuscleKnot) and isinstance(knot.spine, Wrap) else None
                ends = _missed(structures.get(bone), z) if bone is not None else None
                if ends is not None:
                    text = f"bone '{bone}' is not cut at z {z:g} mm (present from {ends})"
                    problems.append(file.problem((group, name, "spine", "wrap"), text))
    return problems


def check_drawn(files: Iterable[Loaded[StructuresFile]], levels: Iterable[Loaded[LevelRecord]]) -> list[Problem]:
    """Return a problem for each structure that no level draws and nothing else places, and for mixed sheets."""
    drawn: dict[str, list[Loaded[LevelRecord]]] = {}
    for level in levels:
        for name in level.record.knots():
            drawn.setdefault(name, []).append(level)
    problems = []
    for file in files:
        for name, record in file.record.structures.items():
            at = ("structures", name)
            if name in drawn or record.is_group:
                continue
            if not record.beside:
                by = " and has no 'beside' to place it" if isinstance(record, Companion) else ""
                problems.append(file.key_problem(at, f"'{name}' is drawn at no level{by}"))
            elif record.diameter_mm is None:
                text = f"'{name}' is placed by 'beside' alone, so 'diameter_mm' is missing"
                problems.append(file.key_problem(at, text))
    return problems + _mixed_sheets(drawn)


def _mixed_sheets(drawn: Mapping[str, list[Loaded[LevelRecord]]]) -> list[Problem]:
    """One sheet is drawn by lines or along the fascia, not here so and there otherwise: nothing lies between."""
    problems = []
    for name, places in drawn.items():
        forms = [level.record.sheets[name].line is not None for level in places if name in level.record.sheets]
        for level, form in zip(places, forms, strict=False):
            if form != forms[0]:
                first = places[0].key_mark(("sheets", name))
                here = "line" if form else "stretch along_fascia"
                text = f"'{name}' has a {here} here, but not at {first.file}:{first.line}"
                problems.append(level.key_problem(("sheets", name), text))
    return problems


def check_courses(file: Loaded[StructuresFile]) -> list[Problem]:
    """Return a problem for each run out of order, overlapping the next, or wholly where the structure is not."""
    problems = []
    for name, record in file.record.structures.items():
        at = ("structures", name)
        runs = record.course
        for index, run in enumerate(runs):
            top_mm, low_mm = record.ends_mm()
            if run.from_z_mm <= low_mm or run.to_z_mm >= top_mm:
                text = f"this run lies where '{name}' is not (present from {_ends(record)})"
                problems.append(file.problem((*at, "course", index), text))
            if index and run.from_z_mm > runs[index - 1].to_z_mm:
                text = (
                    f"from_z_mm is {run.from_z_mm:g}, must be at most {runs[index - 1].to_z_mm:g}, "
                    "where the run before it ends"
                )
                problems.append(file.problem((*at, "course", index, "from_z_mm"), text))
    return problems


def check_circles(files: Iterable[Loaded[StructuresFile]]) -> list[Problem]:
    """Return a problem for each circle of structures that wait for one another's place at some height."""
    company: dict[str, list[tuple[str, float, float, Loaded[StructuresFile], int]]] = {}
    for file in files:
        for name, record in file.record.structures.items():
            for index, beside in enumerate(record.beside):
                top_mm, low_mm = record.ends_mm()
                top = top_mm if beside.from_z_mm is None else beside.from_z_mm
                low = low_mm if beside.to_z_mm is None else beside.to_z_mm
                company.setdefault(name, []).append((beside.structure, low, top, file, index))
    heights = sorted({z for entries in company.values() for entry in entries for z in entry[1:3]}, reverse=True)
    found: dict[tuple[str, ...], float] = {}
    for z in heights:
        here = {name: [e[0] for e in entries if e[1] <= z <= e[2]] for name, entries in sorted(company.items())}
        circle = _circle(here)
        if circle is not None:
            found.setdefault(circle, z)
    problems = []
    for circle, z in found.items():
        after = (*circle, circle[0])[1]
        _, _, _, file, index = next(e for e in company[circle[0]] if e[0] == after and e[1] <= z <= e[2])
        text = f"{' is beside '.join((*circle, circle[0]))}: a circle at z {z:g} mm (let one be placed by its hint)"
        problems.append(file.problem(("structures", circle[0], "beside", index, "structure"), text))
    return problems


def _circle(company: Mapping[str, list[str]]) -> tuple[str, ...] | None:
    """Return one circle of names, beginning with its first in the alphabet, or None."""
    done: set[str] = set()
    for start in company:
        path: list[str] = []
        waiting = [(start, 0)]
        while waiting:
            name, depth = waiting.pop()
            del path[depth:]
            if name in path:
                circle = path[path.index(name) :]
                turn = circle.index(min(circle))
                return tuple(circle[turn:] + circle[:turn])
            if name in done:
                continue
            path.append(name)
            followers = company.get(name, [])
            waiting += [(other, depth + 1) for other in followers]
            if not followers:
                done.add(name)
        done.add(start)
    return None


def _missed(record: StructureRecord | None, z_mm: float, *, margin_mm: float = 0.0) -> str | None:
    """Return from where to where a structure is present, in words, if a height is beyond that; else None."""
    if record is None or record.is_group:
        return None
    top_mm, low_mm = record.ends_mm()
    return None if low_mm - margin_mm <= z_mm <= top_mm + margin_mm else _ends(record)


def _ends(record: StructureRecord) -> str:
    top_mm, low_mm = record.ends_mm()
    return f"z {top_mm:g} to {low_mm:g} mm"

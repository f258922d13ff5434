"""What is drawn at a level can exist: outlines do not cross, points lie in the arm, muscles have room."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import pi
from typing import TypeVar

from wristward.data.checks.ring_faults import (
    Point,
    anticlockwise,
    crossing,
    holds,
    inset_area,
    ring_area,
    ring_centroid,
)
from wristward.data.reading.loaded import Loaded
from wristward.data.reading.tree import KeyPath
from wristward.data.records.level import BoneKnot, LevelRecord, MuscleKnot, NerveKnot, Skin, TendonKnot, VesselKnot
from wristward.errors import Problem

SQUEEZE = 1.2
"""A muscle may be squeezed by a fifth before the solver must warn; beyond that no solution is left."""

Outlined = TypeVar("Outlined", Skin, BoneKnot, MuscleKnot)

Outline = tuple[Point, ...]


def check_drawing(file: Loaded[LevelRecord]) -> list[Problem]:
    """Return what is wrong with the outlines, points and areas of one level."""
    level = file.record
    problems = []
    for path, name, outline in _outlines(level):
        text = _outline_fault(outline)
        if text is not None:
            problems.append(file.problem((*path, "outline"), f"{name} at z {level.z_mm:g} mm {text}"))
    if problems or level.skin is None:
        return problems
    skin = anticlockwise(level.skin.outline)
    return _outside_skin(file, level, skin) or _no_room(file, level, skin)


def normalised(level: LevelRecord) -> LevelRecord:
    """Return the level with every outline anticlockwise and without a repeated last point."""
    bones = {name: _turned(knot) for name, knot in level.bones.items()}
    muscles = {name: _turned(knot) for name, knot in level.muscles.items()}
    skin = _turned(level.skin) if level.skin is not None else None
    return level.model_copy(update={"skin": skin, "bones": bones, "muscles": muscles})


def _turned(knot: Outlined) -> Outlined:
    if knot.outline is None:
        return knot
    return knot.model_copy(update={"outline": anticlockwise(knot.outline)})


def _outlines(level: LevelRecord) -> Iterator[tuple[KeyPath, str, Outline]]:
    if level.skin is not None:
        yield ("skin",), "the skin", level.skin.outline
    for name, bone in level.bones.items():
        yield ("bones", name), f"bone '{name}'", bone.outline
    for name, muscle in level.muscles.items():
        if muscle.outline is not None:
            yield ("muscles", name), f"muscle '{name}'", muscle.outline


def _outline_fault(outline: Outline) -> str | None:
    ring = anticlockwise(outline)
    met = crossing(ring)
    if met is not None:
        return f"crosses or touches itself near ({met[0]:.1f}, {met[1]:.1f}) mm"
    if ring_area(ring) < 0.5:
        return f"has an area of {ring_area(ring):.2f} mm², must have at least 0.5"
    if not holds(ring, ring_centroid(ring)):
        return "does not surround its own centroid"
    return None


def _outside_skin(file: Loaded[LevelRecord], level: LevelRecord, skin: Outline) -> list[Problem]:
    return [
        file.problem(path, f"'{name}' has a point ({x:g}, {y:g}) outside the skin at z {level.z_mm:g} mm")
        for path, name, (x, y) in _points(level)
        if not holds(skin, (x, y))
    ]


def _points(level: LevelRecord) -> Iterator[tuple[KeyPath, str, Point]]:
    """Yield every authored point but those of the skin."""
    outlined: tuple[tuple[str, Mapping[str, BoneKnot | MuscleKnot]], ...]
    outlined = (("bones", level.bones), ("muscles", level.muscles))
    for group, knots in outlined:
        for name, knot in knots.items():
            for index, point in enumerate(knot.outline or ()):
                yield (group, name, "outline", index), name, point
    for name, muscle in level.muscles.items():
        for index, point in enumerate(muscle.spine if isinstance(muscle.spine, tuple) else ()):
            yield ("muscles", name, "spine", index), name, point
    for name, sheet in level.sheets.items():
        for index, point in enumerate(sheet.line or ()):
            yield ("sheets", name, "line", index), name, point
    placed: tuple[tuple[str, Mapping[str, TendonKnot | NerveKnot | VesselKnot]], ...]
    placed = (("tendons", level.tendons), ("nerves", level.nerves), ("vessels", level.vessels))
    for group, discs in placed:
        for name, disc in discs.items():
            if disc.at is not None:
                yield (group, name, "at"), name, disc.at


def _no_room(file: Loaded[LevelRecord], level: LevelRecord, skin: Outline) -> list[Problem]:
    """Hold the sum of what is drawn inside the fascia to the space there is.

    Nerves and vessels given by bearing lie outside the fascia and are left out.
    """
    if level.fascia is None:
        return []
    space = inset_area(skin, level.fascia.depth_mm)
    space -= sum(ring_area(anticlockwise(bone.outline)) for bone in level.bones.values())
    wanted = sum(muscle.area_mm2 for muscle in level.muscles.values())
    wanted += sum(tendon.area_mm2 for tendon in level.tendons.values())
    wanted += sum(knot.area_mm2 for knot in level.nerves.values() if knot.at is not None)
    wanted += sum(pi * knot.diameter_mm**2 / 4 for knot in level.vessels.values() if knot.at is not None)
    if wanted <= SQUEEZE * space:
        return []
    text = (
        f"muscles, tendons, nerves and vessels at z {level.z_mm:g} mm ask for {wanted:.0f} mm², but the fascia leaves "
        f"{space:.0f} mm² beside the bones (allowed: at most {SQUEEZE * space:.0f} mm²)"
    )
    return [file.key_problem(("muscles",), text)]

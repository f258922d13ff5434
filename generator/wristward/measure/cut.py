"""One section seen by structure: which outlines a name stands for, and how its points lie to one another."""

from __future__ import annotations

import math
from collections.abc import Iterable

from wristward.measure import rings as shapes
from wristward.measure.directions import x_sign
from wristward.measure.rings import Rings
from wristward.section.section import Point, Section, Solved

PART_KINDS = ("muscle", "tendon")
"""Heads, layers and tendons are parts of their muscle; a branch of a nerve or artery is not part of its trunk."""


def members(section: Section, structure_id: str) -> tuple[Solved, ...]:
    """Return what a name stands for: the structure itself and all its parts, in drawing order."""
    return tuple(s for s in section.structures if structure_id in names_of(s))


def cut_of(section: Section, structure_id: str) -> Solved:
    """Return what is cut of a structure itself, without its parts.

    Raises:
        LookupError: If it is not cut at this height.
    """
    solved = section.find(structure_id)
    if solved is None:
        raise LookupError(f"'{structure_id}' is not cut at z {section.z_mm:g} mm")
    return solved


def rings_of(section: Section, structure_id: str) -> Rings | None:
    """Return the outlines a name stands for, or None where it is not cut."""
    return tuple(s.ring_mm for s in members(section, structure_id)) or None


def rings_of_any(section: Section, structure_ids: Iterable[str]) -> Rings | None:
    """Return the outlines of several names together, or None where none of them is cut."""
    return tuple(ring for name in structure_ids for ring in rings_of(section, name) or ()) or None


def centre_of(section: Section, structure_id: str) -> Point | None:
    """Return where a structure is: its own centre, or for a group the centre of area of its parts."""
    solved = section.find(structure_id)
    if solved is not None:
        return solved.centre_mm
    rings = rings_of(section, structure_id)
    return shapes.centroid(rings) if rings is not None else None


def bearing_between(section: Section, start: Point, end: Point) -> float:
    """Return the direction from one point to another: degrees 0 to 360, 0 along +x of a right arm, 90 along +y."""
    return math.degrees(math.atan2(end[1] - start[1], x_sign(section) * (end[0] - start[0]))) % 360.0


def middle_of(section: Section) -> Point:
    """Return the centre of area of the skin outline, from which bearings are taken, mm."""
    return shapes.centroid((section.skin_mm,))


def names_of(solved: Solved) -> set[str]:
    """Return the names that something cut answers to: its own, and its muscle's where it is a part of one."""
    whole = solved.part_of if solved.kind in PART_KINDS else None
    return {solved.id} if whole is None else {solved.id, whole}

"""Depth, bearing, gaps, neighbours and areas of what a section cuts.

All lengths are mm of the drawn model, uncompressed. Nothing here decides whether anatomy is right
(``relations``) or says it in words (the catalogue of words does).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from wristward.data.kinds import StructureKind
from wristward.measure import rings as shapes
from wristward.measure.cut import (
    bearing_between,
    centre_of,
    middle_of,
    names_of,
    rings_of,
)
from wristward.measure.directions import eighth_of
from wristward.measure.rings import Rings
from wristward.measure.together import Span, Together
from wristward.section.section import Layer, Point, Section

NEIGHBOURS = 3
UP: Point = (0.0, 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Neighbour:
    """Another structure near one."""

    id: str
    gap_mm: float
    """Edge to edge, to 0.1 mm."""

    bearing_deg: float
    """From the structure to this neighbour, centre to centre, whole degrees."""

    eighth: int
    """The bearing as an eighth of a turn."""

    between: tuple[str, ...]
    """Structures that the shortest line between the two runs through, sorted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StructureMeasure:
    """What the words, the table and the command line say of one structure at one height. Lengths to 0.1 mm."""

    id: str
    kind: StructureKind
    tissue: StructureKind
    layer: Layer
    depth_mm: float
    straight_depth_mm: float
    bearing_deg: float
    eighth: int
    """The bearing as an eighth of a turn, which the region's frame names."""

    area_mm2: float
    neighbours: tuple[Neighbour, ...]
    partner: str | None
    partner_gap_mm: float | None


def bearing_deg(section: Section, structure_id: str) -> float:
    """Return the direction of a structure's centre from the centre of area of the skin outline.

    Returns:
        Degrees, 0 to 360, anticlockwise as on the picture of a right arm: 0 along +x, 90 along +y. A left arm is
        mirrored first, so the number means the same there.

    Raises:
        LookupError: If the structure is not cut at this height.
    """
    return bearing_between(section, middle_of(section), _centre(section, structure_id))


def gap_mm(section: Section, first: str, second: str) -> float:
    """Return the distance between two structures from edge to edge, mm; 0 where they touch or overlap.

    Raises:
        LookupError: If either is not cut at this height.
    """
    return shapes.distance_mm(_rings(section, first), _rings(section, second))


def centre_distance_mm(section: Section, first: str, second: str) -> float:
    """Return the distance between the centres of two structures, mm.

    Raises:
        LookupError: If either is not cut at this height.
    """
    (ax, ay), (bx, by) = _centre(section, first), _centre(section, second)
    return float(np.hypot(ax - bx, ay - by))


def measure_section(
    section: Section, *, partners: Mapping[str, str] | None = None, count: int = NEIGHBOURS
) -> tuple[StructureMeasure, ...]:
    """Measure every structure of a section, in its drawing order, rounded to 0.1 mm.

    Args:
        section: The cut.
        partners: Structure to the partner whose gap is given, from the catalogue.
        count: Neighbours of each.
    """
    partners, solved = partners or {}, section.structures
    if not solved:
        return ()
    cut = _Cut.of(section)
    shapes, centres = cut.shapes, [one.centre_mm for one in solved]
    middle, areas, depths = middle_of(section), shapes.areas_mm2(), shapes.far_from_edge_mm(section.skin_mm)
    skin, own = shapes.spans(centres, UP, of=section.skin_mm), shapes.spans(centres, UP)
    neighbours = _neighbours(section, cut, count)
    found = []
    for k, one in enumerate(solved):
        bearing, partner = bearing_between(section, middle, one.centre_mm), partners.get(one.id)
        partner = partner if partner in cut.named else None
        found.append(
            StructureMeasure(
                id=one.id,
                kind=one.kind,
                tissue=one.tissue,
                layer=one.layer,
                depth_mm=_tenth(depths[k]),
                straight_depth_mm=_tenth(_straight_depth_mm(skin[k], own[k])),
                bearing_deg=_degree(bearing),
                eighth=eighth_of(bearing),
                area_mm2=_tenth(areas[k]),
                neighbours=neighbours[k],
                partner=partner,
                partner_gap_mm=_tenth(gap_mm(section, one.id, partner)) if partner is not None else None,
            )
        )
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cut:
    """Who is who in a section: by index in its drawing order."""

    named: Mapping[str, Sequence[int]]
    """What each name stands for: the structure itself and its parts."""

    kin: NDArray[np.bool_]
    """Which structures are parts of one another or of the same, shape (n, n)."""

    others: NDArray[np.bool_]
    """Which are no kin of anything that a structure's name stands for, shape (n, n)."""

    shapes: Together

    @classmethod
    def of(cls, section: Section) -> _Cut:
        solved, named = section.structures, dict[str, list[int]]()
        for k, one in enumerate(solved):
            for name in sorted(names_of(one)):
                named.setdefault(name, []).append(k)
        kin = np.zeros((len(solved), len(solved)), dtype=bool)
        for some in named.values():
            kin[np.ix_(some, some)] = True
        wholes = [named[one.id] for one in solved]
        return cls(
            named=named,
            kin=kin,
            others=np.array([~kin[own].any(axis=0) for own in wholes]),
            shapes=Together([tuple(solved[k].ring_mm for k in own) for own in wholes], [one.ring_mm for one in solved]),
        )


def _straight_depth_mm(skin: Sequence[Span], own: Sequence[Span]) -> float:
    """Return the way from a structure's wall to the skin, straight along +y through its centre, mm."""
    around = [span for span in own if span[0] <= 0 <= span[1]]
    wall = around[0][1] if around else 0.0
    return max(span[1] for span in skin) - wall if skin else 0.0


def _neighbours(section: Section, cut: _Cut, count: int) -> list[tuple[Neighbour, ...]]:
    solved = section.structures
    # Ranked as shown, to a tenth: what might round to the last place shown is compared too.
    gaps = cut.shapes.gaps_mm(cut.others, count=count, slack_mm=0.1)
    ranked = [sorted((_tenth(gap), solved[k].id, k) for k, gap in near.items())[:count] for near in gaps]
    crossed = cut.shapes.crossed([(own, k) for own, near in enumerate(ranked) for gap, _, k in near if gap > 0])
    found = []
    for own, near in enumerate(ranked):
        neighbours = []
        for gap, name, k in near:
            bearing = bearing_between(section, solved[own].centre_mm, solved[k].centre_mm)
            met = [m for m in crossed.get((own, k), ()) if cut.others[own, m] and not cut.kin[m, k]]
            neighbours.append(
                Neighbour(
                    id=name,
                    gap_mm=gap,
                    bearing_deg=_degree(bearing),
                    eighth=eighth_of(bearing),
                    between=tuple(sorted({solved[m].id for m in met})),
                )
            )
        found.append(tuple(neighbours))
    return found


def _rings(section: Section, structure_id: str) -> Rings:
    rings = rings_of(section, structure_id)
    if rings is None:
        raise LookupError(f"'{structure_id}' is not cut at z {section.z_mm:g} mm")
    return rings


def _centre(section: Section, structure_id: str) -> Point:
    centre = centre_of(section, structure_id)
    if centre is None:
        raise LookupError(f"'{structure_id}' is not cut at z {section.z_mm:g} mm")
    return centre


def _tenth(value: float) -> float:
    # Adding zero turns -0.0 into 0.0, which would show in JSON.
    return round(value, 1) + 0.0


def _degree(value: float) -> float:
    return float(round(value) % 360)

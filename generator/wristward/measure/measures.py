"""Depth, bearing, gaps, neighbours and areas of what a section cuts.

All lengths are mm of the drawn model, uncompressed. Nothing here decides whether anatomy is right
(``relations``) or says it in words (the catalogue of words does).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from wristward.data.kinds import StructureKind
from wristward.measure import rings as shapes
from wristward.measure.cut import (
    bearing_between,
    centre_of,
    is_kin,
    members,
    middle_of,
    rings_of,
)
from wristward.measure.directions import eighth_of
from wristward.measure.rings import Nearby, Rings
from wristward.section.section import Layer, Point, Section, Solved

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


def depth_mm(section: Section, structure_id: str) -> float:
    """Return the distance from the skin to a structure's near wall along the shortest line, mm, unrounded.

    Raises:
        LookupError: If the structure is not cut at this height.
    """
    return shapes.shortest_line_to_edge(_rings(section, structure_id), section.skin_mm).distance_mm


def straight_depth_mm(section: Section, structure_id: str) -> float:
    """Return the distance from a structure's wall to the skin, straight along +y through its centre, mm.

    Raises:
        LookupError: If the structure is not cut at this height.
    """
    rings = _rings(section, structure_id)
    centre = _centre(section, structure_id)
    skin = shapes.spans((section.skin_mm,), through=centre, direction=UP)
    own = [span for span in shapes.spans(rings, through=centre, direction=UP) if span[0] <= 0 <= span[1]]
    wall = own[0][1] if own else 0.0
    return max(span[1] for span in skin) - wall if skin else 0.0


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


def area_mm2(section: Section, structure_id: str) -> float:
    """Return the area a structure and its parts cover, mm², each point counted once.

    Raises:
        LookupError: If the structure is not cut at this height.
    """
    return shapes.area_mm2(_rings(section, structure_id))


def measure_section(
    section: Section, *, partners: Mapping[str, str] | None = None, count: int = NEIGHBOURS
) -> tuple[StructureMeasure, ...]:
    """Measure every structure of a section, in its drawing order, rounded to 0.1 mm.

    Args:
        section: The cut.
        partners: Structure to the partner whose gap is given, from the catalogue.
        count: Neighbours of each.
    """
    partners = partners or {}
    nearby = Nearby([(s.ring_mm,) for s in section.structures])
    return tuple(_measure(section, solved, partners.get(solved.id), count, nearby) for solved in section.structures)


def _measure(section: Section, solved: Solved, partner: str | None, count: int, nearby: Nearby) -> StructureMeasure:
    bearing = bearing_deg(section, solved.id)
    partner = partner if partner is not None and rings_of(section, partner) is not None else None
    return StructureMeasure(
        id=solved.id,
        kind=solved.kind,
        tissue=solved.tissue,
        layer=solved.layer,
        depth_mm=_tenth(depth_mm(section, solved.id)),
        straight_depth_mm=_tenth(straight_depth_mm(section, solved.id)),
        bearing_deg=_degree(bearing),
        eighth=eighth_of(bearing),
        area_mm2=_tenth(area_mm2(section, solved.id)),
        neighbours=_neighbours(section, solved.id, count, nearby),
        partner=partner,
        partner_gap_mm=_tenth(gap_mm(section, solved.id, partner)) if partner is not None else None,
    )


def _neighbours(section: Section, structure_id: str, count: int, nearby: Nearby) -> tuple[Neighbour, ...]:
    rings, centre = _rings(section, structure_id), _centre(section, structure_id)
    solved = section.structures
    own = members(section, structure_id)
    others = [k for k, s in enumerate(solved) if not any(is_kin(s, mine) for mine in own)]
    # Ranked as shown, to a tenth: what might round to the last place shown is compared too.
    near = nearby.nearest(rings, others, count=count, slack_mm=0.1)
    ranked = sorted((_tenth(gap), solved[k].id, k) for gap, k in near)[:count]
    found = []
    for gap, _, k in ranked:
        bearing = bearing_between(section, centre, solved[k].centre_mm)
        crossed = nearby.crossed(shapes.shortest_line(rings, (solved[k].ring_mm,))) if gap > 0 else []
        between = {solved[m].id for m in crossed if m in others and not is_kin(solved[m], solved[k])}
        found.append(
            Neighbour(
                id=solved[k].id,
                gap_mm=gap,
                bearing_deg=_degree(bearing),
                eighth=eighth_of(bearing),
                between=tuple(sorted(between)),
            )
        )
    return tuple(found)


def _others(section: Section, structure_id: str) -> list[Solved]:
    own = members(section, structure_id)
    return [s for s in section.structures if not any(is_kin(s, mine) for mine in own)]


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

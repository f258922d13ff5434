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
    toward_vector,
)
from wristward.measure.rings import Nearby, Rings
from wristward.section.section import Layer, Point, Section, Solved

NEIGHBOURS = 3
DIRECTIONS = (
    "ulnar",
    "volar_ulnar",
    "volar",
    "volar_radial",
    "radial",
    "dorsal_radial",
    "dorsal",
    "dorsal_ulnar",
)
"""Keys of ``figure.way`` in the words catalogue, by eighths of a turn from 0°."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Neighbour:
    """Another structure near one."""

    id: str
    gap_mm: float
    """Edge to edge, to 0.1 mm."""

    bearing_deg: float
    """From the structure to this neighbour, centre to centre, whole degrees (0 ulnar, 90 volar, 180 radial)."""

    direction: str
    """The bearing as one of ``DIRECTIONS``."""

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
    volar_depth_mm: float
    bearing_deg: float
    direction: str
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


def volar_depth_mm(section: Section, structure_id: str) -> float:
    """Return the distance from a structure's volar wall to the skin, straight volar through its centre, mm.

    Raises:
        LookupError: If the structure is not cut at this height.
    """
    rings = _rings(section, structure_id)
    centre = _centre(section, structure_id)
    volar = toward_vector(section, "volar")
    skin = shapes.spans((section.skin_mm,), through=centre, direction=volar)
    own = [span for span in shapes.spans(rings, through=centre, direction=volar) if span[0] <= 0 <= span[1]]
    wall = own[0][1] if own else 0.0
    return max(span[1] for span in skin) - wall if skin else 0.0


def bearing_deg(section: Section, structure_id: str) -> float:
    """Return the direction of a structure's centre from the centre of area of the skin outline.

    Returns:
        Degrees, 0 to 360, anticlockwise as on the picture of a right arm: 0 ulnar, 90 volar, 180 radial,
        270 dorsal. A left arm is mirrored first, so the number means the same there.

    Raises:
        LookupError: If the structure is not cut at this height.
    """
    return bearing_between(section, middle_of(section), _centre(section, structure_id))


def direction_of(bearing: float) -> str:
    """Return the eighth of a turn a bearing falls in, as one of ``DIRECTIONS``."""
    return DIRECTIONS[int(((bearing % 360.0) + 22.5) // 45.0) % 8]


def clock_hour(section: Section, bearing: float) -> int:
    """Return a bearing as an hour, 1 to 12, on a clock face laid on the picture: 12 volar, 3 on the right.

    The picture of a left arm is the mirror image, so ulnar is 3 o'clock on a right arm and 9 on a left.
    """
    on_picture = bearing if section.side != "left" else 180.0 - bearing
    return int(round((90.0 - on_picture) / 30.0 + 1e-9) % 12) or 12


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


def touching(section: Section, structure_id: str, *, tolerance_mm: float) -> tuple[str, ...]:
    """Return the ids within a gap of a structure, sorted; its own parts, parent and sister parts are left out.

    Args:
        section: The cut.
        structure_id: What is asked about.
        tolerance_mm: Largest gap that counts as touching; outlines leave a septum of about 0.5 mm.

    Raises:
        LookupError: If the structure is not cut at this height.
    """
    others = _others(section, structure_id)
    gaps = shapes.distances_mm(_rings(section, structure_id), [(other.ring_mm,) for other in others])
    return tuple(sorted(other.id for other, gap in zip(others, gaps, strict=True) if gap <= tolerance_mm))


def neighbours(section: Section, structure_id: str, count: int = NEIGHBOURS) -> tuple[Neighbour, ...]:
    """Return the nearest other structures by gap, nearest first, ties by id.

    Args:
        section: The cut.
        structure_id: What is asked about; its own parts, parent and sister parts are not its neighbours.
        count: How many at most.

    Raises:
        LookupError: If the structure is not cut at this height.
    """
    return _neighbours(section, structure_id, count, Nearby([(s.ring_mm,) for s in section.structures]))


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
        volar_depth_mm=_tenth(volar_depth_mm(section, solved.id)),
        bearing_deg=_degree(bearing),
        direction=direction_of(bearing),
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
                direction=direction_of(bearing),
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

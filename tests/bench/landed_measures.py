"""How sections were measured first, one structure and one pair at a time: the baseline of what measures them together."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import LineString

from wristward.measure.cut import bearing_between, centre_of, members, middle_of, names_of, rings_of
from wristward.measure.directions import eighth_of
from wristward.measure.measures import NEIGHBOURS, Neighbour, StructureMeasure
from wristward.measure.rings import FAR_MM, Rings, distance_mm, shape_of, shortest_line_to_edge
from wristward.section.section import Point, Section, Solved

UP: Point = (0.0, 1.0)


def measure_section(section, *, partners, count=NEIGHBOURS):
    """Measure every structure of a section, in its drawing order, rounded to 0.1 mm."""
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
        area_mm2=_tenth(shape_of(rings_of(section, solved.id)).area),
        neighbours=_neighbours(section, solved.id, count, nearby),
        partner=partner,
        partner_gap_mm=_tenth(distance_mm(rings_of(section, solved.id), rings_of(section, partner)))
        if partner is not None
        else None,
    )


def _neighbours(section: Section, structure_id: str, count: int, nearby: Nearby) -> tuple[Neighbour, ...]:
    rings, centre = rings_of(section, structure_id), centre_of(section, structure_id)
    solved = section.structures
    own = members(section, structure_id)
    others = [k for k, s in enumerate(solved) if not any(is_kin(s, mine) for mine in own)]
    # Ranked as shown, to a tenth: what might round to the last place shown is compared too.
    near = nearby.nearest(rings, others, count=count, slack_mm=0.1)
    ranked = sorted((_tenth(gap), solved[k].id, k) for gap, k in near)[:count]
    found = []
    for gap, _, k in ranked:
        bearing = bearing_between(section, centre, solved[k].centre_mm)
        crossed = nearby.crossed(rings, (solved[k].ring_mm,)) if gap > 0 else []
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


def depth_mm(section, structure_id):
    return shortest_line_to_edge(rings_of(section, structure_id), section.skin_mm).distance_mm


def straight_depth_mm(section, structure_id):
    rings, centre = rings_of(section, structure_id), centre_of(section, structure_id)
    skin = spans((section.skin_mm,), through=centre, direction=UP)
    own = [span for span in spans(rings, through=centre, direction=UP) if span[0] <= 0 <= span[1]]
    return max(span[1] for span in skin) - (own[0][1] if own else 0.0) if skin else 0.0


def bearing_deg(section, structure_id):
    return bearing_between(section, middle_of(section), centre_of(section, structure_id))


def is_kin(first, second):
    return not names_of(first).isdisjoint(names_of(second))


def _tenth(value):
    return round(value, 1) + 0.0


def _degree(value):
    return float(round(value) % 360)


class Nearby:
    """Many shapes asked which of them are near one another, and which a line runs through."""

    def __init__(self, shapes: Sequence[Rings]) -> None:
        self._shapes = np.array([shape_of(rings) for rings in shapes], dtype=object)
        self._boxes = shapely.bounds(self._shapes).reshape(-1, 4)
        self._tree = shapely.STRtree(self._shapes)

    def nearest(self, rings: Rings, among: Sequence[int], *, count: int, slack_mm: float) -> list[tuple[float, int]]:
        """Return (distance, index) of at least the nearest shapes and of all within the slack of the last of them."""
        shape, index = shape_of(rings), np.array(among, dtype=int)
        if not len(index) or count < 1:
            return []
        box = np.array(shape.bounds)
        apart = np.maximum(self._boxes[index, :2] - box[2:], box[:2] - self._boxes[index, 2:])
        least = np.hypot(*np.maximum(apart, 0.0).T)
        order = np.argsort(least, kind="stable")
        # Boxes are never further apart than what they hold: beyond the limit no shape can be among the nearest.
        first = order[: count + 4]
        known = shapely.distance(shape, self._shapes[index[first]])
        limit = np.sort(known)[min(count, len(known)) - 1] + slack_mm
        rest = [k for k in order[count + 4 :] if least[k] <= limit]
        more = shapely.distance(shape, self._shapes[index[rest]]) if rest else np.zeros(0)
        found = zip((*known, *more), (*index[first], *index[rest]), strict=True)
        return [(float(distance), int(k)) for distance, k in found]

    def crossed(self, first: Rings, second: Rings) -> list[int]:
        """Return the indices of the shapes that the shortest line between two meets, ascending."""
        line = shapely.shortest_line(shape_of(first), shape_of(second))
        return sorted(int(k) for k in self._tree.query(line, predicate="intersects"))


def spans(rings: Rings, *, through: Point, direction: Point) -> list[tuple[float, float]]:
    """Return where an endless line lies in a shape, as distances from a point along a unit direction.

    Args:
        rings: The shape.
        through: A point of the line, mm.
        direction: Unit vector.

    Returns:
        Pairs (in, out) in mm, ascending; negative behind the point. Empty where the line misses.
    """
    ends = [(through[0] + s * FAR_MM * direction[0], through[1] + s * FAR_MM * direction[1]) for s in (-1, 1)]
    cut = shape_of(rings).intersection(LineString(ends))
    found = []
    for piece in getattr(cut, "geoms", [cut]):
        if piece.is_empty:
            continue
        along = [
            (x - through[0]) * direction[0] + (y - through[1]) * direction[1] for x, y in shapely.get_coordinates(piece)
        ]
        found.append((min(along), max(along)))
    return sorted(found)

"""The drawn hand as outlines: smooth chains through named nodes, and the rings of territories made from them.

Frame of the drawing: x toward the thumb, y toward the fingertips, about mm, y 0 at the distal wrist crease. Neighbouring
territories are cut from the same chain, so they share their border point by point.
"""

from __future__ import annotations

from collections.abc import Sequence

from wristward.data.records.teaching import HandMapFile

Point = tuple[float, float]

STEPS = 6
"""Points put between two neighbouring points of a chain."""


def smooth(points: Sequence[Point]) -> list[list[Point]]:
    """Return the pieces of a smooth line through points: one list for each pair of neighbours, both ends included.

    Source:
        Centripetal Catmull-Rom spline, which makes no loops; plane geometry only.
    """
    if len(points) == 2:
        return [list(points)]
    first = _mirrored(points[1], points[0])
    last = _mirrored(points[-2], points[-1])
    padded = [first, *points, last]
    return [_piece(padded[k : k + 4]) for k in range(len(points) - 1)]


def arcs_of(hand: HandMapFile) -> dict[tuple[str, str], list[Point]]:
    """Return the line from each node to its neighbour on a chain, in both directions.

    Args:
        hand: Record of hand_map.yaml.
    """
    arcs: dict[tuple[str, str], list[Point]] = {}
    for chain in hand.chains.values():
        pieces = smooth([hand.nodes[point] if isinstance(point, str) else point for point in chain])
        start: str | None = None
        line: list[Point] = []
        for point, piece in zip(chain, ([], *pieces), strict=True):
            line = line + piece[1:]
            if isinstance(point, str):
                if start is not None:
                    arcs[start, point] = line
                    arcs[point, start] = line[::-1]
                start, line = point, [hand.nodes[point]]
    return arcs


def ring_of(arcs: dict[tuple[str, str], list[Point]], way: Sequence[str]) -> list[Point]:
    """Return the closed outline of a way round nodes, without the repeated last point."""
    ring: list[Point] = []
    for node, nxt in zip(way, [*way[1:], way[0]], strict=True):
        ring.extend(arcs[node, nxt][:-1])
    return ring


def rings_of_view(hand: HandMapFile, view: str) -> dict[str, list[Point]]:
    """Return the outline of each territory of "palm" or "back", in the file's order."""
    arcs = arcs_of(hand)
    return {name: ring_of(arcs, way) for name, way in hand.views[view].items()}


def outline_of(hand: HandMapFile) -> list[Point]:
    """Return the outline of the whole hand."""
    return ring_of(arcs_of(hand), hand.outline)


def middle_of(ring: Sequence[Point]) -> Point:
    """Return the centre of area of an outline."""
    area = cx = cy = 0.0
    for (x1, y1), (x2, y2) in zip(ring, [*ring[1:], ring[0]], strict=True):
        cross = x1 * y2 - x2 * y1
        area += cross
        cx += (x1 + x2) * cross
        cy += (y1 + y2) * cross
    return cx / (3 * area), cy / (3 * area)


def _mirrored(inner: Point, end: Point) -> Point:
    return 2 * end[0] - inner[0], 2 * end[1] - inner[1]


def _piece(four: Sequence[Point]) -> list[Point]:
    knots = [0.0]
    for (ax, ay), (bx, by) in zip(four, four[1:], strict=False):
        knots.append(knots[-1] + max(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.25, 1e-9))
    found = [four[1]]
    for step in range(1, STEPS):
        t = knots[1] + (knots[2] - knots[1]) * step / STEPS
        a = [_between(four[k], four[k + 1], knots[k], knots[k + 1], t) for k in range(3)]
        b = [_between(a[k], a[k + 1], knots[k], knots[k + 2], t) for k in range(2)]
        found.append(_between(b[0], b[1], knots[1], knots[2], t))
    return [*found, four[2]]


def _between(first: Point, second: Point, start: float, end: float, t: float) -> Point:
    share = (t - start) / (end - start)
    return first[0] + share * (second[0] - first[0]), first[1] + share * (second[1] - first[1])

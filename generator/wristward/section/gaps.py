"""Stated gaps between neighbours: one structure keeps its distance to the edge of another, and perhaps its bearing."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians, sin, sqrt
from typing import NamedTuple

from wristward.anatomy.arrays import Floats
from wristward.anatomy.plan import Disc

KEPT_TURN = 0.2
"""Share of its stated bearing that one without knots of its own takes up again in each round."""


class Edge(NamedTuple):
    """An ellipse as its reach is taken from: half axes, mm, their product, cosine and sine of its tilt."""

    width: float
    height: float
    product: float
    cos: float
    sin: float


class Gap(NamedTuple):
    """One rule of one disc, in plain numbers: rules follow one another, so there is nothing to do at once."""

    disc: int
    other: int
    gap_mm: float
    strength: float
    wanted: tuple[float, float] | None
    """Unit vector of the stated bearing, for one that has no knots."""

    anchor: tuple[float, float]
    edges: tuple[Edge, Edge]
    """Of the disc and of the other."""


def gap_rules(discs: Sequence[Disc], axes: Floats, anchors_mm: Floats, *, first: int) -> list[Gap]:
    """Return the rules of a plan's discs, in order.

    Args:
        discs: The plan's discs.
        axes: Half-width and half-height, mm, and tilt, degrees, of each, shape (n, 3).
        anchors_mm: Where each was put first, shape (n, 2).
        first: Number of the first disc among all that are placed together.
    """
    index = {disc.id: k for k, disc in enumerate(discs)}
    edges = [
        Edge(width, height, width * height, cos(radians(tilt)), sin(radians(tilt)))
        for width, height, tilt in axes.tolist()
    ]
    anchors = [(x, y) for x, y in anchors_mm.tolist()]
    rules = []
    for k, disc in enumerate(discs):
        for rule in disc.beside:
            other = index.get(rule.structure)
            if other is None:
                continue
            wanted = None
            if rule.bearing_deg is not None and disc.at_mm is None:
                bearing = radians(rule.bearing_deg)
                wanted = (cos(bearing), sin(bearing))
            rules.append(
                Gap(first + k, first + other, rule.gap_mm, rule.strength, wanted, anchors[k], (edges[k], edges[other]))
            )
    return rules


def keep_gaps(rules: Sequence[Gap], places_mm: Floats) -> None:
    """Move each disc of the rules to its gap, one rule after the other, as far as the rule is strong."""
    places = places_mm.tolist()
    for disc, other, gap, strength, wanted, anchor, edges in rules:
        (x, y), (other_x, other_y) = places[disc], places[other]
        way_x, way_y = x - other_x, y - other_y
        away = sqrt(way_x * way_x + way_y * way_y)
        way_x, way_y = (way_x / away, way_y / away) if away > 1e-6 else (0.0, 1.0)
        if wanted is not None:
            # One that has no knots keeps to its bearing unless it is pushed off it.
            way_x = (1 - KEPT_TURN) * way_x + KEPT_TURN * wanted[0]
            way_y = (1 - KEPT_TURN) * way_y + KEPT_TURN * wanted[1]
            size = max(sqrt(way_x * way_x + way_y * way_y), 1e-9)
            way_x, way_y = way_x / size, way_y / size
        reach = gap
        for width, height, product, cosine, sine in edges:
            # The tilt is taken off by the addition theorems: there is no angle to compute for each rule and round.
            along, across = height * (way_x * cosine + way_y * sine), width * (way_y * cosine - way_x * sine)
            reach += product / sqrt(along * along + across * across)
        goal_x, goal_y = other_x + way_x * reach, other_y + way_y * reach
        # Rounds add up: the goal itself is only as near the neighbour as the rule is strong here.
        goal_x, goal_y = anchor[0] + strength * (goal_x - anchor[0]), anchor[1] + strength * (goal_y - anchor[1])
        places[disc] = [x + strength * (goal_x - x), y + strength * (goal_y - y)]
    places_mm[:] = places

"""Shapes of one section asked together, each question in a few calls of shapely for all of them.

A *whole* is what a name stands for, all its parts joined; a *single* is what is drawn under that name alone. Both
lists have the section's order. Nothing here knows anatomy, sides or depth.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from wristward.measure.rings import FAR_MM, Rings, shape_of
from wristward.section.section import Point, Ring

Span = tuple[float, float]
"""Where a line enters and leaves a shape, as distances along it from a point, mm."""


class Together:
    """The shapes of one section."""

    def __init__(self, wholes: Sequence[Rings], singles: Sequence[Ring]) -> None:
        """Take what each name stands for, and what is drawn under it alone."""
        self._wholes = np.array([shape_of(rings) for rings in wholes], dtype=object)
        self._singles = np.array([shape_of((ring,)) for ring in singles], dtype=object)

    def areas_mm2(self) -> list[float]:
        """Return the area of each whole, counted once where its rings overlap, mm²."""
        areas: list[float] = shapely.area(self._wholes).tolist()
        return areas

    def far_from_edge_mm(self, ring: Ring) -> list[float]:
        """Return how far each whole is from a ring's edge, whichever side of it it is on, mm."""
        lines = shapely.shortest_line(self._wholes, shape_of((ring,)).boundary)
        ends = shapely.get_coordinates(lines).reshape(-1, 2, 2).tolist()
        return [math.dist(start, end) for start, end in ends]

    def gaps_mm(self, others: NDArray[np.bool_], *, count: int, slack_mm: float) -> list[dict[int, float]]:
        """Return how far singles are from each whole, at least the nearest and all within the slack of the last of them.

        Args:
            others: Which singles are asked about for each whole, shape (n, n).
            count: How many are asked for.
            slack_mm: What is this much further than the last of them is measured too.

        Returns:
            For each whole, the distance of each single that was measured, edge to edge, mm.
        """
        found: list[dict[int, float]] = [{} for _ in self._wholes]
        if count < 1 or not len(found):
            return found
        boxes, singles = shapely.bounds(self._wholes), shapely.bounds(self._singles)
        apart = np.maximum(boxes[:, None, :2] - singles[None, :, 2:], singles[None, :, :2] - boxes[:, None, 2:])
        least = np.hypot(*np.moveaxis(np.maximum(apart, 0.0), 2, 0))
        least[~others] = np.inf
        gaps = np.full(least.shape, np.inf)
        # Boxes are never further apart than what they hold: beyond the limit no shape can be among the nearest.
        order = np.argsort(least, axis=1, kind="stable")[:, : count + 4]
        first = np.zeros(least.shape, dtype=bool)
        np.put_along_axis(first, order, True, axis=1)
        self._measure(gaps, first & others)
        limit = np.sort(gaps, axis=1)[:, min(count, len(found)) - 1] + slack_mm
        self._measure(gaps, (least <= limit[:, None]) & others & ~first)
        for whole, single in zip(*np.nonzero(np.isfinite(gaps)), strict=True):
            found[whole][int(single)] = float(gaps[whole, single])
        return found

    def _measure(self, gaps: NDArray[np.float64], asked: NDArray[np.bool_]) -> None:
        whole, single = np.nonzero(asked)
        gaps[whole, single] = shapely.distance(self._wholes[whole], self._singles[single])

    def crossed(self, pairs: Sequence[tuple[int, int]]) -> dict[tuple[int, int], list[int]]:
        """Return which singles the shortest line meets, from each whole to the single paired with it."""
        found: dict[tuple[int, int], list[int]] = {pair: [] for pair in pairs}
        if pairs:
            whole, single = (np.array(side) for side in zip(*pairs, strict=True))
            lines = shapely.shortest_line(self._wholes[whole], self._singles[single])
            line, met = shapely.STRtree(self._singles).query(lines, predicate="intersects")
            for at, one in zip(line.tolist(), met.tolist(), strict=True):
                found[pairs[at]].append(one)
        return found

    def spans(self, through: Sequence[Point], direction: Point, *, of: Ring | None = None) -> list[list[Span]]:
        """Return where endless lines lie in shapes.

        Args:
            through: A point of each whole's line, mm.
            direction: Unit vector of all lines.
            of: A ring that all lines are held against; by default each is held against its own whole.

        Returns:
            For each line its spans, ascending; negative behind the point. Empty where it misses.
        """
        ends = [[(x + s * FAR_MM * direction[0], y + s * FAR_MM * direction[1]) for s in (-1, 1)] for x, y in through]
        shapes = self._wholes if of is None else shape_of((of,))
        pieces, line = shapely.get_parts(shapely.intersection(shapes, shapely.linestrings(ends)), return_index=True)
        points, piece = shapely.get_coordinates(pieces, return_index=True)
        along: dict[int, list[float]] = {}
        for (x, y), number in zip(points.tolist(), piece.tolist(), strict=True):
            middle_x, middle_y = through[line[number]]
            along.setdefault(number, []).append((x - middle_x) * direction[0] + (y - middle_y) * direction[1])
        found: list[list[Span]] = [[] for _ in through]
        for number, places in along.items():
            found[line[number]].append((min(places), max(places)))
        return [sorted(spans) for spans in found]

"""A piece of a solved section, enlarged round a few structures that are taken for one another; numbers point at them.

The same drawing as the whole section, cut out: nothing is drawn again, so that the piece cannot differ from the whole.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from html import escape

from wristward.figure.drawing import draw_section
from wristward.figure.legend import Legend
from wristward.figure.view import View, view_of
from wristward.measure.cut import cut_of
from wristward.measure.text import height_words
from wristward.section.section import Point, Section

LABEL_MM = 0.85
"""Radius of a number's disc at a half width of 12 mm; it grows with the picture."""

REFERENCE_HALF_MM = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Added:
    """A shape laid over the piece as a dashed line: centre, width and height in mm of the section."""

    centre_mm: Point
    width_mm: float
    height_mm: float


def draw_crop(
    section: Section,
    legend: Legend,
    words: Mapping[str, str],
    *,
    figure_id: str,
    structures: Sequence[str],
    half_width_mm: float,
    title: str,
    added: Sequence[Added] = (),
) -> str:
    """Draw the piece.

    Args:
        section: The solved section.
        legend: Names of all its structures.
        words: Readers' words; ``figure.*`` and ``teach.look_alikes.*`` are used.
        figure_id: Prefix of the ids inside, unique on its page.
        structures: What is numbered, 1 upward; each is cut by the section.
        half_width_mm: Half of the square's side, mm.
        title: Title of the picture.
        added: Shapes laid over it; numbered after the structures.

    Raises:
        LookupError: If a structure is not cut at this height.
    """
    view = view_of(section.skin_mm)
    centres = [cut_of(section, one).centre_mm for one in structures]
    centre = middle(centres, half_width_mm)
    left, top = view.place((centre[0] - half_width_mm, centre[1] + half_width_mm))
    side = 2 * half_width_mm * view.scale
    within = [one for one in section.structures if _meets(one.ring_mm, centre, half_width_mm)]
    drawn = draw_section(
        replace(section, structures=tuple(within)), legend, words, figure_id=figure_id, mode="unlabelled"
    )
    body = drawn[drawn.index("</desc>") + len("</desc>") : drawn.index('<g class="w-frame">')]
    grow = half_width_mm / REFERENCE_HALF_MM
    told = words["teach.look_alikes.picture"].format(
        height=height_words(section.z_mm, words),
        names="; ".join(f"{number} {legend[one].name}" for number, one in enumerate(structures, start=1)),
    )
    marks = [_lit(section, one, view) for one in structures]
    marks += [_added(one, view, grow) for one in added]
    points = [*centres, *(one.centre_mm for one in added)]
    radii = [*(_radius(section, one) for one in structures), *(max(a.width_mm, a.height_mm) / 2 for a in added)]
    marks += [
        _number(number, view.place(_toward(at, place, size)), view.place(place), grow * LABEL_MM * view.scale)
        for number, (at, place, size) in enumerate(
            zip(points, number_places(points, radii, centre, half_width_mm, grow), radii, strict=True), start=1
        )
    ]
    return (
        f'<svg class="w-drawing" viewBox="{left:.1f} {top:.1f} {side:.1f} {side:.1f}" role="img"'
        f' aria-labelledby="{figure_id}-title {figure_id}-desc" xmlns="http://www.w3.org/2000/svg">'
        f'<title id="{figure_id}-title">{escape(title)}</title>'
        f'<desc id="{figure_id}-desc">{escape(told)}</desc>{body}{"".join(marks)}</svg>'
    )


def middle(points: Sequence[Point], half_width_mm: float) -> Point:
    """Return the middle of the points' bounding box.

    Raises:
        ValueError: If the points do not fit into the piece.
    """
    xs, ys = [x for x, _ in points], [y for _, y in points]
    if max(max(xs) - min(xs), max(ys) - min(ys)) > 2 * half_width_mm:
        raise ValueError(f"half_width_mm is {half_width_mm:g}, too little for structures so far apart")
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def number_places(
    points: Sequence[Point], radii: Sequence[float], centre: Point, half_width_mm: float, grow: float
) -> list[Point]:
    """Return where the numbers stand: beside their structures, clear of them, of one another and of the edge."""
    disc = grow * LABEL_MM
    room = half_width_mm - 1.4 * disc
    placed: list[Point] = []
    for (x, y), radius in zip(points, radii, strict=True):
        outward = math.atan2(y - centre[1], x - centre[0]) if (x, y) != centre else math.pi / 2
        best, best_cost = (x, y), math.inf
        for ring in (1.6, 2.6, 3.8, 5.2):
            for turn in range(16):
                angle = outward + math.tau * turn / 16
                reach = radius + ring * disc
                spot = (x + reach * math.cos(angle), y + reach * math.sin(angle))
                if abs(spot[0] - centre[0]) > room or abs(spot[1] - centre[1]) > room:
                    continue
                near = [math.dist(spot, other) - 2.6 * disc for other in placed]
                near += [math.dist(spot, other) - size - 1.2 * disc for other, size in zip(points, radii, strict=True)]
                cost = sum(10 * -gap for gap in near if gap < 0) + ring + min(turn, 16 - turn) / 8
                if cost < best_cost:
                    best, best_cost = spot, cost
        placed.append(best)
    return placed


def _meets(ring: Sequence[Point], centre: Point, half_width_mm: float) -> bool:
    """Say whether an outline's bounding box meets the piece."""
    xs, ys = [x for x, _ in ring], [y for _, y in ring]
    apart_x = min(xs) > centre[0] + half_width_mm or max(xs) < centre[0] - half_width_mm
    apart_y = min(ys) > centre[1] + half_width_mm or max(ys) < centre[1] - half_width_mm
    return not apart_x and not apart_y


def _toward(start: Point, end: Point, reach_mm: float) -> Point:
    """Return the point near a structure's edge from which its line to the number starts."""
    share = min(0.8 * reach_mm / max(math.dist(start, end), 1e-9), 1.0)
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])


def _radius(section: Section, structure_id: str) -> float:
    return min(math.sqrt(cut_of(section, structure_id).area_mm2 / math.pi), 4.0)


def _lit(section: Section, structure_id: str, view: View) -> str:
    points = [view.place(point) for point in cut_of(section, structure_id).ring_mm]
    path = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) + "Z"
    return f'<path class="t-lit" data-structure="{structure_id}" d="{path}" stroke-width="3"/>'


def _added(shape: Added, view: View, grow: float) -> str:
    x, y = view.place(shape.centre_mm)
    rx, ry = shape.width_mm / 2 * view.scale, shape.height_mm / 2 * view.scale
    ellipse = f'cx="{x:.1f}" cy="{y:.1f}" rx="{rx:.1f}" ry="{ry:.1f}"'
    return (
        f'<ellipse class="t-added-under" {ellipse} stroke-width="{4.5 * grow:.1f}"/>'
        f'<ellipse class="t-added" {ellipse} stroke-width="{2.2 * grow:.1f}"/>'
    )


def _number(number: int, at: Point, place: Point, radius: float) -> str:
    (x1, y1), (x2, y2) = at, place
    line = f'd="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"'
    return (
        f'<path class="t-line-under" {line} stroke-width="{0.55 * radius:.1f}"/>'
        f'<path class="t-line" {line} stroke-width="{0.25 * radius:.1f}"/>'
        f'<circle class="t-disc" cx="{x2:.1f}" cy="{y2:.1f}" r="{radius:.1f}" stroke-width="{0.15 * radius:.1f}"/>'
        f'<text class="t-number" x="{x2:.1f}" y="{y2 + 0.48 * radius:.1f}" font-size="{1.35 * radius:.1f}">{number}</text>'
    )

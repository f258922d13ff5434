"""A section as a picture file of its own, for systems that know neither our style sheet nor our scripts.

Nothing in it says what it shows: no name, no height, no id. Colours are written out, since few importers resolve
custom properties. Outlines to choose from are given in the picture's own pixels.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from html import escape
from math import dist, pi, sqrt

from wristward.data.kinds import ROUND
from wristward.figure.drawing import DRAWING_STYLE, LETTERS, draw_section
from wristward.figure.legend import Legend
from wristward.figure.palette import LIGHT
from wristward.figure.view import CROP_LEFT, CROP_WIDTH, HEIGHT, view_of
from wristward.section.section import Point, Section, Solved

LEAST_TARGET_PX = 10
"""Radius that small discs are widened to, as far as their neighbours let them."""

COARSE_PX = 1.2
"""An outline to choose may leave the drawn one by this much; fewer corners, smaller files."""

PROPERTY = re.compile(r"var\(--w-([\w-]+)\)")
FORCED_COLOURS = re.compile(r"@media \(forced-colors.*", re.DOTALL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """An SVG file and what stands in for it."""

    svg: bytes
    width: int
    height: int
    alt: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """An outline to choose: a circle (x, y, radius) or a polygon (x, y, x, y …) in whole pixels."""

    id: str
    shape: str
    coords: tuple[int, ...]


def draw_picture(
    section: Section, legend: Legend, words: Mapping[str, str], *, marks: Sequence[str], alike: bool
) -> Picture:
    """Draw a section without names.

    Args:
        section: A solved section, mirrored for a left arm.
        legend: Names and tissues of all its structures.
        words: Readers' words; ``figure.*`` and ``export.picture.*`` are used.
        marks: Structures that carry a number, the first numbered 1.
        alike: Whether what is round is drawn alike, without what tells nerve, vessel and tendon apart.
    """
    shown = replace(section, structures=tuple(_alike(one) for one in section.structures)) if alike else section
    convention = words[f"figure.convention.{section.side}"]
    key = "export.picture.numbered" if marks else "export.picture.plain"
    alt = words[key].format(count=len(marks), convention=convention)
    drawn = draw_section(
        shown,
        legend,
        words,
        figure_id="s",
        mode="numbered" if marks else "unlabelled",
        numbers={id_: number for number, id_ in enumerate(marks, start=1)},
        title=words["export.picture.title"],
    )
    head, body = drawn.split(">", 1)
    style = FORCED_COLOURS.sub("", DRAWING_STYLE)
    svg = (
        f'<svg class="w-drawing" viewBox="{CROP_LEFT} 0 {CROP_WIDTH} {HEIGHT}" width="{CROP_WIDTH}" height="{HEIGHT}" role="img"'
        f' aria-labelledby="s-title s-desc" xmlns="http://www.w3.org/2000/svg">'
        f"<metadata>{escape(words['export.licence'].strip())}</metadata><style>{style}</style>"
        f'<rect x="{CROP_LEFT}" y="0" width="{CROP_WIDTH}" height="{HEIGHT}" fill="var(--w-ground)"/>{body}'
    )
    return Picture(svg=flat(svg).encode("utf-8"), width=CROP_WIDTH, height=HEIGHT, alt=alt)


def flat(text: str) -> str:
    """Return a drawing or a style with the light palette's colours written out."""
    return PROPERTY.sub(lambda found: LIGHT[found[1]], text)


def spots_of(section: Section, *, target: str) -> tuple[tuple[Spot, ...], str]:
    """Return an outline for every structure of a section, back to front, and the id of the target's.

    Raises:
        LookupError: If the target is not cut here.
    """
    view = view_of(section.skin_mm)

    def place(point_mm: Point) -> Point:
        x, y = view.place(point_mm)
        return x - CROP_LEFT, y

    # By place, as in the picture: the order must not spell the names.
    ordered = sorted(section.structures, key=lambda one: (one.kind in LETTERS, one.centre_mm))
    discs = [(place(one.centre_mm), _radius(one) * view.scale) for one in ordered if one.kind in LETTERS]
    spots, right = [], None
    for number, solved in enumerate(ordered, start=1):
        id_ = f"s{number}"
        if solved.id == target:
            right = id_
        if solved.kind in LETTERS:
            centre, radius = place(solved.centre_mm), _radius(solved) * view.scale
            others = [dist(centre, other) - size for other, size in discs if other != centre]
            # Halfway to the nearest neighbour at most: two outlines must not compete for one tap.
            room = (min(others, default=LEAST_TARGET_PX) + radius) / 2
            widened = max(radius, min(LEAST_TARGET_PX, room))
            coords = tuple(round(value) for value in (*centre, widened))
            spots.append(Spot(id=id_, shape="circle", coords=(*coords[:2], max(coords[2], 2))))
            continue
        outline = simplified([place(point) for point in solved.ring_mm], COARSE_PX)
        spots.append(Spot(id=id_, shape="poly", coords=tuple(round(value) for point in outline for value in point)))
    if right is None:
        raise LookupError(f"'{target}' is not cut at z {section.z_mm:g} mm")
    return tuple(spots), right


def simplified(ring: Sequence[Point], most_px: float) -> list[Point]:
    """Return a closed outline with fewer corners, none of the dropped ones further than ``most_px`` from it."""
    far = max(range(len(ring)), key=lambda k: dist(ring[0], ring[k]))
    first = _thinned(list(ring[: far + 1]), most_px)
    second = _thinned([*ring[far:], ring[0]], most_px)
    return first[:-1] + second[:-1]


def _thinned(line: list[Point], most_px: float) -> list[Point]:
    """Keep the corner furthest from the chord, and go on in both halves, until all are near enough."""
    if len(line) < 3:
        return line
    (ax, ay), (bx, by) = line[0], line[-1]
    length = dist(line[0], line[-1]) or 1.0
    away = [abs((bx - ax) * (ay - y) - (ax - x) * (by - ay)) / length for x, y in line[1:-1]]
    far = max(range(len(away)), key=away.__getitem__) + 1
    if away[far - 1] <= most_px:
        return [line[0], line[-1]]
    return _thinned(line[: far + 1], most_px)[:-1] + _thinned(line[far:], most_px)


def _alike(solved: Solved) -> Solved:
    if solved.tissue not in ROUND:
        return solved
    return replace(solved, kind="tendon", tissue="tendon")


def _radius(solved: Solved) -> float:
    return sqrt(solved.area_mm2 / pi)

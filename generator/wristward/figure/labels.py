"""Where names go on a section: inside a belly that has room, else in a column at the side with a leader.

Names never overlap one another, never leave the box and never lie on a nerve or vessel. The arithmetic uses
no font: widths are generous guesses. ``browser/section/labels.js`` does the same with the same numbers, which ``shared``
hands over; a test compares the two.
"""

from __future__ import annotations

from dataclasses import dataclass

from wristward.figure.legend import Entry
from wristward.figure.view import COLUMN, HEIGHT, WIDTH, View
from wristward.section.section import Point, Solved

SIZE = 17
"""Type size of a label, units."""

LINE = 19
MARGIN = 8
GAP = 5
PORT = 10
"""Leaders end this far from the column's inner edge."""

CLEAR = 1.5
"""Room kept between an inside name and a nerve or vessel, units."""

EMS = {"narrow": 0.38, "wide": 0.98, "capital": 0.74, "other": 0.62}
"""Guessed widths of letters, shares of the type size."""

NARROW = "iljtfrI.,'() "
WIDE = "mwMW"

HALF_HEIGHT = 0.45
"""Half of what a line of type takes of the height, a share of its size."""

BASELINE = 0.34
"""How far below its middle a line of type stands, a share of its size."""

SPREAD = 1.3
"""Names beside a section lie this much further from the middle's height than what they name."""

# Places tried for an inside name: steps from the centre in eighths of the outline's width and height, nearest first.
STEPS, EIGHTHS = 3, 8
TRIES = tuple(
    sorted(
        ((i, j) for i in range(-STEPS, STEPS + 1) for j in range(-STEPS, STEPS + 1)),
        key=lambda t: (t[0] ** 2 + t[1] ** 2, abs(t[0]), t),
    )
)

TIERS = {"nerve": 0, "artery": 0, "vein": 1, "muscle": 2, "bone": 2, "sheet": 3, "tendon": 3}
"""How soon a name is given up where a column is full: the highest first."""

BESIDE_ONLY = ("nerve", "artery", "vein", "sheet")
"""What is too small to hold a name, and named beside the section only."""

NARROW_SCREEN = "(max-width: 47.9rem)"
"""Where the two columns are cropped away; ``section.css`` says the same, and a test compares them."""

NARROW_SIZE = 21
"""Type size of a label on a narrow screen, units; as well in ``section.css``."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A structure that would like its name shown, in drawing units."""

    id: str
    inside: str | None
    """Short text that may lie within the outline; None for structures named only beside the section."""

    outside: str
    tier: int
    """When a column is full the highest tiers lose their names first."""

    anchor: Point
    ring: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Placed:
    """A name with its place: middle of the text, and the two ends of its leader where it lies outside."""

    id: str
    lines: tuple[str, ...]
    x: float
    y: float
    column: str
    """"inside", "left" or "right"."""

    anchor: Point
    port: Point


@dataclass(frozen=True, slots=True)
class Disc:
    """A nerve or vessel that no name may cover: centre and radius in units."""

    x: float
    y: float
    radius: float


def text_width(text: str) -> float:
    """Return a generous guess of a text's width in units."""
    ems = 0.0
    for letter in text:
        if letter in NARROW:
            ems += EMS["narrow"]
        elif letter in WIDE:
            ems += EMS["wide"]
        else:
            ems += EMS["capital"] if letter.isupper() else EMS["other"]
    return ems * SIZE


def wrap(text: str, *, width: float) -> tuple[str, ...]:
    """Break a text at spaces into lines no wider than ``width`` where words allow it."""
    lines: list[str] = []
    for word in text.split(" "):
        if lines and text_width(f"{lines[-1]} {word}") <= width:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(word)
    return tuple(lines)


def wanted_of(solved: Solved, entry: Entry, view: View, *, text: str | None = None) -> Wanted | None:
    """Return what a structure would like shown, or None for an accompanying vein, which is named on demand."""
    if entry.companion_of is not None and text is None:
        return None
    by_name = solved.tissue in BESIDE_ONLY
    inside = None if by_name else (entry.name if solved.tissue == "bone" else entry.short)
    outside = entry.short if solved.tissue == "tendon" else entry.name
    if text is not None:
        inside, outside = (None if by_name else text), text
    return Wanted(
        id=solved.id,
        inside=inside,
        outside=outside,
        tier=TIERS[solved.tissue],
        anchor=view.place(solved.centre_mm),
        ring=tuple(view.place(p) for p in solved.ring_mm),
    )


def place_labels(wanted: list[Wanted], discs: list[Disc]) -> list[Placed]:
    """Place as many names as there is room for.

    Args:
        wanted: Structures in drawing order.
        discs: Nerves and vessels, in units.

    Returns:
        The placed names, inside ones first, then left and right columns from top to bottom.
    """
    inside: list[Placed] = []
    rest: list[Wanted] = []
    for want in wanted:
        placed = _inside(want, discs)
        if placed is None:
            rest.append(want)
        else:
            inside.append(placed)
    left = [w for w in rest if w.anchor[0] < WIDTH / 2]
    right = [w for w in rest if w.anchor[0] >= WIDTH / 2]
    _balance(left, right)
    return inside + _column(left, "left") + _column(right, "right")


def inside_ring(x: float, y: float, ring: tuple[Point, ...]) -> bool:
    """Return whether a point lies inside a closed ring (even–odd rule)."""
    hit = False
    last_x, last_y = ring[-1]
    for here_x, here_y in ring:
        if (here_y > y) != (last_y > y) and x < (last_x - here_x) * (y - here_y) / (last_y - here_y) + here_x:
            hit = not hit
        last_x, last_y = here_x, here_y
    return hit


def _inside(want: Wanted, discs: list[Disc]) -> Placed | None:
    if want.inside is None:
        return None
    half_w = text_width(want.inside) / 2
    half_h = SIZE * HALF_HEIGHT
    step_x, step_y = (_extent([p[k] for p in want.ring]) / EIGHTHS for k in (0, 1))
    if EIGHTHS * step_x < 2 * half_w or EIGHTHS * step_y < 2 * half_h:
        return None
    for across, along in TRIES:
        x = want.anchor[0] + across * step_x
        y = want.anchor[1] + along * step_y
        corners = [(x + sx * half_w, y + sy * half_h) for sx in (-1, 0, 1) for sy in (-1, 1)]
        if not all(inside_ring(cx, cy, want.ring) for cx, cy in corners):
            continue
        if any(_covers(x, y, half_w, half_h, disc) for disc in discs):
            continue
        return Placed(want.id, (want.inside,), x, y, "inside", (x, y), (x, y))
    return None


def _extent(values: list[float]) -> float:
    return max(values) - min(values)


def _covers(x: float, y: float, half_w: float, half_h: float, disc: Disc) -> bool:
    dx = max(abs(disc.x - x) - half_w, 0)
    dy = max(abs(disc.y - y) - half_h, 0)
    return dx * dx + dy * dy < (disc.radius + CLEAR) ** 2


def _text_room() -> float:
    return COLUMN - PORT - MARGIN


def _height(want: Wanted) -> float:
    return len(wrap(want.outside, width=_text_room())) * LINE + GAP


def _balance(left: list[Wanted], right: list[Wanted]) -> None:
    """Move names next to the midline to the emptier side, then give up the least needed, until both fit."""
    room = HEIGHT - 2 * MARGIN
    while True:
        heights = [sum(_height(w) for w in side) for side in (left, right)]
        full, other = (left, right) if heights[0] >= heights[1] else (right, left)
        if max(heights) <= room:
            return
        nearest = min(full, key=lambda w: (abs(w.anchor[0] - WIDTH / 2), w.id))
        if min(heights) + _height(nearest) <= room:
            full.remove(nearest)
            other.append(nearest)
            continue
        least = max(full, key=lambda w: (w.tier, w.id))
        full.remove(least)


def _column(side: list[Wanted], column: str) -> list[Placed]:
    """Stack one column: each name as near as possible to its structure's height, leaders uncrossed."""
    port_x = COLUMN if column == "left" else WIDTH - COLUMN
    text_x = COLUMN - PORT if column == "left" else WIDTH - COLUMN + PORT
    order = sorted(side, key=lambda w: (w.anchor[1], w.id))
    heights = _stack(order)
    for _ in range(len(order)):
        swapped = False
        for k in range(len(order) - 1):
            if _cross(order[k].anchor, (port_x, heights[k]), order[k + 1].anchor, (port_x, heights[k + 1])):
                order[k], order[k + 1] = order[k + 1], order[k]
                heights = _stack(order)
                swapped = True
        if not swapped:
            break
    return [
        Placed(w.id, wrap(w.outside, width=_text_room()), text_x, y, column, w.anchor, (port_x, y))
        for w, y in zip(order, heights, strict=True)
    ]


def _stack(order: list[Wanted]) -> list[float]:
    """Return middles (units) for names in this order: least total shift without overlap (pooled neighbours)."""
    offsets, total = [], 0.0
    for want in order:
        height = _height(want)
        offsets.append(total + height / 2)
        total += height
    blocks: list[list[float]] = []
    for want, offset in zip(order, offsets, strict=True):
        spread = HEIGHT / 2 + (want.anchor[1] - HEIGHT / 2) * SPREAD
        blocks.append([spread - offset, 1])
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            value, count = blocks.pop()
            before, number = blocks[-1]
            blocks[-1] = [(before * number + value * count) / (number + count), number + count]
    starts = [value for value, count in blocks for _ in range(int(count))]
    highest = HEIGHT - MARGIN - total
    return [min(max(start, MARGIN), highest) + offset for start, offset in zip(starts, offsets, strict=True)]


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0

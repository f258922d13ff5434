"""From millimetres to drawing units: where a section sits in the figure's box.

The box is ``WIDTH`` by ``HEIGHT`` units. The section lies in the middle part, between two columns kept for
labels; on a narrow screen the columns are cropped away by the style sheet. ``browser/section/view.js`` does the same
arithmetic with the same numbers, which ``shared`` hands over, and a test holds the two together.
"""

from __future__ import annotations

from dataclasses import dataclass

from wristward.section.section import Point, Ring

WIDTH = 1040
HEIGHT = 600
COLUMN = 190
"""Width of each label column, units; the drawing has the 660 units between."""

CROP_LEFT, CROP_WIDTH = 150, 740
"""The part of the box kept where no names stand: the columns at its sides hold numbers at most."""

FIT_WIDTH = 616
FIT_HEIGHT = 500
BASE_SCALE = FIT_WIDTH / 90
"""Units per mm for a section 90 mm wide, about the elbow's."""

GROWTH = 0.65
"""A narrower section is enlarged by this power of what would fill the box: it still tapers, and stays readable."""

FINE = 10
"""Path coordinates are whole tenths of a unit: short to write, finer than a pixel."""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Scale (units per mm) and the point in mm that lies in the middle of the box."""

    scale: float
    middle_mm: Point

    def place(self, point_mm: Point) -> Point:
        """Return a point of the section in drawing units (x right, y down)."""
        x_mm, y_mm = point_mm
        return (
            WIDTH / 2 + (x_mm - self.middle_mm[0]) * self.scale,
            HEIGHT / 2 - (y_mm - self.middle_mm[1]) * self.scale,
        )


def view_of(skin_mm: Ring) -> View:
    """Return the view that shows a whole section, from its skin outline."""
    xs = [p[0] for p in skin_mm]
    ys = [p[1] for p in skin_mm]
    left, right, low, high = min(xs), max(xs), min(ys), max(ys)
    fit = min(FIT_WIDTH / (right - left), FIT_HEIGHT / (high - low))
    scale = fit if fit <= BASE_SCALE else BASE_SCALE * (fit / BASE_SCALE) ** GROWTH
    return View(scale=scale, middle_mm=((left + right) / 2, (low + high) / 2))


def ring_path(points: list[Point]) -> str:
    """Return a closed smooth path through the middles of a ring's edges, in whole tenths of a unit.

    Quadratic pieces with the ring's vertices as handles: no corner shows where an outline was sampled.
    """
    fine = [(round(x * FINE), round(y * FINE)) for x, y in points]
    last = fine[-1]
    pieces = [f"M{_half(last[0], fine[0][0])} {_half(last[1], fine[0][1])}"]
    for here, nxt in zip(fine, fine[1:] + fine[:1], strict=True):
        pieces.append(f"Q{here[0]} {here[1]} {_half(here[0], nxt[0])} {_half(here[1], nxt[1])}")
    return "".join(pieces) + "Z"


def _half(first: int, second: int) -> int:
    return (first + second) >> 1

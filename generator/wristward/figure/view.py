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
    """Return a closed smooth path through the middles of a ring's edges, in tenths of a unit.

    Quadratic pieces with the ring's vertices as handles: no corner shows where an outline was sampled. A vertex mirrors
    the one before in the middle between them, so only the first is written; the rest of the path are the steps from middle
    to middle, exact to half a tenth, which takes a third of the room.
    """
    fine = [(round(x * FINE), round(y * FINE)) for x, y in points]
    last, first, second = fine[-1], fine[0], fine[1 % len(fine)]
    begin = [_half(last[k] + first[k]) for k in (0, 1)]
    steps = [_half(two - one) for axes in ((last, first), (last, second)) for one, two in zip(*axes, strict=True)]
    for before, after in zip(fine, fine[2:] + fine[:2], strict=True):
        steps += [_half(after[k] - before[k]) for k in (0, 1)]
    return f"M{_line(begin)}q{_line(steps[:4])}t{_line(steps[4:-2])}Z"


def _half(doubled: int) -> str:
    return f"{doubled / 2:g}"


def _line(numbers: list[str]) -> str:
    """Return numbers side by side; a minus parts them as well as a space does."""
    return "".join(numbers[:1] + [one if one.startswith("-") else f" {one}" for one in numbers[1:]])

"""Charts along the forearm, elbow on the left: lines over height, bands of presence, and the strip over the slider.

Each chart is a static SVG that stands by itself, in print too, and the plotly figure that may take its place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from wristward.section.section import Section

WIDTH, HEIGHT = 720, 250
LEFT, RIGHT, TOP, BOTTOM = 52, 16, 16, 40
DASHES = ("", "9 5", "2 5", "12 4 2 4")
"""Lines differ by dash as well as by colour."""

ROLES = ("accent", "artery", "ink", "quiet-ink")
STRIP_HEIGHT_MM = 96
"""Height of the strip's box in millimetres of arm; the widest cut is about 90."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One quantity over height. ``values`` maps whole millimetres of height to a number; gaps are allowed."""

    name: str
    values: Mapping[int, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """What a chart shows: lines with a shared vertical scale, and what its axis says, unit included."""

    title: str
    axis: str
    lines: Sequence[Line]
    top_mm: int
    """Height of the elbow crease, mm."""

    downward: bool = False
    """Depth grows downward, as it does from the skin."""

    floor: float = 0.0
    ceiling: float | None = None
    """End of the vertical scale; None for a round number above the data."""


def draw_chart(chart: Chart, words: Mapping[str, str], *, chart_id: str, z_mm: float | None = None) -> str:
    """Draw a chart as an inline SVG with a title, a grid and a cursor at ``z_mm``."""
    most = ceiling_of(chart)
    parts = [
        f'<svg class="w-chart-svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-labelledby="{chart_id}-title'
        f' {chart_id}-desc" xmlns="http://www.w3.org/2000/svg">',
        f'<title id="{chart_id}-title">{escape(chart.title)}</title>',
        f'<desc id="{chart_id}-desc">{escape(describe(chart, words))}</desc>',
    ]
    for share in (0, 0.25, 0.5, 0.75, 1):
        value = chart.floor + share * (most - chart.floor)
        y = _y(chart, value, most)
        parts.append(f'<path class="w-grid" d="M{LEFT} {y:.1f}H{WIDTH - RIGHT}"/>')
        parts.append(f'<text class="w-tick" x="{LEFT - 7}" y="{y + 4:.1f}" text-anchor="end">{value:g}</text>')
    for z in range(0, chart.top_mm + 1, 50):
        x = _x(chart, z)
        parts.append(f'<path class="w-grid" d="M{x:.1f} {TOP}V{HEIGHT - BOTTOM}"/>')
        parts.append(
            f'<text class="w-tick" x="{x:.1f}" y="{HEIGHT - BOTTOM + 16}" text-anchor="middle">{z // 10}</text>'
        )
    parts.append(
        f'<text class="w-axis" x="{(LEFT + WIDTH - RIGHT) / 2:g}" y="{HEIGHT - 5}" text-anchor="middle">'
        f"{escape(words['figure.chart.height_axis'])}</text>"
    )
    parts.append(f'<text class="w-axis" x="{LEFT}" y="{TOP - 4}">{escape(chart.axis)}</text>')
    for index, line in enumerate(chart.lines):
        dash, role = DASHES[index % len(DASHES)], ROLES[index % len(ROLES)]
        attribute = f' stroke-dasharray="{dash}"' if dash else ""
        parts.append(
            f'<path class="w-line" d="{_line_path(chart, line, most)}" style="stroke:var(--w-{role})"{attribute}/>'
        )
        if len(chart.lines) > 1:
            x, y = WIDTH - RIGHT - 170, TOP + 14 + 18 * index
            parts.append(f'<path class="w-line" d="M{x} {y - 4}h28" style="stroke:var(--w-{role})"{attribute}/>')
            parts.append(f'<text class="w-key" x="{x + 34}" y="{y}">{escape(line.name)}</text>')
    x = _x(chart, chart.top_mm / 2 if z_mm is None else z_mm)
    hidden = ' visibility="hidden"' if z_mm is None else ""
    parts.append(f'<path class="w-cursor" d="M0 {TOP}V{HEIGHT - BOTTOM}" transform="translate({x:.1f} 0)"{hidden}/>')
    parts.append("</svg>")
    return "".join(parts)


def describe(chart: Chart, words: Mapping[str, str]) -> str:
    """Return a chart in words: for each line its range and where its least and greatest values lie."""
    sentences = []
    for line in chart.lines:
        if not line.values:
            continue
        low = min(line.values, key=lambda z: (line.values[z], z))
        high = max(line.values, key=lambda z: (line.values[z], z))
        sentences.append(
            words["figure.chart.range"].format(
                name=line.name,
                low=f"{line.values[low]:.0f}",
                low_cm=f"{low / 10:g}",
                high=f"{line.values[high]:.0f}",
                high_cm=f"{high / 10:g}",
                axis=chart.axis,
            )
        )
    return " ".join(sentences)


def chart_figure(chart: Chart, words: Mapping[str, str]) -> dict[str, Any]:
    """Return the same chart as a plain plotly figure ``{"data", "layout"}``; gaps stay gaps."""
    data = []
    for index, line in enumerate(chart.lines):
        heights = list(range(chart.top_mm, -1, -1))
        data.append(
            {
                "type": "scatter",
                "mode": "lines",
                "name": line.name,
                "x": [z / 10 for z in heights],
                "y": [line.values.get(z) for z in heights],
                "connectgaps": False,
                "line": {"dash": ("solid", "dash", "dot", "dashdot")[index % 4], "width": 2.5},
            }
        )
    most = ceiling_of(chart)
    span = [most, chart.floor] if chart.downward else [chart.floor, most]
    return {
        "data": data,
        "layout": {
            "hovermode": "x",
            "showlegend": len(data) > 1,
            "margin": {"l": 52, "r": 12, "t": 10, "b": 44},
            "xaxis": {"range": [chart.top_mm / 10, 0], "title": {"text": words["figure.chart.height_axis"]}},
            "yaxis": {"range": span, "title": {"text": chart.axis}},
        },
    }


def ceiling_of(chart: Chart) -> float:
    """Return the end of the vertical scale: the given one, or a round number at or above the data."""
    if chart.ceiling is not None:
        return chart.ceiling
    most = max((value for line in chart.lines for value in line.values.values()), default=1.0)
    for step in (4, 8, 12, 20, 40, 80, 120, 200, 400, 800, 1200, 2000, 4000):
        if most <= step:
            return float(step)
    return float(most)


def draw_strip(sections: Mapping[int, Section], bones: Sequence[str], *, z_mm: float) -> str:
    """Draw the forearm from the front, lying elbow left: its outline, bones, and a cursor; decoration for the slider.

    The ulnar border is on top, as a right arm lies when it is seen from the front with the hand to the right.
    """
    top = max(sections)
    half = STRIP_HEIGHT_MM / 2
    edges = {z: _extent(s.skin_mm) for z, s in sections.items()}
    outline = _band(edges, top)
    parts = [
        f'<svg class="w-strip" viewBox="0 {-half:g} {top} {STRIP_HEIGHT_MM}" preserveAspectRatio="none"'
        ' aria-hidden="true" xmlns="http://www.w3.org/2000/svg"><g class="w-strip-arm">',
        f'<path class="w-strip-skin" d="{outline}"/>',
    ]
    for bone in bones:
        cut = {z: found.ring_mm for z, s in sections.items() if (found := s.find(bone)) is not None}
        if len(cut) > 1:
            parts.append(f'<path class="w-strip-bone" d="{_band({z: _extent(r) for z, r in cut.items()}, top)}"/>')
    parts.append(
        '<g data-part="course" class="w-course"><path class="w-course-halo"/><path class="w-course-line"/></g></g>'
        f'<line data-part="cursor" class="w-strip-cursor" x1="{top - z_mm:g}" x2="{top - z_mm:g}"'
        f' y1="{-half:g}" y2="{half:g}"/></svg>'
    )
    return "".join(parts)


def _extent(ring: Sequence[tuple[float, float]]) -> tuple[float, float]:
    xs = [point[0] for point in ring]
    return min(xs), max(xs)


def _band(edges: Mapping[int, tuple[float, float]], top: int) -> str:
    heights = [z for z in sorted(edges, reverse=True) if z % 4 == 0 or z in (min(edges), max(edges))]
    upper = [f"{top - z} {-edges[z][1]:.1f}" for z in heights]
    lower = [f"{top - z} {-edges[z][0]:.1f}" for z in reversed(heights)]
    return f"M{'L'.join(upper + lower)}Z"


def _x(chart: Chart, z_mm: float) -> float:
    return LEFT + (1 - z_mm / chart.top_mm) * (WIDTH - LEFT - RIGHT)


def _y(chart: Chart, value: float, most: float) -> float:
    share = (value - chart.floor) / (most - chart.floor)
    inner = HEIGHT - TOP - BOTTOM
    return TOP + share * inner if chart.downward else TOP + (1 - share) * inner


def _line_path(chart: Chart, line: Line, most: float) -> str:
    pieces, last = [], None
    for z in sorted(line.values, reverse=True):
        pen = "L" if last == z + 1 else "M"
        pieces.append(f"{pen}{_x(chart, z):.1f} {_y(chart, line.values[z], most):.1f}")
        last = z
    return "".join(pieces)

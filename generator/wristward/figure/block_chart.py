"""The chances of one block along the forearm, elbow on the left: all at once above, each branch below.

A static SVG that stands by itself, and the plotly figure that may take its place. ``browser/blocks/chart.js`` moves the
same paths; where they lie is handed to it by ``frame``, so that both draw the same picture.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from wristward.block.blocks import READINGS

WIDTH = 480
LEFT, RIGHT = 40, 14
JOINT = (30, 140)
"""Top and bottom of the upper panel, units."""

EACH = (176, 316)
"""Of the lower one; a block of a single branch has none."""

FOOT = 62
"""Under the lowest panel: ticks, the bathed length, what the axis is."""

STEP_MM = 2
TICK_MM = 50
BADGE_AT = (0.78, 0.5, 0.22)
"""Chances at which the numbers of the lines stand, in turn, so that neighbouring lines keep theirs apart."""

LEAST_SHOWN = 0.02
"""A line that stays below this chance carries no number."""

TICK_DROP = 15
"""How far below the lowest panel the ticks' numbers stand, units."""

JOINT_KEY = "both"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChanceLine:
    """One chance over height: index of the values is the height in whole mm, 0 to 1."""

    key: str
    name: str
    role: str
    """both, wanted, unwanted or apart."""

    take_off: Sequence[float]
    parting: Sequence[float] | None = None
    """None where both readings count the same event."""

    number: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockChart:
    """What the chart of one block shows, heights in mm of the arm."""

    title: str
    joint_title: str
    joint: ChanceLine
    each: Sequence[ChanceLine]
    windows: Mapping[str, tuple[float, float] | None]
    best: Mapping[str, tuple[float, float]]
    """By reading: the best level, mm, and its chance."""

    bathed_mm: float
    z_mm: float
    in_reach: bool = True
    """Whether any level has the nerve in reach; without one there is no best."""

    @property
    def top_mm(self) -> int:
        """Height of the elbow crease in this arm, mm."""
        return len(self.joint.take_off) - 1

    @property
    def two(self) -> bool:
        """Say whether there is a lower panel."""
        return len(self.each) > 1


def frame(chart: BlockChart) -> dict[str, Any]:
    """Return where things lie, units: what the browser needs to draw the same picture."""
    bottom = (EACH if chart.two else JOINT)[1]
    return {
        "width": WIDTH,
        "height": bottom + FOOT,
        "left": LEFT,
        "right": WIDTH - RIGHT,
        "joint": list(JOINT),
        "each": list(EACH) if chart.two else None,
        "bathed": bottom + 26,
        "step": STEP_MM,
        "tick": TICK_MM,
        "badges": list(BADGE_AT),
        "least": LEAST_SHOWN,
    }


def draw_block_chart(chart: BlockChart, words: Mapping[str, str], *, chart_id: str) -> str:
    """Draw the chart.

    Args:
        chart: What it shows.
        words: Readers' words; ``block_levels.chart.*`` is used.
        chart_id: Prefix of the ids inside, unique on its page.
    """
    seen = frame(chart)
    bottom = (seen["each"] or seen["joint"])[1]
    parts = [
        f'<svg class="w-b-svg" viewBox="0 0 {WIDTH} {seen["height"]}" role="img" aria-labelledby="{chart_id}-title'
        f' {chart_id}-desc" xmlns="http://www.w3.org/2000/svg"><title id="{chart_id}-title">{escape(chart.title)}</title>',
        f'<desc id="{chart_id}-desc">{escape(_described(chart, words))}</desc>',
        f'<defs><pattern id="{chart_id}-hatch" width="7" height="7" patternUnits="userSpaceOnUse"'
        f' patternTransform="rotate(45)"><path class="w-b-hatch" d="M0 0V7"/></pattern></defs>',
    ]
    for reading in READINGS:
        fill = f' fill="url(#{chart_id}-hatch)"' if reading == "parting" else ""
        parts.append(
            f'<path class="w-b-window w-b-window-{reading}" data-window="{reading}"{fill}'
            f' d="{window_path(chart, chart.windows[reading])}"/>'
        )
    parts.append(f'<g data-part="ticks">{_ticks(chart, bottom)}</g>')
    parts.append(_panel(JOINT, chart.joint_title))
    parts.append(_line(chart, chart.joint, JOINT))
    if chart.two:
        parts.append(_panel(EACH, words["block_levels.chart.each"]))
        parts.extend(_line(chart, line, EACH) for line in chart.each)
        parts.extend(_badge(chart, line) for line in chart.each if line.number is not None)
    for reading in READINGS if chart.joint.parting is not None else READINGS[:1]:
        x, y = place_x(chart, chart.best[reading][0]), place_y(chart.best[reading][1], JOINT)
        hidden = "" if chart.in_reach else ' visibility="hidden"'
        parts.append(
            f'<path class="w-b-best w-b-best-{reading}" data-best="{reading}" d="M0-6l6 6l-6 6l-6-6z"'
            f' transform="translate({x:.1f} {y:.1f})"{hidden}/>'
        )
    low = max(0.0, chart.z_mm - chart.bathed_mm / 2)
    high = min(float(chart.top_mm), chart.z_mm + chart.bathed_mm / 2)
    left, right, at = place_x(chart, high), place_x(chart, low), place_x(chart, chart.z_mm)
    y = seen["bathed"]
    parts.append(f'<path class="w-b-bathed" data-part="bathed" d="M{left:.1f} {y}H{right:.1f}"/>')
    parts.append(
        f'<path class="w-cursor" data-part="cursor" d="M0 {JOINT[0]}V{y + 6}" transform="translate({at:.1f} 0)"/>'
    )
    parts.append(
        f'<text class="w-b-tick" x="{(LEFT + WIDTH - RIGHT) / 2:g}" y="{seen["height"] - 6}" text-anchor="middle">'
        f"{escape(words['block_levels.chart.axis'])}</text></svg>"
    )
    return "".join(parts)


def plotly_of(chart: BlockChart, words: Mapping[str, str]) -> dict[str, Any]:
    """Return the same chart as a plain plotly figure ``{"data", "layout"}``; the browser gives it its colours.

    Traces carry the key of the path they stand for as ``uid``: ``window-<reading>``, ``<key>-<reading>``, ``cursor-…``.
    """
    data = []
    for panel in ("", "2") if chart.two else ("",):
        for reading in READINGS:
            data.append(
                _plain_trace(f"window{panel}-{reading}", panel, fill=True, name=words[f"block.reading.{reading}"])
            )
    for line in (chart.joint, *(chart.each if chart.two else ())):
        panel = "" if line.role == "both" else "2"
        for reading in READINGS if line.parting is not None else READINGS[:1]:
            name = line.name if line.parting is None else f"{line.name}, {words[f'block.reading.{reading}']}"
            trace = _plain_trace(f"{line.key}-{reading}", panel, name=name)
            values = line.take_off if reading == "take_off" or line.parting is None else line.parting
            heights = range(0, chart.top_mm + 1, STEP_MM)
            trace["x"] = [z / 10 for z in heights]
            trace["y"] = [round(100 * values[z], 1) for z in heights]
            data.append(trace)
    for panel in ("", "2") if chart.two else ("",):
        data.append(_plain_trace(f"cursor{panel}", panel))
    layout: dict[str, Any] = {
        "hovermode": "closest",
        "showlegend": False,
        "margin": {"l": 42, "r": 12, "t": 10, "b": 44},
        "xaxis": {"range": [chart.top_mm / 10, 0], "title": {"text": words["block_levels.chart.axis"]}},
        "yaxis": {"range": [0, 102], "domain": [0.58, 1] if chart.two else [0, 1]},
    }
    if chart.two:
        layout["yaxis2"] = {"range": [0, 102], "domain": [0, 0.48]}
        layout["xaxis"]["anchor"] = "y2"
    return {"data": data, "layout": layout}


def place_x(chart: BlockChart, z_mm: float) -> float:
    """Return the x of a height, units."""
    return LEFT + (1 - z_mm / chart.top_mm) * (WIDTH - LEFT - RIGHT)


def place_y(chance: float, panel: tuple[int, int]) -> float:
    """Return the y of a chance in a panel, units."""
    return panel[1] - chance * (panel[1] - panel[0])


def window_path(chart: BlockChart, window: tuple[float, float] | None) -> str:
    """Return a window as a band through the panels, or nothing where there is none."""
    if window is None:
        return ""
    left, right = place_x(chart, window[1]), place_x(chart, window[0])
    panels = (JOINT, EACH) if chart.two else (JOINT,)
    return "".join(f"M{left:.1f} {top}H{right:.1f}V{bottom}H{left:.1f}Z" for top, bottom in panels)


def badge_place(chart: BlockChart, line: ChanceLine) -> tuple[float, float] | None:
    """Return where a line's number stands: at the lowest height that reaches its chance, or at the line's highest."""
    values = line.take_off
    level = BADGE_AT[((line.number or 1) - 1) % len(BADGE_AT)]
    most = max(values)
    if most < LEAST_SHOWN:
        return None
    at = next(z for z, value in enumerate(values) if value >= min(level, most))
    return place_x(chart, at), place_y(values[at], EACH)


def _line(chart: BlockChart, line: ChanceLine, panel: tuple[int, int]) -> str:
    out = []
    # The pessimistic reading lies under the other, so that where both agree the solid line is seen.
    for reading in reversed(READINGS):
        values = line.take_off if reading == "take_off" else line.parting
        if values is None:
            continue
        out.append(
            f'<path class="w-b-line w-b-{line.role} w-b-{reading}" data-line="{line.key}" data-reading="{reading}"'
            f' d="{_path(chart, values, panel)}"/>'
        )
    return "".join(out)


def _path(chart: BlockChart, values: Sequence[float], panel: tuple[int, int]) -> str:
    heights = [*range(0, chart.top_mm, STEP_MM), chart.top_mm]
    return "M" + "L".join(f"{place_x(chart, z):.1f} {place_y(values[z], panel):.1f}" for z in heights)


def _badge(chart: BlockChart, line: ChanceLine) -> str:
    place = badge_place(chart, line)
    x, y = place if place is not None else (0.0, 0.0)
    hidden = ' visibility="hidden"' if place is None else ""
    return (
        f'<g class="w-b-badge w-b-badge-{line.role}" data-badge="{line.key}" transform="translate({x:.1f} {y:.1f})"{hidden}>'
        f'<circle r="8"/><text y="4" text-anchor="middle">{line.number}</text></g>'
    )


def _panel(panel: tuple[int, int], title: str) -> str:
    top, bottom = panel
    parts = [f'<text class="w-b-head" x="{LEFT}" y="{top - 10}">{escape(title)}</text>']
    for share in (0, 0.5, 1):
        y = place_y(share, panel)
        parts.append(f'<path class="w-grid" d="M{LEFT} {y:g}H{WIDTH - RIGHT}"/>')
        parts.append(f'<text class="w-b-tick" x="{LEFT - 6}" y="{y + 4:g}" text-anchor="end">{100 * share:g}</text>')
    parts.append(f'<path class="w-grid" d="M{LEFT} {top}V{bottom}M{WIDTH - RIGHT} {top}V{bottom}"/>')
    return "".join(parts)


def _ticks(chart: BlockChart, bottom: int) -> str:
    parts = []
    for z in range(0, chart.top_mm + 1, TICK_MM):
        x = place_x(chart, z)
        parts.append(f'<path class="w-grid" d="M{x:.1f} {JOINT[0]}V{bottom}"/>')
        parts.append(
            f'<text class="w-b-tick" x="{x:.1f}" y="{bottom + TICK_DROP}" text-anchor="middle">{z // 10}</text>'
        )
    return "".join(parts)


def _described(chart: BlockChart, words: Mapping[str, str]) -> str:
    said = [chart.joint_title + "."]
    for reading in READINGS if chart.joint.parting is not None else READINGS[: int(chart.in_reach)]:
        z_mm, chance = chart.best[reading]
        key = "best" if chart.joint.parting is None else f"best_{reading}"
        said.append(words[f"block_levels.chart.{key}"].format(cm=f"{z_mm / 10:g}", chance=f"{100 * chance:.0f}"))
    return " ".join(said)


def _plain_trace(uid: str, panel: str, *, name: str = "", fill: bool = False) -> dict[str, Any]:
    trace: dict[str, Any] = {
        "type": "scatter",
        "mode": "lines",
        "uid": uid,
        "name": name,
        "x": [],
        "y": [],
        "yaxis": f"y{panel}",
        "hoverinfo": "skip" if fill or not name else "x+y+name",
    }
    if fill:
        trace["fill"] = "toself"
        trace["line"] = {"width": 0}
    return trace

"""Every study of a nerve's branches as a dot with whiskers on one axis from elbow to wrist, above it the pooled value.

A static SVG that stands by itself, readable at the width of a phone; the table beside it says the same in numbers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

WIDTH = 480
SIDE = 16
FROM_MM, TO_MM = 340.0, -30.0
"""Ends of the axis, proximal first: a little beyond both creases. Whiskers that go on are cut off with an arrow."""

STEP_MM = 50
LETTER = 6.3
"""Width to reckon with for a letter of a study's name, units; generous for system fonts at 11.5 units."""

NAME_LETTER = 7.6
"""The same for an event's name at 13 units, bold."""

LINE, HEAD, POOLED, STUDY, GAP = 17, 30, 22, 19, 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """One study of an event; heights in mm above the wrist crease, None where not published."""

    name: str
    mean_mm: float | None
    sd_mm: float | None = None
    range_mm: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One event: its pooled distribution and the studies that give a height."""

    name: str
    prevalence: str
    mean_mm: float
    sd_mm: float
    low_mm: float
    high_mm: float
    dots: Sequence[Dot]


def draw_branch_dots(rows: Sequence[Row], words: Mapping[str, str], *, title: str, top_mm: float, chart_id: str) -> str:
    """Draw the events of a nerve.

    Args:
        rows: Events, the most proximal first.
        words: Readers' words; ``teach.branches.*`` is used.
        title: Title of the chart.
        top_mm: Height of the elbow crease, mm.
        chart_id: Prefix of the ids inside, unique on its page.
    """
    height = 44 + sum(_height(row) for row in rows) + 40
    parts = [
        f'<svg class="b-dots" viewBox="0 0 {WIDTH} {height}" role="img" aria-labelledby="{chart_id}-title'
        f' {chart_id}-desc" xmlns="http://www.w3.org/2000/svg">',
        f'<title id="{chart_id}-title">{escape(title)}</title>',
        f'<desc id="{chart_id}-desc">{escape(_described(rows, words))}</desc>',
        _axis(words, top_mm=top_mm, height=height),
    ]
    y = 44.0
    for row in rows:
        parts.append(_row(row, y))
        y += _height(row)
    parts.append("</svg>")
    return "".join(parts)


def place_mm(z_mm: float) -> float:
    """Return the x of a height, units; beyond the axis, its end."""
    inside = min(max(z_mm, TO_MM), FROM_MM)
    return SIDE + (FROM_MM - inside) / (FROM_MM - TO_MM) * (WIDTH - 2 * SIDE)


def label_side(left: float, right: float, text: str) -> tuple[str, float] | None:
    """Return the anchor and x of a study's name beside its whiskers, or None where neither side has the room."""
    need = LETTER * len(text) + 10
    if left - SIDE >= need and left - SIDE >= WIDTH - SIDE - right:
        return "end", left - 8
    if WIDTH - SIDE - right >= need:
        return "start", right + 8
    if left - SIDE >= need:
        return "end", left - 8
    return None


def name_lines(row: Row) -> list[str]:
    """Return an event's name in lines that leave room for the share at the right."""
    room = WIDTH - 2 * SIDE - LETTER * len(row.prevalence) - 12
    lines: list[str] = []
    for word in row.name.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and NAME_LETTER * len(longer) > room:
            lines.append(word)
        else:
            lines[-1:] = [longer]
    return lines


def _height(row: Row) -> float:
    return (
        HEAD
        + LINE * (len(name_lines(row)) - 1)
        + POOLED
        + GAP
        + sum(STUDY * (1 if _fits(dot) else 2) for dot in row.dots)
    )


def _fits(dot: Dot) -> bool:
    return label_side(*_ends(dot), dot.name) is not None


def _ends(dot: Dot) -> tuple[float, float]:
    heights = list(dot.range_mm or ())
    if dot.mean_mm is not None:
        spread = dot.sd_mm or 0.0
        heights += [dot.mean_mm - spread, dot.mean_mm + spread]
    return place_mm(max(heights)), place_mm(min(heights))


def _axis(words: Mapping[str, str], *, top_mm: float, height: float) -> str:
    low, high, foot = place_mm(0), place_mm(top_mm), height - 34
    parts = [f'<path class="b-arm" d="M{high:.1f} 22H{low:.1f}V{foot}H{high:.1f}Z"/>']
    for z_mm in range(0, int(FROM_MM), STEP_MM):
        x = place_mm(z_mm)
        parts.append(f'<path class="b-grid" d="M{x:.1f} 22V{foot}"/>')
        parts.append(f'<text class="b-tick" x="{x:.1f}" y="{foot + 14}" text-anchor="middle">{z_mm // 10}</text>')
    parts.append(f'<text class="b-tick" x="{high:.1f}" y="16" text-anchor="middle">{_word(words, "proximal")}</text>')
    parts.append(f'<text class="b-tick" x="{low:.1f}" y="16" text-anchor="end">{_word(words, "distal")}</text>')
    parts.append(
        f'<text class="b-tick" x="{WIDTH / 2:g}" y="{height - 4}" text-anchor="middle">{_word(words, "axis")}</text>'
    )
    return "".join(parts)


def _row(row: Row, top: float) -> str:
    lines = name_lines(row)
    y = top + HEAD + LINE * (len(lines) - 1)
    parts = [
        *(
            f'<text class="b-name" x="{SIDE}" y="{top + 13 + LINE * at:.1f}">{escape(line)}</text>'
            for at, line in enumerate(lines)
        ),
        f'<text class="b-tick" x="{WIDTH - SIDE}" y="{top + 13:.1f}" text-anchor="end">{escape(row.prevalence)}</text>',
        f'<path class="b-pooled-range" d="M{place_mm(row.high_mm):.1f} {y}H{place_mm(row.low_mm):.1f}"/>',
        f'<path class="b-pooled-sd" d="M{place_mm(row.mean_mm + row.sd_mm):.1f} {y}'
        f'H{place_mm(row.mean_mm - row.sd_mm):.1f}"/>',
        f'<path class="b-pooled" d="M{place_mm(row.mean_mm):.1f} {y - 8}l8 8l-8 8l-8-8z"/>',
    ]
    y += POOLED
    for dot in row.dots:
        fits = label_side(*_ends(dot), dot.name)
        if fits is None:
            parts.append(f'<text class="b-study" x="{SIDE}" y="{y + 4:.1f}">{escape(dot.name)}</text>')
            y += STUDY
        else:
            anchor, x = fits
            parts.append(
                f'<text class="b-study" x="{x:.1f}" y="{y + 4:.1f}" text-anchor="{anchor}">{escape(dot.name)}</text>'
            )
        parts.append(_dot(dot, y))
        y += STUDY
    return "".join(parts)


def _dot(dot: Dot, y: float) -> str:
    parts = []
    if dot.range_mm is not None:
        low, high = dot.range_mm
        left, right = place_mm(high), place_mm(low)
        parts.append(f'<path class="b-range" d="M{left:.1f} {y:.1f}H{right:.1f}"/>')
        parts.append(_end(left, y, cut=high > FROM_MM, way=-1) + _end(right, y, cut=low < TO_MM, way=1))
    if dot.mean_mm is not None and dot.sd_mm is not None:
        left, right = place_mm(dot.mean_mm + dot.sd_mm), place_mm(dot.mean_mm - dot.sd_mm)
        parts.append(f'<path class="b-sd" d="M{left:.1f} {y:.1f}H{right:.1f}"/>')
    if dot.mean_mm is not None:
        parts.append(
            f'<circle class="b-dot" data-z-mm="{dot.mean_mm:g}" cx="{place_mm(dot.mean_mm):.1f}" cy="{y:.1f}" r="4.6"/>'
        )
    return "".join(parts)


def _end(x: float, y: float, *, cut: bool, way: int) -> str:
    if cut:
        return f'<path class="b-sd" d="M{x - 5 * way:.1f} {y - 5:.1f}L{x:.1f} {y:.1f}L{x - 5 * way:.1f} {y + 5:.1f}"/>'
    return f'<path class="b-sd" d="M{x:.1f} {y - 4:.1f}V{y + 4:.1f}"/>'


def _described(rows: Sequence[Row], words: Mapping[str, str]) -> str:
    return " ".join(
        words["teach.branches.told"].format(
            name=row.name, mean=f"{row.mean_mm / 10:g}", sd=f"{row.sd_mm / 10:g}", studies=len(row.dots)
        )
        for row in rows
    )


def _word(words: Mapping[str, str], key: str) -> str:
    return escape(words[f"teach.branches.{key}"])

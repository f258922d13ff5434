"""How much of a section each kind of tissue fills, as bars: a figure kind that is added by a test and taken out again."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from wristward.data.kinds import AS_TOLD
from wristward.section.section import Section

WIDTH, ROW, NAME, LONGEST = 400, 24, 100, 280


def shares_of(section: Section) -> dict[str, float]:
    """Return the area of each kind of tissue that is cut, mm², in the order in which kinds are told."""
    areas = {kind: sum(one.area_mm2 for one in section.structures if one.tissue == kind) for kind in AS_TOLD}
    return {kind: round(area, 1) for kind, area in areas.items() if area > 0}


def draw_shares(section: Section, words: Mapping[str, str]) -> str:
    """Return the bars as an SVG that needs no script."""
    shares = shares_of(section)
    most = max(shares.values())
    rows = [
        f'<g data-kind="{kind}" transform="translate(0 {place * ROW})"><text x="0" y="17">'
        f'{escape(words[f"figure.kinds.{kind}"])}</text><rect x="{NAME}" y="4" height="16"'
        f' width="{LONGEST * area / most:.1f}" fill="var(--w-accent)"/></g>'
        for place, (kind, area) in enumerate(shares.items())
    ]
    title = escape(words["figure.shares.title"], quote=True)
    return f'<svg viewBox="0 0 {WIDTH} {ROW * len(rows)}" role="img" aria-label="{title}">{"".join(rows)}</svg>'

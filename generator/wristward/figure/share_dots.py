"""Published shares of a variant as dots on one axis, above them the share shown first. A static SVG."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from wristward.figure.branch_dots import SIDE, WIDTH

STEP, HEAD, FOOT = 22, 30, 30
CEILINGS = (0.1, 0.2, 0.5, 1.0)
"""Shares at which the axis may end; the first that nothing published lies beyond."""


def draw_share_dots(
    shares: Sequence[tuple[str, float]], *, prevalence: float, interval: tuple[float, float] | None, title: str
) -> str:
    """Draw the published shares of a variant.

    Args:
        shares: Name of a study and its share, 0 to 1, in the order of the table beside it.
        prevalence: The share shown first.
        interval: Published span of it, drawn as a band, or None.
        title: What the chart is, for who cannot see it.
    """
    most = max([share for _, share in shares] + [prevalence, *(interval or ())])
    ceiling = next(step for step in CEILINGS if most <= step)
    height = HEAD + STEP * len(shares) + FOOT
    foot = height - FOOT

    def x(share: float) -> float:
        return SIDE + share / ceiling * (WIDTH - 2 * SIDE)

    parts = [
        f'<svg class="b-dots" viewBox="0 0 {WIDTH} {height}" role="img" aria-label="{escape(title)}"'
        ' xmlns="http://www.w3.org/2000/svg">'
    ]
    if interval is not None:
        low, high = interval
        parts.append(f'<path class="b-arm" d="M{x(low):.1f} 8H{x(high):.1f}V{foot}H{x(low):.1f}Z"/>')
    for quarter, anchor in enumerate(("start", "middle", "middle", "middle", "end")):
        share = ceiling * quarter / 4
        parts.append(f'<path class="b-grid" d="M{x(share):.1f} 8V{foot}"/>')
        parts.append(
            f'<text class="b-tick" x="{x(share):.1f}" y="{foot + 16}" text-anchor="{anchor}">{100 * share:g} %</text>'
        )
    parts.append(f'<path class="b-pooled" d="M{x(prevalence):.1f} 10l8 8l-8 8l-8-8z"/>')
    for index, (name, share) in enumerate(shares):
        y, to_right = HEAD + STEP * index + 12, x(share) < WIDTH / 2
        parts.append(f'<circle class="b-dot" data-share="{share:g}" cx="{x(share):.1f}" cy="{y}" r="4.6"/>')
        at, anchor = (x(share) + 10, "start") if to_right else (x(share) - 10, "end")
        parts.append(
            f'<text class="b-study" x="{at:.1f}" y="{y + 4}" text-anchor="{anchor}">{index + 1} {escape(name)}</text>'
        )
    return "".join(parts) + "</svg>"

"""Colours, hatches and letters of nerves on the hand map; told apart by any one of the three.

The letters' ink keeps 4.5:1 on every ground and the hatches 3:1, in light and dark; a test does the sums.
"""

from __future__ import annotations

from collections.abc import Mapping

GROUNDS = {
    "light": {"m": "#f6d9a8", "u": "#bfe3d6", "r": "#d9cdf0", "l": "#f3c9d6", "a": "#cfe0f2", "p": "#e2e2da"},
    "dark": {"m": "#5c4313", "u": "#14493a", "r": "#41306a", "l": "#672a43", "a": "#1d4266", "p": "#48483f"},
}
INKS = {"light": "#20262b", "dark": "#f4f1ea"}
HATCHES = {
    "light": {"m": "#8a5a00", "u": "#0b6b50", "r": "#5b3fa0", "l": "#a02a55", "a": "#1d5c96", "p": "#5d5d50"},
    "dark": {"m": "#f2c46b", "u": "#7fd9bd", "r": "#c3b1f2", "l": "#f3a3bf", "a": "#9ccaf5", "p": "#c9c9ba"},
}
MARKS: Mapping[str, str] = {
    "m": "M-1 1L1 -1M0 8L8 0M7 9L9 7",
    "u": "M0 2H8M0 6H8",
    "r": "M2 2h.1M6 6h.1",
    "l": "M-1 7L1 9M0 0L8 8M7 -1L9 1",
    "a": "M2 0V8M6 0V8",
    "p": "M4 1V7M1 4H7",
}
"""Path of one tile of 8 by 8 units: strokes up, level, dots, strokes down, upright, crosses."""

SIGNS: Mapping[str, str] = {
    "median_nerve": "m",
    "ulnar_nerve": "u",
    "superficial_radial_nerve": "r",
    "lateral_antebrachial_cutaneous_nerve": "l",
    "medial_antebrachial_cutaneous_nerve_anterior_branch": "a",
    "medial_antebrachial_cutaneous_nerve_posterior_branch": "a",
    "posterior_antebrachial_cutaneous_nerve": "p",
}
"""Sign of each nerve that serves skin of the hand; its letter is the sign in capitals. Both branches of the medial
antebrachial cutaneous nerve share one."""


def stylesheet() -> str:
    """Return the colours as custom properties: light, the theme's dark scheme, and print."""
    light, dark = _properties("light"), _properties("dark")
    return (
        f':root{{{light}}}[data-md-color-scheme="slate"]{{{dark}}}'
        f'@media print{{:root,[data-md-color-scheme="slate"],body{{{light}}}}}'
    )


def patterns(prefix: str) -> str:
    """Return the hatches, their ids prefixed; each also without ground, to lie over another."""
    found = []
    for sign, mark in MARKS.items():
        width = 2.4 if sign == "r" else 1.1
        stroke = (
            f'<path d="{mark}" fill="none" stroke="var(--h-hatch-{sign})" stroke-width="{width}"'
            ' stroke-linecap="round"/>'
        )
        ground = f'<path d="M0 0H8V8H0z" fill="var(--h-{sign})"/>'
        for name, inner in ((sign, ground + stroke), (f"{sign}-over", stroke)):
            found.append(
                f'<pattern id="{prefix}-{name}" width="8" height="8" patternUnits="userSpaceOnUse">{inner}</pattern>'
            )
    return f"<defs>{''.join(found)}</defs>"


def _properties(scheme: str) -> str:
    pairs = [(f"--h-{sign}", colour) for sign, colour in GROUNDS[scheme].items()]
    pairs += [(f"--h-hatch-{sign}", colour) for sign, colour in HATCHES[scheme].items()]
    pairs.append(("--h-ink", INKS[scheme]))
    return "".join(f"{name}:{colour};" for name, colour in pairs)

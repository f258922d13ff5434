"""Colours, hatches and letters of nerves on the hand map; told apart by any one of the three.

The letters' ink keeps 4.5:1 on every ground and the hatches 3:1, in light and dark; a test does the sums.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

INKS = {"light": "#20262b", "dark": "#f4f1ea"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How the nerves of one letter look."""

    grounds: Mapping[str, str]
    """Colour by scheme."""

    hatches: Mapping[str, str]
    mark: str
    """Path of one tile of 8 by 8 units."""

    width: float = 1.1
    """Of its strokes, units."""


LOOKS = (
    Look(
        grounds={"light": "#f6d9a8", "dark": "#5c4313"},
        hatches={"light": "#8a5a00", "dark": "#f2c46b"},
        mark="M-1 1L1 -1M0 8L8 0M7 9L9 7",  # strokes up
    ),
    Look(
        grounds={"light": "#bfe3d6", "dark": "#14493a"},
        hatches={"light": "#0b6b50", "dark": "#7fd9bd"},
        mark="M0 2H8M0 6H8",  # level
    ),
    Look(
        grounds={"light": "#d9cdf0", "dark": "#41306a"},
        hatches={"light": "#5b3fa0", "dark": "#c3b1f2"},
        mark="M2 2h.1M6 6h.1",  # dots
        width=2.4,
    ),
    Look(
        grounds={"light": "#f3c9d6", "dark": "#672a43"},
        hatches={"light": "#a02a55", "dark": "#f3a3bf"},
        mark="M-1 7L1 9M0 0L8 8M7 -1L9 1",  # strokes down
    ),
    Look(
        grounds={"light": "#cfe0f2", "dark": "#1d4266"},
        hatches={"light": "#1d5c96", "dark": "#9ccaf5"},
        mark="M2 0V8M6 0V8",  # upright
    ),
    Look(
        grounds={"light": "#e2e2da", "dark": "#48483f"},
        hatches={"light": "#5d5d50", "dark": "#c9c9ba"},
        mark="M4 1V7M1 4H7",  # crosses
    ),
)
"""In the order in which letters take them."""


def looks_of(signs: Mapping[str, str]) -> dict[str, Look]:
    """Return the look of each letter.

    Args:
        signs: Letter of each nerve, as many different ones as there are ``LOOKS`` at most.
    """
    return dict(zip(dict.fromkeys(signs.values()), LOOKS, strict=False))


def stylesheet(looks: Mapping[str, Look]) -> str:
    """Return the colours as custom properties: light, the theme's dark scheme, and print."""
    light, dark = _properties(looks, "light"), _properties(looks, "dark")
    return (
        f':root{{{light}}}[data-md-color-scheme="slate"]{{{dark}}}'
        f'@media print{{:root,[data-md-color-scheme="slate"],body{{{light}}}}}'
    )


def patterns(looks: Mapping[str, Look], prefix: str) -> str:
    """Return the hatches, their ids prefixed; each also without ground, to lie over another."""
    found = []
    for sign, look in looks.items():
        stroke = (
            f'<path d="{look.mark}" fill="none" stroke="var(--h-hatch-{sign})" stroke-width="{look.width}"'
            ' stroke-linecap="round"/>'
        )
        ground = f'<path d="M0 0H8V8H0z" fill="var(--h-{sign})"/>'
        for name, inner in ((sign, ground + stroke), (f"{sign}-over", stroke)):
            found.append(
                f'<pattern id="{prefix}-{name}" width="8" height="8" patternUnits="userSpaceOnUse">{inner}</pattern>'
            )
    return f"<defs>{''.join(found)}</defs>"


def _properties(looks: Mapping[str, Look], scheme: str) -> str:
    pairs = [(f"--h-{sign}", look.grounds[scheme]) for sign, look in looks.items()]
    pairs += [(f"--h-hatch-{sign}", look.hatches[scheme]) for sign, look in looks.items()]
    pairs.append(("--h-ink", INKS[scheme]))
    return "".join(f"{name}:{colour};" for name, colour in pairs)

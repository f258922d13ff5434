"""Colours of the figures; ``tests/figure/test_palette.py`` shows that they can be told apart.

Trade colours are kept (artery red, vein blue, nerve yellow), each with an outline, a hatch and a letter,
because red and blue differ by almost nothing in grey print. Muscles take quiet tones of flesh, rose and
ochre by compartment. Light and dark schemes name the same roles.
"""

from __future__ import annotations

from wristward.data.records.region import TONES

LIGHT: dict[str, str] = {
    "ground": "#ffffff",
    "ink": "#2a211c",
    "quiet-ink": "#63574e",
    "halo": "#ffffff",
    "leader": "#4e443c",
    "accent": "#1f4f8f",
    "skin": "#d6a988",
    "skin-line": "#7b5138",
    "fat": "#f8ecc9",
    "loose": "#f3e6d6",
    "fascia": "#5d4636",
    "muscle-flesh": "#e3a296",
    "muscle-brick": "#cb8279",
    "muscle-ochre": "#dfae82",
    "muscle-straw": "#d3b878",
    "muscle-clay": "#bfa48b",
    "muscle-rose": "#cda9a9",
    "muscle-line": "#452820",
    "muscle-ink": "#2b1712",
    "tendon": "#f7f3e6",
    "tendon-line": "#5a5038",
    "tendon-hatch": "#9c9274",
    "bone": "#fffdf5",
    "bone-line": "#4a4132",
    "bone-ink": "#33291a",
    "marrow": "#f1e2bf",
    "sheet": "#6d675c",
    "sheet-line": "#3c372f",
    "nerve": "#ffd428",
    "nerve-line": "#2a2000",
    "nerve-hatch": "#b78a00",
    "nerve-ink": "#1d1600",
    "artery": "#c41f2c",
    "artery-line": "#3b0509",
    "artery-hatch": "#c41f2c",
    "artery-ink": "#ffffff",
    "vein": "#2767ad",
    "vein-line": "#0a2140",
    "vein-hatch": "#8db8e6",
    "vein-ink": "#ffffff",
}

DARK: dict[str, str] = {
    "ground": "#1e2129",
    "ink": "#f1e8df",
    "quiet-ink": "#b9afa6",
    "halo": "#1e2129",
    "leader": "#d8ccc0",
    "accent": "#8fbcf5",
    "skin": "#8b6a50",
    "skin-line": "#d7b394",
    "fat": "#443d2b",
    "loose": "#2d2623",
    "fascia": "#d9c5aa",
    "muscle-flesh": "#8a4c46",
    "muscle-brick": "#6a3533",
    "muscle-ochre": "#7c5633",
    "muscle-straw": "#685a2e",
    "muscle-clay": "#55483d",
    "muscle-rose": "#674a54",
    "muscle-line": "#f0dccd",
    "muscle-ink": "#fff4ea",
    "tendon": "#5b5546",
    "tendon-line": "#f1e8cf",
    "tendon-hatch": "#b5ab8c",
    "bone": "#d6c9aa",
    "bone-line": "#15110a",
    "bone-ink": "#15110a",
    "marrow": "#b3a37d",
    "sheet": "#a9a294",
    "sheet-line": "#f3ede0",
    "nerve": "#ffd84a",
    "nerve-line": "#171200",
    "nerve-hatch": "#a87f00",
    "nerve-ink": "#171200",
    "artery": "#b9202b",
    "artery-line": "#ffe6e2",
    "artery-hatch": "#b9202b",
    "artery-ink": "#ffffff",
    "vein": "#2565ab",
    "vein-line": "#e3efff",
    "vein-hatch": "#79a9dd",
    "vein-ink": "#ffffff",
}


def fill_role(*, kind: str, tone: str | None) -> str:
    """Return the palette role that fills a tissue; a muscle without a tone of its own has the first."""
    if kind == "muscle":
        return f"muscle-{TONES[0] if tone is None else tone}"
    return kind


def stylesheet() -> str:
    """Return the palette as custom properties: light, the theme's dark scheme, the system's, and print."""
    light = _properties(LIGHT)
    dark = _properties(DARK)
    return (
        f":root{{{light}}}\n"
        f'[data-md-color-scheme="slate"]{{{dark}}}\n'
        f"@media screen and (prefers-color-scheme:dark){{body:not([data-md-color-scheme]){{{dark}}}}}\n"
        f'@media print{{:root,[data-md-color-scheme="slate"],body{{{light}}}}}\n'
    )


def _properties(scheme: dict[str, str]) -> str:
    return "".join(f"--w-{role}:{colour};" for role, colour in scheme.items())

"""What every plotly figure of a section has in common: layout, configuration, ruler, plotly's own words.

``browser/section/zoom.js`` builds the traces, from the outlines that the drawing has.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plotly.offline import get_plotlyjs

PLOTLY_WORDS = {
    "Download plot as a PNG": "figure.plotly.download",
    "Zoom": "figure.plotly.zoom",
    "Zoom in": "figure.plotly.zoom_in",
    "Zoom out": "figure.plotly.zoom_out",
    "Pan": "figure.plotly.pan",
    "Reset axes": "figure.plotly.reset",
    "Draw line": "figure.plotly.line",
    "Erase active shape": "figure.plotly.erase",
    "Preparing image - this may take a few seconds": "figure.plotly.preparing",
    "Sorry, there was a problem downloading your image!": "figure.plotly.failed",
    "Double-click to zoom back out": "figure.plotly.double",
}
"""What plotly says by itself, and the key of the catalogue that says it."""

LOCALE = "wristward"


def plotlyjs() -> bytes:
    """Return plotly's own script, as it is shipped with the Python package."""
    script: str = get_plotlyjs()
    return script.encode("utf-8")


def base(words: Mapping[str, str]) -> dict[str, Any]:
    """Return the parts of a section's figure that do not depend on the section: layout and configuration.

    Nothing is uploaded and nothing is shared: the logo and the cloud button are off.
    """
    return {
        "layout": {
            "margin": {"l": 48, "r": 8, "t": 8, "b": 36},
            "hovermode": "closest",
            "dragmode": "pan",
            "showlegend": False,
            "xaxis": {"scaleanchor": "y", "scaleratio": 1, "constrain": "domain"},
            "yaxis": {"constrain": "domain"},
            # Plotly's own line tool, with its length written on it, is the ruler.
            "newshape": {
                "line": {"width": 3},
                "label": {"texttemplate": words["figure.ruler"].replace("{length}", "%{length:.1f}")},
            },
        },
        "config": {
            "displaylogo": False,
            "showSendToCloud": False,
            "displayModeBar": True,
            "responsive": False,
            "scrollZoom": False,
            "doubleClick": "reset",
            "modeBarButtonsToRemove": ["select2d", "lasso2d", "autoScale2d", "toggleSpikelines"],
            "modeBarButtonsToAdd": ["drawline", "eraseshape"],
            "toImageButtonOptions": {"format": "png", "scale": 3, "filename": "wristward-section"},
            **_locale(words),
        },
    }


def _locale(words: Mapping[str, str]) -> dict[str, Any]:
    """Return plotly's own words and decimal sign in the page's language; nothing where it speaks as it is shipped."""
    decimal = words.get("language.decimal", ".")
    said = {text: words[key] for text, key in PLOTLY_WORDS.items() if words.get(key, text) != text}
    if not said and decimal == ".":
        return {}
    number = {"decimal": decimal, "thousands": "\u202f", "grouping": [3], "currency": ["", ""]}
    return {"locale": LOCALE, "locales": {LOCALE: {"dictionary": said, "format": number}}}

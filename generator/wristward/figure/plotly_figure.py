"""A section as a plain plotly figure: one filled trace per structure, hover names, zoom, pan and a ruler.

Plain dicts of lists: plotly would write arrays as base64, which no diff can show. ``browser/section/zoom.js`` builds the
same traces in the browser and shares ``base()``.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plotly.offline import get_plotlyjs

from wristward.data.kinds import BACK_TO_FRONT
from wristward.figure import palette
from wristward.figure.drawing import title_of
from wristward.figure.legend import Legend
from wristward.section.section import Ring, Section

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
HATCH = {"vein": "/", "tendon": "|", "nerve": "."}


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


def section_figure(
    section: Section, legend: Legend, words: Mapping[str, str], *, scheme: str = "light"
) -> dict[str, Any]:
    """Return ``{"data", "layout", "config"}`` of one section; coordinates in mm, to a hundredth.

    Args:
        section: A solved section.
        legend: Names and compartments.
        words: ``figure.*`` of the word catalogue.
        scheme: Palette, "light" or "dark".
    """
    colours = palette.SCHEMES[scheme]
    ordered = sorted(section.structures, key=lambda s: (BACK_TO_FRONT.index(s.kind), s.id))
    data = [
        _trace("skin", words["figure.region.fat"], section.skin_mm, colours["fat"], colours["skin"], 5, None),
        _trace(
            "fascia", words["figure.region.loose"], section.fascia_mm, colours["loose"], colours["fascia"], 1.2, None
        ),
    ]
    for solved in ordered:
        entry = legend[solved.id]
        role = palette.fill_role(kind=solved.tissue, compartment=entry.compartment)
        hatch = (HATCH[solved.tissue], colours[f"{solved.tissue}-hatch"]) if solved.tissue in HATCH else None
        data.append(
            _trace(solved.id, entry.name, solved.ring_mm, colours[role], colours[f"{solved.tissue}-line"], 1.2, hatch)
        )
    shared = base(words)
    layout = {
        **shared["layout"],
        "title": {"text": title_of(section, words)},
        "paper_bgcolor": colours["ground"],
        "plot_bgcolor": colours["ground"],
        "font": {"color": colours["ink"]},
    }
    return {"data": data, "layout": layout, "config": shared["config"]}


def _trace(
    key: str, name: str, ring: Ring, fill: str, line: str, width: float, hatch: tuple[str, str] | None
) -> dict[str, Any]:
    closed = [*ring, ring[0]]
    trace: dict[str, Any] = {
        "type": "scatter",
        "mode": "lines",
        "fill": "toself",
        "hoveron": "fills",
        "hoverinfo": "text",
        "uid": key,
        "name": name,
        "text": name,
        "x": [round(x, 2) for x, _ in closed],
        "y": [round(y, 2) for _, y in closed],
        "line": {"color": line, "width": width},
        "showlegend": False,
    }
    if hatch is None:
        trace["fillcolor"] = fill
    else:
        shape, ink = hatch
        trace["fillpattern"] = {"shape": shape, "bgcolor": fill, "fgcolor": ink, "size": 5, "solidity": 0.25}
    return trace

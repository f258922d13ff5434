"""The page that everything is compared with: what a competent educator writes today with plotly alone.

One figure with a filled trace per structure, a frame for every millimetre, plotly's own slider, plotly's script beside
it. The coordinates are the solver's, to a hundredth of a millimetre, as plain lists.
"""

from __future__ import annotations

import plotly.io

from wristward.data.kinds import BACK_TO_FRONT


def write_baseline(sections, folder):
    """Write ``index.html`` and ``plotly.min.js`` into a folder.

    Args:
        sections: Solved sections by z (mm).
        folder: Where to write (pathlib.Path, exists).

    Returns:
        The figure's geometry alone, as the text that stands in the page (str).
    """
    top = max(sections)
    order = {}
    for section in sections.values():
        for one in section.structures:
            order[one.id] = (BACK_TO_FRONT.index(one.kind), one.id)
    names = ["skin", "fascia", *sorted(order, key=order.get)]
    frames = [{"name": str(z), "data": _traces(sections[z], names)} for z in range(top, -1, -1)]
    steps = [
        {"label": str(z), "method": "animate", "args": [[str(z)], {"mode": "immediate", "frame": {"duration": 0}}]}
        for z in range(top, -1, -1)
    ]
    figure = {
        "data": _traces(sections[top], names),
        "frames": frames,
        "layout": {"sliders": [{"steps": steps}], "showlegend": False, "xaxis": {"scaleanchor": "y"}},
    }
    page = folder / "index.html"
    plotly.io.write_html(figure, page, include_plotlyjs="directory", auto_play=False, full_html=True, validate=False)
    text = page.read_text(encoding="utf-8")
    return text[text.index("Plotly.addFrames") :]


def _traces(section, names):
    rings = {"skin": section.skin_mm, "fascia": section.fascia_mm}
    rings |= {one.id: one.ring_mm for one in section.structures}
    traces = []
    for name in names:
        ring = list(rings.get(name, ()))
        ring += ring[:1]
        traces.append(
            {
                "type": "scatter",
                "x": [round(float(x), 2) for x, _ in ring],
                "y": [round(float(y), 2) for _, y in ring],
                "mode": "lines",
                "fill": "toself",
                "hoveron": "fills",
                "name": name,
                "text": name,
                "hoverinfo": "text",
            }
        )
    return traces

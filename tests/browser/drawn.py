"""A drawing of a section in the few words in which two drawings are compared, whoever drew them."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

from shapely.geometry import Polygon

from tests.outline_paths import spelled_out

SVG = "{http://www.w3.org/2000/svg}"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")

# Scripts and Python round a half to different sides, a whole step of what is drawn: a tenth of a unit.
STEP = {"d": 1.001, "x": 0.1001, "y": 0.1001, "font-size": 0.1001, "transform": 0.1001}

SCRIPTS = "(scripts) => { globalThis.scripts = scripts; }"
ANEW = """globalThis.wristward = undefined;
  for (const script of [data, ...scripts]) (0, eval)(script);"""
DRAW = (
    f"""([data, svg, z, options, draw]) => {{
  {ANEW}"""
    + """
  const host = document.body.appendChild(document.createElement("div"));
  host.innerHTML = svg;
  const drawn = (0, eval)(draw)(host, z, options);
  for (const one of [...drawn.querySelectorAll("*")]) if (one.style.display === "none") one.remove();
  const text = new XMLSerializer().serializeToString(drawn);
  host.remove();
  return text;
}"""
)
REDRAW = """(host, z, { side, lit = null }) => {
  const { geometry, drawing, legend } = wristward, arm = geometry.drawn(), svg = host.querySelector("svg");
  drawing.adopt(svg, "f", drawing.parts(arm, legend), legend).draw(geometry.cut(arm, z, { side }), { lit });
  return svg;
}"""
TELL = (
    f"""([data, z]) => {{
  {ANEW}"""
    + """
  const { geometry, measures, inWords, legend, shared } = wristward, cut = geometry.cut(geometry.drawn(), z);
  const table = measures.unpack(wristward.packedMeasures), tell = (id) => measures.at(table, id, z);
  const named = (a, b) => (legend[a.id].name < legend[b.id].name ? -1 : 1);
  const extent = (axis) => {
    const values = cut.skin.ring.filter((_, k) => k % 2 === axis);
    return Math.max(...values) - Math.min(...values);
  };
  const said = { z, side: "right", arm: "mean", width_mm: extent(0), height_mm: extent(1), present: cut.shapes, legend, tell };
  const rows = shared.telling.kinds.flatMap((kind) => cut.shapes.filter((shape) => shape.tissue === kind).sort(named)
    .map((shape) => inWords.row(shape, legend[shape.id], tell(shape.id), legend)));
  return [inWords.paragraph(said), rows];
}"""
)
ASK = """(host, z, options) => wristward.quizFigure({ z, ...options }).host.querySelector("svg")"""


def stored_section(section, rings, centres):
    """Return a section with the outlines that the browser has of it.

    Args:
        section: A solved section.
        rings: Stored outlines, (n, 2) mm, by (structure, height), as ``unpack_arm`` gives them.
        centres: Stored centres in the same way, (2,) mm.
    """

    def points(key):
        return tuple((float(x), float(y)) for x, y in rings[key, section.z_mm])

    structures = tuple(
        replace(
            one,
            ring_mm=points(one.id),
            centre_mm=tuple(centres[one.id, section.z_mm].tolist()),
            area_mm2=Polygon(points(one.id)).area,
        )
        for one in section.structures
    )
    return replace(section, skin_mm=points("skin"), fascia_mm=points("fascia"), structures=structures)


def mirrored(section):
    """Return the left arm's section."""

    def ring(points):
        return tuple((-x, y) for x, y in points)

    structures = tuple(
        replace(one, ring_mm=ring(one.ring_mm), centre_mm=(-one.centre_mm[0], one.centre_mm[1]))
        for one in section.structures
    )
    return replace(
        section, side="left", skin_mm=ring(section.skin_mm), fascia_mm=ring(section.fascia_mm), structures=structures
    )


def picture(svg):
    """Return what a drawing shows, by layer; in layers in which the order is seen, in that order.

    Args:
        svg: The text of an svg element.

    Returns:
        Layer → list of what is drawn: its words, then (attribute, number …) of each place.
    """
    root = ElementTree.fromstring(svg)
    groups = {one.get("class"): one for one in root.iter(f"{SVG}g") if (one.get("class") or "").startswith("w-")}
    return {
        "box": [(root.get("viewBox"),)],
        **{
            name: [_path(one) for one in groups[name].iter(f"{SVG}path")]
            for name in ("w-ground", "w-tissue", "w-discs")
        },
        "w-light": [_path(one) for one in groups["w-light"].iter(f"{SVG}path") if one.get("d")],
        "w-leaders": sorted(_path(one) for one in groups["w-leaders"].iter(f"{SVG}path")),
        "w-letters": sorted(_letters(groups["w-letters"])),
        "w-labels": sorted(_name(one) for one in groups["w-labels"]),
        "w-frame": sorted(_framed(one) for one in groups["w-frame"]),
    }


def differences(expected, actual):
    """Return each thing that two pictures do not show alike, as (layer, expected, actual)."""
    found = []
    for layer in expected:
        for k in range(max(len(expected[layer]), len(actual[layer]))):
            wanted, drawn = (one[layer][k] if k < len(one[layer]) else None for one in (expected, actual))
            if wanted is None or drawn is None or not _alike(wanted, drawn):
                found.append((layer, wanted, drawn))
    return found


def _alike(wanted, drawn):
    if len(wanted) != len(drawn):
        return False
    for one, other in zip(wanted, drawn, strict=True):
        if isinstance(one, str) or isinstance(other, str):
            if one != other:
                return False
        elif (
            len(one) != len(other)
            or one[0] != other[0]
            or any(abs(a - b) > STEP[one[0]] for a, b in zip(one[1:], other[1:], strict=True))
        ):
            return False
    return True


def _numbers(name, text):
    return (name, *(float(number) for number in NUMBER.findall(text)))


def _path(one):
    styled = (one.get("class") or "").replace(" w-of-lit", "")
    line = one.get("d")
    # A sheet's long edges are divided in Python, in the script its outline has been stored so.
    at = ("d",) if styled == "w-shape w-sheet" else _numbers("d", spelled_out(line))
    return (styled, one.get("data-id") or "", re.sub(r"#[\w-]+-", "#", one.get("fill") or ""), at)


def _letters(group):
    carriers = {id(text): parent for parent in group.iter() for text in parent}
    for text in group.iter(f"{SVG}text"):
        moved = carriers[id(text)].get("transform")
        x, y = (text.get("x"), text.get("y")) if moved is None else NUMBER.findall(moved)
        at = [_numbers(name, value) for name, value in (("x", x), ("y", y), ("font-size", text.get("font-size")))]
        yield (text.text, text.get("class"), *at)


def _name(group):
    (text,) = group
    lines = [(span.text, _numbers("y", span.get("y"))) for span in text]
    words = " / ".join(line for line, _ in lines)
    return (words, group.get("class"), text.get("text-anchor"), _numbers("transform", group.get("transform")),
            *(at for _, at in lines))  # fmt: skip


def _framed(one):
    at = [_numbers(name, one.get(name)) for name in ("d", "x", "y") if one.get(name)]
    return (one.tag.removeprefix(SVG), one.get("class"), one.get("data-way") or "", one.text or "",
            one.get("text-anchor") or "", *at)  # fmt: skip

"""A solved section as an inline SVG: skin, fat, fascia, every structure, names, compass and scale.

The drawing needs no script and prints. Three modes: ``named``, ``numbered`` (numbers instead of names) and
``unlabelled``; the last two give nothing away, not in an id, a title or a class of the element.
"""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from math import ceil, hypot, pi, sqrt

from wristward.data.kinds import BACK_TO_FRONT
from wristward.figure import palette
from wristward.figure.labels import BASELINE, LINE, SIZE, Disc, Placed, place_labels, wanted_of
from wristward.figure.legend import Entry, Legend
from wristward.figure.view import COLUMN, FINE, HEIGHT, WIDTH, View, ring_path, view_of
from wristward.measure.directions import Directions
from wristward.measure.text import height_words
from wristward.section.section import Point, Ring, Section, Solved

MODES = ("named", "numbered", "unlabelled")
LETTERS = {"artery": "A", "vein": "V", "nerve": "N"}
HATCHED = ("tendon", "nerve", "vein")
SMALLEST_LETTER = 7
"""A disc narrower than this radius, in units, carries no letter; its hatch and outline remain."""

LETTER_SHARE = 1.35
"""Type size of a disc's letter, a share of its radius."""

LETTER_BASELINE = 0.35
"""How far below the disc's middle its letter stands, a share of the type size."""

MARROW_SHARE = 0.72
"""Size of a bone's marrow, a share of the bone about its centre."""

SHEET_STEP_MM = 0.5
"""Longest edge of a sheet's drawn outline: about half its thickness."""

SCALE_BAR_MM = 10
SCALE_AT = 90
"""The scale bar begins this far right of the middle, units."""

SCALE_FOOT, SCALE_TICK = 12, 8
"""How far above the box's foot the bar lies, and how long its ends are, units."""

COMPASS_IN = 10
"""Words in the lower corners and at the foot keep this far from the columns and the edge, units."""

GROUPS = ("ground", "tissue", "leaders", "discs", "letters", "light", "labels", "frame")
"""The drawing's groups, back to front; ``browser/section/drawing.js`` takes them over by these names."""

FINE_GROUPS = ("ground", "tissue", "discs", "light")
"""Those whose paths are in whole tenths of a unit."""


def draw_section(
    section: Section,
    legend: Legend,
    words: Mapping[str, str],
    *,
    figure_id: str,
    mode: str = "named",
    numbers: Mapping[str, int] | None = None,
    shown: str | None = None,
    standalone: bool = False,
    title: str | None = None,
) -> str:
    """Draw one section.

    Args:
        section: A solved section, already mirrored for a left arm.
        legend: Names and tissues of every structure in the section.
        words: Reader's words by dotted key; ``figure.*`` is used.
        figure_id: Prefix of the ids inside, unique on its page.
        mode: "named", "numbered" or "unlabelled".
        numbers: Number of each structure to be numbered (mode "numbered").
        shown: Structure to light up (mode "named").
        standalone: Whether to carry the palette and the drawing's style along, for use outside the site.
        title: The picture's title, where height, side and arm would give an answer away.

    Returns:
        One ``<svg>`` element, ASCII-safe text, the same bytes for the same section.

    Raises:
        ValueError: If the mode is not one of the three.
    """
    if mode not in MODES:
        raise ValueError(f"mode is '{mode}' (allowed: {', '.join(MODES)})")
    view = view_of(section.skin_mm)
    ordered = sorted(section.structures, key=lambda s: (BACK_TO_FRONT.index(s.kind), s.id))
    # Without names the order of the elements must not spell them either.
    drawn = (
        ordered
        if mode == "named"
        else sorted(section.structures, key=lambda s: (BACK_TO_FRONT.index(s.kind), s.centre_mm))
    )
    bodies = [s for s in drawn if s.kind not in LETTERS]
    discs = [s for s in drawn if s.kind in LETTERS]
    placed = _labels(ordered, legend, view, mode=mode, numbers=numbers or {})
    bones = {s.id for s in ordered if s.tissue == "bone"}
    named = mode == "named"
    head = (
        f'<svg class="w-drawing" viewBox="0 0 {WIDTH} {HEIGHT}" role="img"'
        f' aria-labelledby="{figure_id}-title {figure_id}-desc" xmlns="http://www.w3.org/2000/svg">'
        f'<title id="{figure_id}-title">{escape(title_of(section, words) if title is None else title)}</title>'
        f'<desc id="{figure_id}-desc">{escape(_description(section, legend, words, mode))}</desc>'
    )
    style = f"<style>{palette.stylesheet()}{DRAWING_STYLE}</style>" if standalone else ""
    contents = {
        "ground": _ground(_path(section.skin_mm, view), _path(section.fascia_mm, view)),
        "tissue": "".join(_shape(s, legend[s.id], view, figure_id, named=named) for s in bodies),
        "leaders": "".join(leader(p) for p in placed if p.column != "inside"),
        "discs": "".join(_shape(s, legend[s.id], view, figure_id, named=named) for s in discs),
        "letters": "".join(_letter(s, view) for s in discs),
        "light": _light(section.find(shown or ""), view),
        "labels": "".join(label(p, on_bone=p.id in bones) for p in placed),
        "frame": compass(section.side, legend.directions, words) + scale_bar(view, words),
    }
    return f"{head}{style}{_groups(figure_id, contents)}</svg>"


def empty_drawing(figure_id: str) -> str:
    """Return what stands inside a drawing of which nothing is drawn yet: hatches and groups, no compass, no scale."""
    return _groups(figure_id, {"ground": _ground("", "")})


def title_of(section: Section, words: Mapping[str, str]) -> str:
    """Return the figure's title: height, side and arm in words."""
    return words["figure.title"].format(
        height=height_words(section.z_mm, words),
        side=words[f"figure.side.{section.side}"],
        arm=words[f"figure.arm.{section.arm}"],
    )


def patterns(figure_id: str) -> str:
    """Return the hatches of tendon, nerve and vein, their ids prefixed for this figure."""
    size = {"tendon": 60, "nerve": 50, "vein": 50}
    marks = {
        "tendon": '<path d="M15 12v24M45 -6v24M45 54v24" stroke="var(--w-tendon-hatch)" stroke-width="8"/>',
        "nerve": '<circle cx="14" cy="14" r="9" fill="var(--w-nerve-hatch)"/>'
        '<circle cx="39" cy="39" r="9" fill="var(--w-nerve-hatch)"/>',
        "vein": '<path d="M-12 12L12 -12M0 50L50 0M38 62L62 38" stroke="var(--w-vein-hatch)" stroke-width="9"/>',
    }
    out = []
    for kind in HATCHED:
        out.append(
            f'<pattern id="{figure_id}-{kind}" width="{size[kind]}" height="{size[kind]}"'
            f' patternUnits="userSpaceOnUse"><path d="M0 0h{size[kind]}v{size[kind]}h-{size[kind]}z"'
            f' fill="var(--w-{kind})"/>{marks[kind]}</pattern>'
        )
    return f"<defs>{''.join(out)}</defs>"


def fill_of(tissue: str, tone: str | None, figure_id: str) -> str:
    """Return the fill of a tissue as a paint: a hatch of this figure or a colour of the palette."""
    if tissue in HATCHED:
        return f"url(#{figure_id}-{tissue})"
    return f"var(--w-{palette.fill_role(kind=tissue, tone=tone)})"


def label(placed: Placed, *, on_bone: bool = False) -> str:
    """Return a name at its place; ``browser/section/drawing.js`` writes the same attributes."""
    anchor = {"inside": "middle", "left": "end", "right": "start"}[placed.column]
    top = -(len(placed.lines) - 1) * LINE / 2
    spans = "".join(
        f'<tspan x="0" y="{top + k * LINE + SIZE * BASELINE:.1f}">{escape(line)}</tspan>'
        for k, line in enumerate(placed.lines)
    )
    kind = " w-on-bone" if on_bone else ""
    return (
        f'<g class="w-label w-label-{placed.column}{kind}" transform="translate({placed.x:.1f} {placed.y:.1f})">'
        f'<text text-anchor="{anchor}">{spans}</text></g>'
    )


def leader(placed: Placed) -> str:
    """Return the line from a structure to its name."""
    (x1, y1), (x2, y2) = placed.anchor, placed.port
    return (
        f'<path class="w-leader-halo" d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"/>'
        f'<path class="w-leader" d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"/>'
    )


def compass(side: str, directions: Directions, words: Mapping[str, str]) -> str:
    """Return the four directions, written in the corners and margins the oval leaves free."""
    _, y_plus, _, y_minus = directions.names
    left, right = ends_of(directions)[side]
    places = [
        (y_plus, WIDTH / 2, 22, "middle"),
        (y_minus, WIDTH / 2, HEIGHT - COMPASS_IN, "middle"),
        (left, COLUMN + COMPASS_IN, HEIGHT - COMPASS_IN, "start"),
        (right, WIDTH - COLUMN - COMPASS_IN, HEIGHT - COMPASS_IN, "end"),
    ]
    return "".join(
        f'<text class="w-compass" data-way="{way}" x="{x:g}" y="{y:g}" text-anchor="{anchor}">'
        f"{escape(words[f'figure.compass.{way}'])}</text>"
        for way, x, y, anchor in places
    )


def ends_of(directions: Directions) -> dict[str, tuple[str, str]]:
    """Return what lies at the left and right ends of the picture, by the arm's side."""
    x_plus, _, x_minus, _ = directions.names
    return {"right": (x_minus, x_plus), "left": (x_plus, x_minus)}


def scale_bar(view: View, words: Mapping[str, str]) -> str:
    """Return a bar of one centimetre at the drawing's own scale, below the oval where no leader runs."""
    x, y, tick = WIDTH // 2 + SCALE_AT, HEIGHT - SCALE_FOOT, SCALE_TICK
    length = SCALE_BAR_MM * view.scale
    return (
        f'<path class="w-scale" d="M{x} {y - tick}v{tick}h{length:.1f}v-{tick}"/>'
        f'<text class="w-scale-text" x="{x + length + tick:.1f}" y="{y + 2}">{escape(words["figure.scale"])}</text>'
    )


def _groups(figure_id: str, contents: Mapping[str, str]) -> str:
    parts = [patterns(figure_id)]
    for name in GROUPS:
        scale = f' transform="scale({1 / FINE})"' if name in FINE_GROUPS else ""
        parts.append(f'<g class="w-{name}"{scale}>{contents.get(name, "")}</g>')
    return "".join(parts)


def _ground(skin: str, fascia: str) -> str:
    return f'<path class="w-skin" d="{skin}"/><path class="w-loose" d="{fascia}"/>'


def _path(ring: Ring, view: View) -> str:
    return ring_path([view.place(p) for p in ring])


def _light(shown: Solved | None, view: View) -> str:
    if shown is None:
        return ""
    path = _path(shown.ring_mm, view)
    return f'<path class="w-lit-halo" d="{path}"/><path class="w-lit" d="{path}"/>'


def _shape(solved: Solved, entry: Entry, view: View, figure_id: str, *, named: bool) -> str:
    known = f' data-id="{solved.id}"' if named else ""
    fill = fill_of(solved.tissue, entry.tone, figure_id)
    ring = _split(solved.ring_mm) if solved.tissue == "sheet" else solved.ring_mm
    shape = f'<path class="w-shape w-{solved.tissue}"{known} d="{_path(ring, view)}" fill="{fill}"/>'
    if solved.tissue == "bone":
        shape += f'<path class="w-marrow" d="{_path(_shrunk(solved), view)}"/>'
    return shape


def _split(ring_mm: Ring) -> Ring:
    """Return a ring with points added to its long edges: else the curve through their middles cuts a sheet's ends."""
    out: list[Point] = []
    for here, there in zip(ring_mm, (*ring_mm[1:], ring_mm[0]), strict=True):
        parts = max(1, ceil(hypot(there[0] - here[0], there[1] - here[1]) / SHEET_STEP_MM))
        out += [
            (here[0] + (there[0] - here[0]) * k / parts, here[1] + (there[1] - here[1]) * k / parts)
            for k in range(parts)
        ]
    return tuple(out)


def _shrunk(solved: Solved) -> Ring:
    cx, cy = solved.centre_mm
    return tuple((cx + (x - cx) * MARROW_SHARE, cy + (y - cy) * MARROW_SHARE) for x, y in solved.ring_mm)


def _radius(solved: Solved, view: View) -> float:
    return sqrt(solved.area_mm2 / pi) * view.scale


def _letter(solved: Solved, view: View) -> str:
    radius = _radius(solved, view)
    if radius < SMALLEST_LETTER:
        return ""
    x, y = view.place(solved.centre_mm)
    size = min(LETTER_SHARE * radius, SIZE)
    return (
        f'<text class="w-letter w-{solved.kind}-letter" x="{x:.1f}" y="{y + size * LETTER_BASELINE:.1f}"'
        f' font-size="{size:.1f}">{LETTERS[solved.kind]}</text>'
    )


def _labels(
    ordered: list[Solved], legend: Legend, view: View, *, mode: str, numbers: Mapping[str, int]
) -> list[Placed]:
    if mode == "unlabelled":
        return []
    discs = [Disc(*view.place(s.centre_mm), _radius(s, view)) for s in ordered if s.kind in LETTERS]
    wanted = []
    for solved in ordered:
        if mode == "numbered" and solved.id not in numbers:
            continue
        text = str(numbers[solved.id]) if mode == "numbered" else None
        want = wanted_of(solved, legend[solved.id], view, text=text)
        if want is not None:
            wanted.append(want)
    return place_labels(wanted, discs)


def _description(section: Section, legend: Legend, words: Mapping[str, str], mode: str) -> str:
    view_words = words[f"figure.convention.{section.side}"]
    if mode != "named":
        return view_words
    nerves = [legend[s.id].name for s in section.structures if s.kind == "nerve"]
    return " ".join([view_words, words["figure.desc.nerves"].format(names=", ".join(sorted(nerves)))])


DRAWING_STYLE = """
.w-drawing{display:block;font-family:system-ui,"Segoe UI",Roboto,"Helvetica Neue",Arial,sans-serif;color:var(--w-ink)}
.w-drawing path{stroke-linejoin:round;stroke-linecap:round}
.w-skin{fill:var(--w-fat);stroke:var(--w-skin);stroke-width:70}
.w-loose{fill:var(--w-loose);stroke:var(--w-fascia);stroke-width:17}
.w-shape{stroke-width:13}
.w-muscle{stroke:var(--w-muscle-line)}
.w-tendon{stroke:var(--w-tendon-line)}
.w-bone{stroke:var(--w-bone-line);stroke-width:22}
.w-marrow{fill:var(--w-marrow);stroke:none}
.w-sheet{stroke:var(--w-sheet-line);stroke-width:8}
.w-nerve{stroke:var(--w-nerve-line);stroke-width:18}
.w-artery{stroke:var(--w-artery-line);stroke-width:18}
.w-vein{stroke:var(--w-vein-line);stroke-width:18}
.w-lit-halo{fill:none;stroke:var(--w-halo);stroke-width:62}
.w-lit{fill:none;stroke:var(--w-accent);stroke-width:36}
.w-letter{font-weight:700;text-anchor:middle;stroke-width:3;paint-order:stroke}
.w-nerve-letter{fill:var(--w-nerve-ink);stroke:var(--w-nerve)}
.w-artery-letter{fill:var(--w-artery-ink);stroke:var(--w-artery)}
.w-vein-letter{fill:var(--w-vein-ink);stroke:var(--w-vein)}
.w-label{font-size:SIZEpx;fill:var(--w-ink)}
.w-label-inside{fill:var(--w-muscle-ink);letter-spacing:.02em}
.w-on-bone{fill:var(--w-bone-ink)}
.w-leader{fill:none;stroke:var(--w-leader);stroke-width:1.3}
.w-leader-halo{fill:none;stroke:var(--w-halo);stroke-width:3.4;stroke-opacity:.55}
.w-compass,.w-scale-text{font-size:15px;fill:var(--w-quiet-ink);letter-spacing:.04em}
.w-scale{fill:none;stroke:var(--w-quiet-ink);stroke-width:1.6}
@media (forced-colors:active){.w-shape,.w-loose{stroke:CanvasText}.w-label,.w-compass,.w-scale-text{fill:CanvasText}
.w-leader,.w-scale{stroke:CanvasText}.w-lit{stroke:Highlight}}
""".replace("SIZE", str(SIZE))

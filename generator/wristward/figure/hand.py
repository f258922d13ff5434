"""The hand map: palm and back of a right hand, each territory by colour, hatch and letter of the nerves that serve it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from html import escape

from wristward.data.records.teaching import HandMapFile
from wristward.figure.hand_palette import looks_of, patterns, stylesheet
from wristward.figure.hand_shape import Point, middle_of, outline_of, rings_of_view

SCALE = 2.0
"""Units for each mm of the drawing."""

MARGIN = 10
VIEWS = ("palm", "back")


def draw_hand(
    hand: HandMapFile,
    view: str,
    nerves_of: Mapping[str, Sequence[str]],
    words: Mapping[str, str],
    *,
    names: Mapping[str, str],
    nerve_names: Mapping[str, str],
    figure_id: str,
    marked: Collection[str] | None = None,
    shapes_of: str | None = None,
) -> str:
    """Draw one side of the hand as an inline SVG.

    Args:
        hand: Record of hand_map.yaml.
        view: "palm" or "back"; the back is mirrored, so that both show a right hand.
        nerves_of: Nerves of each territory, the largest share first; one that has a sign each.
        words: Readers' words; ``teach.hand.*`` is used.
        names: Name of each territory.
        nerve_names: Name of each nerve.
        figure_id: Prefix of the ids inside, unique on its page.
        marked: Territories that are coloured, the others left bare; all where None.
        shapes_of: ``figure_id`` of a map of the same side earlier on the page, whose outlines and hatches are used again.
    """
    flip = 1 if view == "palm" else -1
    rings = rings_of_view(hand, view)
    outline = _placed(outline_of(hand), flip)
    left, right = min(x for x, _ in outline) - MARGIN, max(x for x, _ in outline) + MARGIN
    top, bottom = min(y for _, y in outline) - MARGIN, max(y for _, y in outline) + MARGIN
    held = shapes_of or figure_id
    own, shapes, letters, told = [], [], [], []
    for name, ring in rings.items():
        if shapes_of is None:
            own.append(f'<path id="{figure_id}-{name}" d="{_path(_placed(ring, flip))}"/>')
        shown = marked is None or name in marked
        signs = list(dict.fromkeys(hand.signs[nerve] for nerve in nerves_of[name])) if shown else []
        link = f'href="#{held}-{name}"'
        shapes.append(f'<use class="h-patch" data-territory="{name}" {link} fill="{_fill(held, signs)}"/>')
        shapes += [f'<use class="h-over" {link} fill="url(#{held}-{sign}-over)"/>' for sign in signs[1:2]]
        if signs:
            told.append(f"{names[name]}: {', '.join(nerve_names[nerve] for nerve in nerves_of[name])}")
            letters.append(_letter(_placed([middle_of(ring)], flip)[0], "".join(sign.upper() for sign in signs)))
    if shapes_of is None:
        own.append(f'<path id="{figure_id}-whole" d="{_path(outline)}"/>')
    defs = f"<defs>{''.join(own)}</defs>{patterns(looks_of(hand.signs), figure_id)}" if shapes_of is None else ""
    desc = ". ".join(told) if told else words["teach.hand.none"]
    return (
        f'<svg class="h-hand" viewBox="{left:.1f} {top:.1f} {right - left:.1f} {bottom - top:.1f}" role="img"'
        f' aria-labelledby="{figure_id}-title {figure_id}-desc" xmlns="http://www.w3.org/2000/svg">'
        f'<title id="{figure_id}-title">{escape(words[f"teach.hand.{view}"])}</title>'
        f'<desc id="{figure_id}-desc">{escape(desc)}.</desc>{defs}'
        f'{"".join(shapes)}<use class="h-outline" href="#{held}-whole"/>{"".join(letters)}</svg>'
    )


def hand_style(hand: HandMapFile) -> str:
    """Return the style element that hand maps on a page share."""
    return f"<style>{stylesheet(looks_of(hand.signs))}{HAND_STYLE}</style>"


def swatch(sign: str, *, figure_id: str) -> str:
    """Return a swatch of a letter's colour and hatch, with the letter, for a key beside the map."""
    return (
        f'<svg class="h-swatch" viewBox="0 0 36 24" aria-hidden="true" xmlns="http://www.w3.org/2000/svg">'
        f'<rect class="h-patch" x="1" y="1" width="34" height="22" rx="3" fill="url(#{figure_id}-{sign})"/>'
        f"{_letter((18.0, 12.0), sign.upper())}</svg>"
    )


def _fill(figure_id: str, signs: Sequence[str]) -> str:
    return f"url(#{figure_id}-{signs[0]})" if signs else "none"


def _letter(at: Point, text: str) -> str:
    x, y = at
    narrow = " h-narrow" if len(text) > 2 else ""
    return f'<text class="h-letter{narrow}" x="{x:.1f}" y="{y + 5.5:.1f}" text-anchor="middle">{text}</text>'


def _placed(points: Sequence[Point], flip: int) -> list[Point]:
    return [(flip * x * SCALE, -y * SCALE) for x, y in points]


def _path(points: Sequence[Point]) -> str:
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) + "Z"


HAND_STYLE = (
    ".h-hand{display:block;width:100%;height:auto;max-width:22rem;margin:0 auto}"
    ".h-patch{stroke:var(--h-ink);stroke-width:1.2;stroke-linejoin:round}"
    ".h-over{stroke:none}"
    ".h-outline{fill:none;stroke:var(--h-ink);stroke-width:2.6;stroke-linejoin:round}"
    ".h-letter{font:700 16px system-ui,sans-serif;fill:var(--h-ink);stroke:var(--md-default-bg-color,#fff);"
    "stroke-width:5;stroke-linejoin:round;paint-order:stroke}"
    ".h-narrow{font-size:13px}"
    ".h-swatch{width:2.4em;height:1.6em;vertical-align:middle;margin-right:.4em;flex:none}"
    ".h-pair{display:grid;grid-template-columns:repeat(auto-fit,minmax(9rem,1fr));gap:.6rem;max-width:46rem;margin:1rem 0}"
    ".h-small{grid-template-columns:1fr 1fr;max-width:24rem}"
    ".h-pair figure{margin:0;width:auto;max-width:none}"
    ".md-typeset .h-pair figcaption{margin:.2rem auto;text-align:center;font-style:normal}"
    ".md-typeset ul.h-key{list-style:none;margin:0;padding:0;display:flex;flex-wrap:wrap;gap:.3rem 1.2rem}"
    ".md-typeset ul.h-key li{margin:0;display:flex;align-items:center}"
    "@media (forced-colors:active){.h-patch,.h-outline{stroke:CanvasText}.h-letter{fill:CanvasText;stroke:Canvas}}"
)

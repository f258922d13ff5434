"""What to look for before trusting a window: the branch itself, the artery beside the nerve, what lies round it."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from wristward.figure.telling import TOUCH_MM
from wristward.measure.text import span_words
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.cases import seen_words
from wristward.pages.blocks.common import BLOCK_LEVELS, statement
from wristward.pages.html import html_of


def scan_html(atlas: Atlas, nerve: str, *, z_mm: int) -> str:
    """Return what to look for round a nerve, as HTML.

    Args:
        atlas: Words, data and measures.
        nerve: Key of a block.
        z_mm: Level of the block, whole mm of the reference arm.
    """
    words, record = atlas.words, atlas.dataset.branches.blocks[nerve]
    said = [html_of(statement(atlas, atlas.dataset.branches.findings[id_], here=BLOCK_LEVELS)) for id_ in record.scan]
    measured = atlas.measure(nerve, z_mm) if z_mm in atlas.measures else None
    if measured is not None:
        said.append(escape(words("block_levels.scan_round", round=seen_words(atlas, measured))))
        partner = measured.partner
        spans = list(touching_mm(atlas, nerve))
        if partner is not None and spans:
            told = words("teach.and").join(
                span_words(atlas.dataset.words, low_mm=low_mm, high_mm=high_mm) for low_mm, high_mm in spans
            )
            said.append(escape(words("block_levels.scan_touch", name=atlas.structures[partner].name, spans=told)))
    items = "".join(f"<li>{one}</li>" for one in said)
    head = f"<h3>{escape(words('block_levels.scan'))}</h3><p>{escape(words('block_levels.scan_says'))}</p>"
    return f"{head}<ul data-part='scan'>{items}</ul>" if items else head


def touching_mm(atlas: Atlas, nerve: str) -> Iterator[tuple[float, float]]:
    """Yield the stretches over which a nerve touches the vessel it runs with in the drawn arm, proximal first, mm."""
    spans: list[tuple[float, float]] = []
    before = False
    for z_mm in sorted(atlas.measures):
        measured = atlas.measure(nerve, z_mm)
        gap_mm = None if measured is None else measured.partner_gap_mm
        touches = gap_mm is not None and gap_mm < TOUCH_MM
        if touches and before:
            spans[-1] = (spans[-1][0], float(z_mm))
        elif touches:
            spans.append((float(z_mm), float(z_mm)))
        before = touches
    yield from reversed(spans)

"""Sections on paper: with names, without, or with numbers and a key on the last page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from wristward.data.dataset import Dataset
from wristward.data.kinds import BACK_TO_FRONT
from wristward.export.picture import flat
from wristward.export.print_page import Frame, document_html, head_html, line_html
from wristward.export.spoken import like
from wristward.figure.drawing import MODES, draw_section
from wristward.figure.legend import Legend
from wristward.measure.text import capital, height_words, short_height
from wristward.section.section import Point, Section


def section_sheets(
    sections: Mapping[int, Section],
    legend: Legend,
    frame: Frame,
    *,
    levels: Sequence[tuple[int, str]],
    mode: str,
    first: Sequence[int] | None = None,
) -> str:
    """Return the sheets as one document.

    Args:
        sections: By whole mm, mirrored for a left arm.
        legend: Names of all structures.
        frame: Words, version, paper.
        levels: Height in whole mm and name ("" for none) of each section, in order.
        mode: "named", "numbered" or "unlabelled".
        first: Heights that are shown first, where the reader may choose; all by default.

    Raises:
        ValueError: If the mode or a height is not there.
    """
    if mode not in MODES:
        raise ValueError(f"mode is '{mode}' (allowed: {', '.join(MODES)})")
    for z_mm, _ in levels:
        if z_mm not in sections:
            raise ValueError(f"level is {z_mm} mm (allowed: a whole number from {min(sections)} to {max(sections)})")
    numbers = numbers_of([sections[z_mm] for z_mm, _ in levels], legend) if mode == "numbered" else {}
    title = frame.words[f"print.sections.{mode}"]
    convention = frame.words[f"figure.convention.{sections[levels[0][0]].side}"]
    body = [
        head_html(frame, title, (frame.words[f"print.sections.{mode}_lead"], " ", convention)),
        f'<p class="p-small">{frame.say("sections.signs")}</p>',
    ]
    for z_mm, name in levels:
        drawn = draw_section(sections[z_mm], legend, frame.words, figure_id=f"s{z_mm}", mode=mode, numbers=numbers)
        shown = like(name, capital(name))
        heading = frame.words["print.sections.at"].format(
            height=height_words(z_mm, frame.words), side=frame.words[f"figure.side.{sections[z_mm].side}"]
        )
        said = (shown, ": ", heading) if shown else (like(heading, capital(heading)),)
        body.append(f'<figure data-part="z{z_mm}"><h2>{frame.html(*said)}</h2>{flat(drawn)}{line_html(frame)}</figure>')
    if numbers:
        items = "".join(
            f"<li><b>{number}</b><span>{escape(legend[id_].name)}</span></li>" for id_, number in numbers.items()
        )
        body.append(
            f'<section class="p-new"><h2>{frame.say("sections.key")}</h2><ol class="p-key">{items}</ol></section>'
        )
    boxes = "".join(
        f'<label><input type="checkbox" data-shows="z{z_mm}"{" checked" if first is None or z_mm in first else ""}>'
        f"<span>{frame.html(short_height(z_mm, frame.words))}</span></label>"
        for z_mm, _ in levels
    )
    controls = f"<fieldset><legend>{frame.say('sections.choose')}</legend>{boxes}</fieldset>"
    return document_html(frame, title=title, body="".join(body), controls=controls)


def named_levels(dataset: Dataset, sections: Mapping[int, Section]) -> list[tuple[int, str]]:
    """Return height in whole mm and name of each level, from the elbow down."""
    levels = ((round(z_mm), name) for z_mm, name in dataset.region.levels().items())
    return [(z_mm, name) for z_mm, name in levels if z_mm in sections]


def numbers_of(sections: Sequence[Section], legend: Legend) -> dict[str, int]:
    """Return one number for each structure of several sections, by kind and by where it first lies, so that the numbers
    spell no alphabet; small accompanying veins carry none."""
    found: dict[str, tuple[int, int, Point]] = {}
    for place, section in enumerate(sections):
        for solved in section.structures:
            if legend[solved.id].companion_of is None:
                found.setdefault(solved.id, (-BACK_TO_FRONT.index(solved.kind), place, solved.centre_mm))
    return {id_: number for number, id_ in enumerate(sorted(found, key=found.__getitem__), start=1)}

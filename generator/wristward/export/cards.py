"""A card for each nerve that is blocked: where its branches are caught and spared, on one page for the wall of a room.

Everything on it is computed elsewhere; the card chooses and draws, in black and white.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from wristward.block.blocks import READINGS, block_model
from wristward.block.report import percent, window_reports
from wristward.block.reported import WindowReport
from wristward.data.dataset import Dataset
from wristward.export.picture import flat
from wristward.export.print_page import Frame, document_html, line_html
from wristward.figure.drawing import draw_section
from wristward.figure.legend import Legend
from wristward.measure.text import capital, height_words, in_cm, short_height
from wristward.section.section import Section

WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 720, 190, 44, 12, 14, 36
TICK_MM = 20
DASHES = {"take_off": "", "parting": ' stroke-dasharray="7 4"'}


def block_cards(dataset: Dataset, sections: Mapping[int, Section], legend: Legend, frame: Frame) -> str:
    """Return a card for each block of the model, mean arm, at the model's own volume, as one document.

    Args:
        dataset: The checked data.
        sections: Right, mean-arm sections at every whole mm.
        legend: Names of all structures.
        frame: Words, version, paper.
    """
    model = block_model(dataset)
    title = frame.words["print.cards.title"]
    cards = [
        _card(
            frame,
            window_reports(dataset, nerve=nerve, volume_ml=model.default_ml),
            sections,
            legend,
        )
        for nerve in model.blocks
    ]
    boxes = "".join(
        f'<label><input type="checkbox" data-shows="{nerve}" checked><span>{escape(dataset.structures[nerve].name)}'
        f"</span></label>"
        for nerve in model.blocks
    )
    controls = f"<fieldset><legend>{frame.say('cards.choose')}</legend>{boxes}</fieldset>"
    body = "".join(cards) + f"<p>{frame.say('cards.lead')}</p>"
    return document_html(frame, title=title, body=body, controls=controls)


def _card(frame: Frame, reports: Mapping[str, WindowReport], sections: Mapping[int, Section], legend: Legend) -> str:
    report = reports["take_off"]
    name = capital(report.name)
    heading = frame.say("cards.heading", nerve=name, ml=f"{report.volume_ml:g}")
    parts = [f"<h2>{heading}</h2>", f"<p>{frame.html(report.sentence)}</p>"]
    if report.in_reach:
        best_mm = round(report.window.best_mm)
        parts.append(_plot(frame, reports, top_mm=len(report.z_mm) - 1))
        parts.append(_events(frame, reports))
        parts.append(f"<ul>{''.join(f'<li>{frame.html(text)}</li>' for text in report.limits)}</ul>")
        parts.append(_figure(frame, sections[best_mm], legend, report.nerve))
    if report.grip is not None:
        parts.append(f"<h3>{frame.say('cards.spared')}</h3><p>{frame.html(report.grip)}</p>")
    parts.append(f"<p>{frame.html(report.assumed.says)}</p>{line_html(frame)}")
    # What no level reaches is said in two lines: such cards share a page.
    short = "" if report.in_reach else " p-short"
    return f'<section class="p-card{short}" data-part="{report.nerve}">{"".join(parts)}</section>'


def _figure(frame: Frame, section: Section, legend: Legend, nerve: str) -> str:
    shown = nerve if section.find(nerve) is not None else None
    drawn = flat(draw_section(section, legend, frame.words, figure_id=f"c-{nerve}", shown=shown))
    at = height_words(section.z_mm, frame.words)
    return f'<figure>{drawn}<figcaption class="p-small">{frame.say("cards.section", at=at)}</figcaption></figure>'


def _events(frame: Frame, reports: Mapping[str, WindowReport]) -> str:
    words, best = frame.words, round(reports["take_off"].window.best_mm)
    heads = "".join(
        f'<th scope="col">{frame.say(f"cards.{key}", at=height_words(best, words))}</th>'
        for key in ("event", "role", "mean", "take_off", "parting")
    )
    rows = []
    for take_off, parting in zip(reports["take_off"].events, reports["parting"].events, strict=True):
        cells = (
            words[f"block.role.{take_off.role}"],
            short_height(round(take_off.mean_z_mm), words),
            percent(take_off.chance_caught[best], frame.words),
            percent(parting.chance_caught[best], frame.words),
        )
        rows.append(
            f'<tr><th scope="row">{frame.html(take_off.name)}</th>'
            f"{''.join(f'<td>{frame.html(cell)}</td>' for cell in cells)}</tr>"
        )
    return f"<table><thead><tr>{heads}</tr></thead><tbody>{''.join(rows)}</tbody></table>"


def _plot(frame: Frame, reports: Mapping[str, WindowReport], *, top_mm: int) -> str:
    """Draw the chance that all holds at once along the forearm, elbow on the left, one line a reading."""

    def x(z_mm: float) -> float:
        return LEFT + (top_mm - z_mm) / top_mm * (WIDTH - LEFT - RIGHT)

    def y(chance: float) -> float:
        return TOP + (1 - chance) * (HEIGHT - TOP - BOTTOM)

    def line(values: Sequence[float]) -> str:
        return "M" + "L".join(f"{x(z):.1f} {y(value):.1f}" for z, value in enumerate(values) if z % 2 == 0)

    ground = "".join(
        f'<path d="M{LEFT} {y(share):.1f}H{WIDTH - RIGHT}" stroke="#bbb"/>'
        f'<text x="{LEFT - 6}" y="{y(share) + 4:.1f}" text-anchor="end">{round(100 * share)}</text>'
        for share in (0, 0.5, 1)
    )
    ticks = "".join(
        f'<path d="M{x(z):.1f} {y(0):.1f}v5" stroke="#333"/>'
        f'<text x="{x(z):.1f}" y="{y(0) + 17:.1f}" text-anchor="middle">{in_cm(z)}</text>'
        for z in range(0, top_mm + 1, TICK_MM)
    )
    window = reports["take_off"].window
    shade = ""
    if window.span_mm is not None:
        right, left = (x(z_mm) for z_mm in window.span_mm)
        shade = f'<path d="M{left:.1f} {TOP}H{right:.1f}V{y(0):.1f}H{left:.1f}Z" fill="#e4e4e4"/>'
    lines = "".join(
        f'<path d="{line(reports[reading].both)}" fill="none" stroke="#000" stroke-width="2"{DASHES[reading]}/>'
        for reading in reversed(READINGS)
    )
    title, axis = frame.words["print.cards.plot"], frame.words["print.cards.axis"]
    below = f'<text x="{(LEFT + WIDTH - RIGHT) / 2:g}" y="{HEIGHT - 4}" text-anchor="middle"{frame.lang(axis)}>{escape(axis)}</text>'
    return (
        f'<svg class="p-plot" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" aria-label="{escape(title)}"'
        f'{frame.lang(title)} xmlns="http://www.w3.org/2000/svg">{shade}{ground}{ticks}{lines}{below}</svg>'
        f'<p class="p-small">{frame.html(title)}</p>'
    )

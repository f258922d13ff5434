"""A quiz on paper: questions to be answered with a pen, and on a new page the answers with their reasons."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence
from html import escape

from wristward.export.about import Facts, title_of
from wristward.export.print_page import Frame, document_html, head_html, line_html
from wristward.export.qti import right_values
from wristward.export.question import Question
from wristward.export.spoken import joined, pieces
from wristward.figure.view import CROP_LEFT
from wristward.measure.text import height_words


def quiz_paper(questions: Sequence[Question], facts: Facts, frame: Frame) -> str:
    """Return the paper and its answer sheet as one document.

    Args:
        questions: In the order in which they are asked.
        facts: Topic and seed, by which the same paper can be made again.
        frame: Words, version, paper.
    """
    title = title_of(frame.words, facts)
    lead = frame.words["print.paper.lead"].format(count=len(questions), seed=facts.seed)
    asked = "".join(_question(frame, number, one) for number, one in enumerate(questions, start=1))
    answers = "".join(_answer(frame, number, one) for number, one in enumerate(questions, start=1))
    sheet = (
        f'<section class="p-new" data-part="answers"><h1>{frame.say("paper.answers")}</h1>'
        f"<p>{frame.html(title, '. ', lead)}</p>{answers}{line_html(frame)}</section>"
    )
    controls = f'<label><input type="checkbox" data-shows="answers" checked><span>{frame.say("paper.with_answers")}</span></label>'
    name = f'<p>{frame.say("paper.name")} <span class="p-blank"></span> {frame.say("paper.date")} <span class="p-blank"></span></p>'
    body = head_html(frame, title, [lead]) + name + asked + line_html(frame) + sheet
    return document_html(frame, title=title, body=body, controls=controls)


def _question(frame: Frame, number: int, one: Question) -> str:
    task = frame.words["print.paper.mark"] if one.form == "hotspot" else one.task
    stem = frame.html(one.stem) if task is None else frame.html(one.stem, " ", task)
    picture = ""
    if one.picture is not None:
        # As an image, not inline: two drawings in one page would share their ids.
        picture = f'<figure><img src="{_data(one.picture.svg)}" alt="{escape(one.picture.alt)}"{frame.lang(one.picture.alt)}></figure>'
    return f'<section class="p-question"><p>{number}. {stem}</p>{picture}{_room(frame, one)}</section>'


def _room(frame: Frame, one: Question) -> str:
    """Return where the answer is written: boxes, a table, numbers before the lines, or a blank."""
    if one.form == "number":
        return f'<p class="p-small"><span class="p-blank"></span> {frame.html(frame.words["export.unit"])}</p>'
    if one.form == "hotspot":
        return ""
    if one.form == "match":
        heads = "".join(f'<th scope="col">{frame.html(column.text)}</th>' for column in one.columns)
        rows = "".join(
            f'<tr><th scope="row">{frame.html(line.text)}</th>{"<td><span class=p-box></span></td>" * len(one.columns)}</tr>'
            for line in one.choices
        )
        return f"<table><thead><tr><td></td>{heads}</tr></thead><tbody>{rows}</tbody></table>"
    lines = "".join(
        f'<li><span class="p-box"></span><b>{letter(place)}</b><span>{frame.html(line.text)}</span></li>'
        for place, line in enumerate(one.choices)
    )
    hint = {"many": "several", "order": "number_them"}.get(one.form)
    said = "" if hint is None else f'<p class="p-small">{frame.say(f"paper.{hint}")}</p>'
    return f'{said}<ul class="p-options">{lines}</ul>'


def _answer(frame: Frame, number: int, one: Question) -> str:
    source = frame.html(*pieces(frame.words["export.source"], names=joined("; ", one.sources)))
    return (
        f'<div class="p-answer"><b>{number}. {frame.html(*right_words(frame, one))}</b> {frame.html(one.why)}'
        f'<br><span class="p-small">{source}</span>{_where(one)}</div>'
    )


def _where(one: Question) -> str:
    """Return the picture with the right outline drawn thick, or nothing where none is to be chosen."""
    if one.right_spot is None or one.target_name is None or one.picture is None:
        return ""
    spot = next(each for each in one.spots if each.id == one.right_spot)
    pen = 'fill="none" stroke="#000" stroke-width="7"'
    if spot.shape == "circle":
        x, y, radius = spot.coords
        drawn = f'<circle cx="{x + CROP_LEFT}" cy="{y}" r="{radius + 8}" {pen}/>'
    else:
        points = " ".join(f"{x + CROP_LEFT},{y}" for x, y in zip(spot.coords[::2], spot.coords[1::2], strict=True))
        drawn = f'<polygon points="{points}" {pen}/>'
    svg = one.picture.svg.decode("utf-8").removesuffix("</svg>") + drawn + "</svg>"
    return f'<img src="{_data(svg.encode("utf-8"))}" alt="{escape(one.target_name, quote=True)}">'


def _data(svg: bytes) -> str:
    return f"data:image/svg+xml;base64,{b64encode(svg).decode('ascii')}"


def right_words(frame: Frame, one: Question) -> list[str]:
    """Return the right answer as it is read out, piece by piece: letters, "b, a, c", the column's words, a height, or
    the name."""
    places = {choice.id: place for place, choice in enumerate(one.choices)}
    if one.key_cm is not None:
        return [height_words(10 * one.key_cm, frame.words)]
    if one.form == "hotspot":
        return [frame.words["print.paper.in_picture"].format(name=one.target_name)]
    if one.form == "match":
        columns = {True: one.columns[0].text, False: one.columns[1].text}
        found = [("; ", line.text, ": ", columns[line.right]) for line in one.choices]
    else:
        texts = {choice.id: choice.text for choice in one.choices}
        found = [("; ", f"{letter(places[id_])} (", texts[id_], ")") for id_ in right_values(one)]
    return [piece for answer in found for piece in answer][1:]


def letter(place: int) -> str:
    """Return the letter of an option: A for the first."""
    return chr(ord("A") + place)

"""A quiz on a page of the made-up arm: nothing in it gives the answer away, and it is answered by keyboard alone."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
import yaml

from wristward.bridge.scripts import DATA_NAME, QUIZ, RUNTIME

sys.path.insert(0, str(Path(__file__).parents[1]))

from bare_site import assets, flat, setting

from wristward.bridge.hosts.quiz import plain_item, plain_kind
from wristward.data.words.phrase import Phrase
from wristward.quiz.item import Option, make_item

ROOT = Path(__file__).resolve().parents[3]
WORDS = flat(yaml.safe_load((ROOT / "anatomy_data/reader/en/quiz.yaml").read_text(encoding="utf-8")))
TARGET = "median_nerve"

pytestmark = pytest.mark.browser


def _item(kind, form, **values):
    plain = {"fact": form, "topics": (TARGET,), "why": "Because.", "sources": ("s",), "confidence": 3, "z_mm": 130}
    return make_item(kind=kind, form=form, **(plain | values))


def _options(*texts, right=(0,)):
    return tuple(Option(text=text, right=k in right, why=f"{text} it is.") for k, text in enumerate(texts))


ITEMS = (
    _item("tap", "tap", stem="Put the marker on it.", shows_section=True, target=TARGET),
    _item(
        "name", "choice", stem="Which one carries the number 1?", shows_section=True, target=TARGET, marks=(TARGET,),
        options=_options("first", "second", "third"),
    ),
    _item("caught", "many", stem="Which are caught?", options=_options("first", "second", "third", right=(0, 1))),
    _item("order", "order", stem="Put in order.", options=_options("one", "two", "three", "four", right=(0, 1, 2, 3))),
    _item("height", "height", stem="How high?", shows_section=True),
)  # fmt: skip


@pytest.fixture
def play(visit, tmp_path):
    """Open a page that plays the items, or one of them, in their order."""

    def open_page(*forms, **options):
        (tmp_path / "assets").mkdir(exist_ok=True)
        for name, content in assets().items():
            (tmp_path / "assets" / name).write_bytes(content)
        asked = [
            {"item": plain_item(item), "side": "right", "order": list(range(len(item.options)))[::-1]}
            for item in ITEMS
            if not forms or item.form in forms
        ]
        kinds = {item.kind: plain_kind(item.row) for item in ITEMS}
        player = QUIZ.script.text()
        styles = "".join(f'<link rel="stylesheet" href="assets/{name}">' for name in [RUNTIME.style.name])
        scripts = "".join(
            f'<script src="assets/{name}"></script>'
            for name in [DATA_NAME, RUNTIME.script.name, "wristward-geometry.js"]
        )
        begin = (
            f"Object.assign(wristward.words, {json.dumps(WORDS)});"
            f"wristward.quizData = {{sources: {{s: 'A source'}}, kinds: {json.dumps(kinds)}}};"
            f"wristward.kept = []; wristward.playQuiz(document.querySelector('main'), {json.dumps(asked)},"
            "{answered: (item, marks) => wristward.kept.push([item.form, marks])});"
        )
        path = tmp_path / "play.html"
        path.write_text(
            f'<!doctype html><html lang="en"><meta charset="utf-8"><title>x</title><link rel="icon" href="data:,">'
            f'<meta name="viewport" content="width=device-width,initial-scale=1">{styles}'
            f"<style>{QUIZ.style.text()}body{{margin:.5rem}}</style>"
            f'<main class="w-quiz"></main>{scripts}<script>{player}</script><script>{begin}</script></html>',
            encoding="utf-8",
        )
        return visit(path.as_uri(), **options)

    assert setting().legend[TARGET]
    return open_page


def test_what_falls_back_is_told_to_the_browser():
    """A question of another language names each of its texts that is English; where none is, it names nothing."""
    spoken, fallen = Phrase("Warum?", language="de"), Phrase("Because.", language="en")
    options = (Option(text=spoken, right=True, why=fallen), Option(text=fallen, right=False, why=spoken))
    mixed = plain_item(_item("name", "choice", stem=spoken, why=fallen, options=options))
    whole = plain_item(_item("name", "choice", stem=spoken, why=spoken, options=_options("first", "second")))

    assert ["why"] == mixed["english"]
    assert [["why"], ["text"]] == [one["english"] for one in mixed["options"]]
    assert [False, False, False] == ["english" in one for one in (whole, *whole["options"])]


@pytest.mark.parametrize("form", ["tap", "choice"])
def test_nothing_gives_the_answer_away(play, form):
    """Before the answer, no id, class, label, title or text on the page names what is asked for."""
    html = play(form).page.evaluate("document.querySelector('main').outerHTML").lower()

    assert [] == [word for word in ("median", TARGET, "data-id", 'class="w-lit') if word in html]


def test_every_form_is_answered_by_keyboard_on_a_phone(play):
    """Arrows, Space, Enter and Tab answer every form at 390 px; each result is told, and nothing runs off the side."""
    visited = play(viewport={"width": 390, "height": 844})
    page = visited.page
    for item in ITEMS:
        if item.form == "tap":
            page.locator("[role=application]").focus()
            page.keyboard.press("ArrowUp")
        elif item.options and item.form != "order":
            page.locator(".w-quiz-option input").last.focus()
            page.keyboard.press("Space")
        elif item.form == "order":
            # Four, three, two, one: the last is carried to the top.
            for _ in range(3):
                page.get_by_role("button", name="Move up: one").press("Enter")
        else:
            page.locator("input[type=range]").press("ArrowRight")
        page.get_by_role("button", name=WORDS["quiz.play.check"]).press("Enter")
        assert page.locator(".w-quiz-live").inner_text().endswith("Because.")
        page.keyboard.press("Enter")
    kept = dict(page.evaluate("wristward.kept"))
    wide = page.evaluate("document.documentElement.scrollWidth")

    assert (1, pytest.approx(1 / 3), 0, 1) == (kept["choice"], kept["many"], kept["order"], kept["height"])
    assert (390, []) == (wide, visited.errors)


def test_targets_are_large_enough(play):
    """Every button, option and slider that a finger meets is 24 px or more both ways."""
    page = play("order", "height", touch=True, viewport={"width": 390, "height": 844}).page
    small = []
    for form in ("order", "height"):
        if form == "height":
            page.get_by_role("button", name=WORDS["quiz.play.higher"]).tap()
        small += page.evaluate(
            """[...document.querySelectorAll("main button, main input, main select")].map((one) => {
              const box = one.getBoundingClientRect();
              return [one.outerHTML.slice(0, 60), box.width, box.height];
            }).filter(([, width, height]) => width < 24 || height < 24)"""
        )
        page.get_by_role("button", name=WORDS["quiz.play.check"]).tap()
        page.locator(".w-quiz-result ~ .w-quiz-row button").tap()

    assert [] == small


def test_a_slider_nobody_moved_is_no_answer(play):
    """Where the slider stands at first is not taken for an answer: the reader is told to choose."""
    page = play("height").page
    page.get_by_role("button", name=WORDS["quiz.play.check"]).click()
    told = page.locator(".w-quiz-live").inner_text()
    page.get_by_role("button", name=WORDS["quiz.play.lower"]).click()
    page.get_by_role("button", name=WORDS["quiz.play.check"]).click()

    assert (WORDS["quiz.play.choose"], 1) == (told, page.locator(".w-quiz-result").count())

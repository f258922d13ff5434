"""Every kind of question on the shipped data: no leak, keyboard alone, touch at 390 px, told aloud, axe, no motion."""

from __future__ import annotations

import re

import pytest

from tests.conftest import PHONE, WCAG, axe_violations
from wristward.data.records.quiz_kinds import kinds_of

KINDS = kinds_of(["wrist"])

pytestmark = pytest.mark.browser

SMALL = """() => [...document.querySelectorAll("main button, main input, main select, main a")].map((one) => {
  const box = (one.closest("label") ?? one).getBoundingClientRect();
  return [one.outerHTML.slice(0, 60), box.width, box.height];
}).filter(([, width, height]) => height > 0 && (width < 24 || height < 24))"""


@pytest.fixture
def opened(visit, quizzes):
    """Open the quiz of one kind, begun."""

    def open_page(kind, **options):
        visited = visit(quizzes.url(kind), viewport=PHONE, **options)
        button = visited.page.get_by_role("button", name=quizzes.words["quiz.play.begin"])
        button.press("Enter")
        visited.page.wait_for_selector(".w-quiz-stem")
        return visited

    return open_page


def _form(quizzes, page):
    stem = page.locator(".w-quiz-stem").inner_text()
    return next(item for item in quizzes.items if item.stem == stem)


@pytest.mark.parametrize("kind", KINDS)
def test_answered_by_keyboard_alone(opened, quizzes, kind):
    """From Begin to the result with keys alone: Tab reaches the answer, each result is told, and focus is not lost."""
    visited = opened(kind)
    page, words = visited.page, quizzes.words
    told = []
    for _ in range(3):
        form = _form(quizzes, page).form
        wanted = {
            "choice": "input[type=radio]", "many": "input[type=checkbox]", "tap": "[role=application]",
            "height": "input[type=range]", "order": ".w-quiz-order button:not(:disabled)",
        }[form]  # fmt: skip
        for _ in range(12):
            page.keyboard.press("Tab")
            if page.evaluate("(wanted) => document.activeElement.matches(wanted)", wanted):
                break
        page.keyboard.press({"tap": "ArrowUp", "height": "ArrowRight", "order": "Enter"}.get(form, "Space"))
        for _ in range(30):
            if page.evaluate("document.activeElement.textContent") == words["quiz.play.check"]:
                break
            page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        told.append(page.locator(".w-quiz-live").inner_text())
        page.keyboard.press("Enter")
    ended = page.locator(".w-quiz-live").inner_text()

    assert [] == [text for text in told if not re.match(r"(Right\.|Not right\.|Partly right)", text)]
    assert " of 3 right" in ended and "w-quiz-stem" == page.evaluate("document.activeElement.className")
    assert (390, []) == (page.evaluate("document.documentElement.scrollWidth"), visited.errors)


@pytest.mark.parametrize("kind", KINDS)
def test_answered_by_touch_and_nothing_gives_it_away(opened, quizzes, kind):
    """Taps alone answer it at 390 px on targets of 24 px or more; before, the page holds nothing that tells the answer."""
    visited = opened(kind, touch=True)
    page, words = visited.page, quizzes.words
    form = _form(quizzes, page).form
    leaks = _leaks(page, _form(quizzes, page), quizzes.names)
    small = page.evaluate(SMALL)
    if form in ("choice", "many"):
        page.locator(".w-quiz-option").first.tap()
    elif form == "tap":
        box = page.locator("[role=application]").bounding_box()
        page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 3)
    elif form == "order":
        page.locator(".w-quiz-order button:not(:disabled)").first.tap()
    else:
        page.get_by_role("button", name=words["quiz.play.higher"]).tap()
    page.get_by_role("button", name=words["quiz.play.check"]).tap()
    page.wait_for_selector(".w-quiz-result")
    small += page.evaluate(SMALL)

    assert ([], [], []) == (leaks, small, visited.errors)
    assert 390 == page.evaluate("document.documentElement.scrollWidth")


def _leaks(page, item, names):
    """Return each name, id, fact and reason of what is asked that stands in the HTML beyond the question and options.

    Looked at is the whole HTML: ids, classes, labels, titles, values and text, in the drawing and out of it.
    """
    html = page.evaluate("document.querySelector('[data-wristward]').outerHTML").lower()
    html = re.sub(r'<script type="application/json">.*?</script>', "", html, flags=re.S)
    for text in (item.stem, *(option.text for option in item.options)):
        html = html.replace(text.lower(), "")
    secret = [word.lower() for id_ in {item.target, *item.marks} - {None} for word in (id_, names[id_])]
    secret += [item.id, item.fact.lower(), item.why.lower()[:40], *(one.why.lower()[:40] for one in item.options)]
    values = page.locator(".w-quiz-option input").evaluate_all("(all) => all.map((one) => one.value)")
    return [word for word in secret if word in html] + [value for value in values if not value.isdigit()]


def test_nothing_is_in_the_built_page(quizzes):
    """The page as it is built holds no question, option, reason or fact at all: they come with the script."""
    pages = [(quizzes.folder / f"{kind}.html").read_text(encoding="utf-8") for kind in KINDS]
    said = {text for item in quizzes.items for text in (item.stem, item.id, item.fact, item.why)}

    assert set(KINDS) <= {item.kind for item in quizzes.items}
    assert [] == [text for text in sorted(said) for page in pages if text in page]
    assert not any(
        item.fact in (quizzes.folder / "assets" / "wristward-quiz.js").read_text("utf-8") for item in quizzes.items
    )


@pytest.mark.parametrize(
    ("kind", "scheme"),
    [("tap", "light"), ("look_alike", "dark"), ("order", "light"), ("height", "dark"), ("caught", "light")],
)
def test_axe_finds_nothing(opened, quizzes, kind, scheme):
    """Before the answer and after it, axe has nothing to say of any form, in the light or the dark."""
    page, words = opened(kind, scheme=scheme).page, quizzes.words
    found = [_violations(page)]
    if _form(quizzes, page).form == "tap":
        page.locator("[role=application]").press("ArrowUp")
    elif page.locator(".w-quiz-option").count():
        page.locator(".w-quiz-option").first.click()
    elif page.locator("input[type=range]").count():
        page.get_by_role("button", name=words["quiz.play.higher"]).click()
    page.get_by_role("button", name=words["quiz.play.check"]).click()
    page.wait_for_selector(".w-quiz-result")
    found.append(_violations(page))

    assert [[], []] == found


@pytest.mark.parametrize("name", ["practice", "progress"])
def test_axe_finds_nothing_on_the_pages(visit, quizzes, name):
    """Practice with its controls opened, and Progress with its tables, are without a finding."""
    page = visit(quizzes.url(name), viewport=PHONE).page
    page.wait_for_function("wristward.quizData !== undefined")
    if name == "practice":
        page.wait_for_selector("[data-ready=yes]")
        page.locator("summary").click()
    else:
        page.evaluate(
            """async () => {
              const log = await wristward.store.open();
              const entry = (item, k) => ({ key: `a${k}`, item: item.id, at: 1e12, rating: 3, marks: 1, sure: true, topics: item.topics });
              await log.addAll(wristward.quizData.items.slice(0, 5).map(entry));
            }"""
        )
        page.wait_for_selector("table")

    assert ([], 390) == (_violations(page), page.evaluate("document.documentElement.scrollWidth"))


def _violations(page):
    return axe_violations(page, tags=(*WCAG, "best-practice"), off=("landmark-one-main",))


def test_nothing_moves_where_motion_is_reduced(visit, quizzes):
    """With reduced motion no transition or animation runs on Practice, before the answer or after it."""
    page, words = visit(quizzes.url("practice"), reduced_motion="reduce").page, quizzes.words
    page.wait_for_selector("[data-ready=yes]")
    moving = """() => [...document.querySelectorAll("main *")].filter((one) => {
      const style = getComputedStyle(one);
      return style.transitionDuration.split(",").some((time) => parseFloat(time) > 0) || style.animationName !== "none";
    }).map((one) => one.outerHTML.slice(0, 60)).concat(document.getAnimations().map((one) => one.animationName))"""
    before = page.evaluate(moving)
    page.get_by_role("button", name=words["quiz.play.check"]).click()

    assert ([], []) == (before, page.evaluate(moving))

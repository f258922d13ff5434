"""QTI 3.0 items in an independent player: answered right and wrong with mouse and keyboard, and scored as said."""

from __future__ import annotations

import pytest

from tests.export.players import BLANK, HOST, player, serve
from tests.waiting import frames

pytestmark = pytest.mark.browser

PLAYER = "@citolab/qti-components/cdn/index.js"
LOAD = """async (address) => {
  document.body.innerHTML = `<qti-item><item-container item-url="${address}"></item-container></qti-item>`;
  await import('/player.js');
}"""
ITEM = "document.querySelector('item-container')?.shadowRoot?.querySelector('qti-assessment-item')"
READ = f"""() => {{
  const item = {ITEM};
  item.processResponse();
  return Object.fromEntries(item.variables.map(({{ identifier, value }}) => [identifier, value]));
}}"""


@pytest.fixture(scope="module")
def stage(browser, qti):
    """A page of the player with the files of the package at its side; what went wrong on it is a fault."""
    context = browser.new_context(viewport={"width": 1000, "height": 1400})
    page, faults = context.new_page(), []
    page.on("pageerror", lambda error: faults.append(str(error)))
    files = {**qti["3.0", False].files, "player.html": BLANK, "player.js": player(PLAYER)}
    missing = serve(page, files)

    yield page
    assert [] == faults
    assert [] == missing
    context.close()


def play(page, question, answer):
    """Open an item, answer it, and return what the player makes of it."""
    page.goto(f"{HOST}player.html")
    page.evaluate(LOAD, f"/items/{question.id}.xml")
    page.wait_for_function(f"{ITEM}?.variables?.length > 3 && {ITEM}.querySelector('[response-identifier]') !== null")
    page.wait_for_function(
        f"[...{ITEM}.querySelectorAll('img')].every((image) => image.complete && image.naturalWidth)"
    )
    frames(page)
    ANSWER[question.form](page, question, answer)
    return page.evaluate(READ)


def choose(page, question, ids):
    for id_ in ids:
        page.locator(f'qti-simple-choice[identifier="{id_}"]').click()


def fill_table(page, question, pairs):
    for row, column in pairs:
        page.locator(f'qti-match-interaction input[value="{row} {column}"]').click()


def put_in_order(page, question, ids):
    # Not dragged: the player loses rows when a script drags. How an order is scored is what is tried.
    page.evaluate(
        f"""(ids) => {{
          const row = {ITEM}.querySelector('qti-order-interaction');
          const detail = {{ responseIdentifier: 'RESPONSE', response: ids }};
          row.dispatchEvent(new CustomEvent('qti-interaction-response', {{ bubbles: true, composed: true, detail }}));
        }}""",
        list(ids),
    )


def tap(page, question, id_):
    spot = next(one for one in question.spots if one.id == id_)
    x, y = inside(spot)
    box = page.locator("qti-hotspot-interaction img").bounding_box()
    page.mouse.click(box["x"] + x, box["y"] + y)


def write(page, question, text):
    page.locator("qti-text-entry-interaction input").fill(text)
    page.keyboard.press("Tab")


ANSWER = {
    "choice": choose,
    "many": choose,
    "match": fill_table,
    "order": put_in_order,
    "hotspot": tap,
    "number": write,
}


def inside(spot):
    """Return a point well inside an outline: a circle's middle, or the middle of a polygon's widest row."""
    if spot.shape == "circle":
        return spot.coords[:2]
    points = list(zip(spot.coords[::2], spot.coords[1::2], strict=True))
    best = (0.0, points[0])
    for y in range(min(y for _, y in points) + 1, max(y for _, y in points)):
        edges = zip(points, points[1:] + points[:1], strict=True)
        crossed = sorted(
            a[0] + (y + 0.5 - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
            for a, b in edges
            if (a[1] > y + 0.5) != (b[1] > y + 0.5)
        )
        for left, right in zip(crossed[::2], crossed[1::2], strict=True):
            best = max(best, (right - left, ((left + right) / 2, y + 0.5)))
    return best[1]


def right_answer(question):
    if question.form in ("choice", "many"):
        return [one.id for one in question.choices if one.right]
    if question.form == "match":
        yes, no = (one.id for one in question.columns)
        return [(one.id, yes if one.right else no) for one in question.choices]
    if question.form == "order":
        return question.right_order
    return question.right_spot if question.form == "hotspot" else f"{question.key_cm:g}"


def wrong_answer(question):
    if question.form in ("choice", "many"):
        return [one.id for one in question.choices if not one.right][:1]
    if question.form == "match":
        yes, no = (one.id for one in question.columns)
        return [(one.id, no if one.right else yes) for one in question.choices]
    if question.form == "order":
        return question.right_order[::-1]
    if question.form == "hotspot":
        # The widest outline that is not the right one: a muscle.
        others = [one for one in question.spots if one.id != question.right_spot and one.shape == "poly"]
        return max(others, key=lambda one: len(one.coords)).id
    return "31.7"


def test_every_right_answer_earns_full_marks(stage, questions):
    """Each kind of item, answered right, is scored 1 by the player and gives its reason."""
    scored = {one.id: play(stage, one, right_answer(one)) for one in questions}
    forms = {one.form for one in questions}

    assert {"choice", "many", "match", "order", "hotspot", "number"} == forms
    assert {one.id: 1.0 for one in questions} == {id_: round(float(got["SCORE"]), 4) for id_, got in scored.items()}
    assert [] == [id_ for id_, got in scored.items() if got["FEEDBACK"] is None]


def test_every_wrong_answer_earns_nothing(stage, questions):
    """Each kind of item, answered wrong, is scored 0 by the player and gives its reason."""
    scored = {one.id: play(stage, one, wrong_answer(one)) for one in questions}

    assert {one.id: 0.0 for one in questions} == {id_: float(got["SCORE"]) for id_, got in scored.items()}
    assert [] == [id_ for id_, got in scored.items() if got["FEEDBACK"] is None]


def test_marks_in_between(stage, questions):
    """A number beside the best range earns a half, half a table a half, and half of several answers their share."""
    number = next(one for one in questions if one.kind == "height")
    table = next(one for one in questions if one.form == "match")
    several = next(one for one in questions if one.form == "many")
    beside = f"{number.bands[0].high_cm + 0.7:g}"
    part = right_answer(table)[:1]
    one_right = right_answer(several)[:1]
    count = sum(one.right for one in several.choices)

    assert 0.5 == float(play(stage, number, beside)["SCORE"])
    assert round(1 / len(table.choices), 4) == round(float(play(stage, table, part)["SCORE"]), 4)
    assert round(1 / count, 4) == round(float(play(stage, several, one_right)["SCORE"]), 4)


def test_the_reason_is_shown(stage, questions):
    """After an answer the player shows the reason that belongs to it, and where it stands."""
    question = next(one for one in questions if one.form == "choice")
    wrong = next(one for one in question.choices if not one.right)
    play(stage, question, [wrong.id])
    shown = stage.locator(f'qti-modal-feedback[identifier="{wrong.id}"]').inner_text()

    assert wrong.why in shown
    assert question.sources[0] in shown

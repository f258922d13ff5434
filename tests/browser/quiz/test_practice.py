"""Practice and Progress on the shipped data: before the list, what is due, how sure, reset, import, and the sheet."""

from __future__ import annotations

import json
import re

import pytest

from tests.waiting import frames

pytestmark = pytest.mark.browser

OPERATION = "index_nail_bed"
LOG = """async (sure) => {
  const log = await wristward.store.open();
  const old = Date.now() - 40 * 86400000;
  await log.addAll(wristward.quizData.items.slice(0, 30).map((item, k) => ({
    key: wristward.store.key(), item: item.id, at: old + k, rating: k % 3 ? 3 : 1, marks: k % 3 ? 1 : 0,
    sure: sure[k % 3], topics: item.topics.slice(0, 12), edition: item.edition,
  })));
}"""


@pytest.fixture
def practice(visit, quizzes):
    """Open Practice: ``practice(clock=True)`` with a clock that the test turns."""

    def open_page(*, clock=False, **options):
        visited = visit("about:blank", **options)
        if clock:
            visited.page.clock.install()
        visited.page.goto(quizzes.url("practice"))
        visited.page.wait_for_selector("[data-ready=yes]")
        return visited

    return open_page


def _begin_list(page, words):
    page.locator("summary").click()
    page.select_option("#w-quiz-operation", OPERATION)
    page.get_by_role("button", name=words["quiz.practice.list_begin"]).click()


def test_before_the_list_is_of_the_operation_and_not_kept(practice, quizzes):
    """Its questions are the operation's and its nerves', one of a variant among those that may come; none is logged."""
    visited = practice()
    page, words = visited.page, quizzes.words
    _begin_list(page, words)
    chosen = page.evaluate(
        "([op, seeds]) => seeds.map((seed) => wristward.before.draw(wristward.quizData.items, op, seed).map((one) => one.item))",
        [OPERATION, list(range(12))],
    )
    page.locator(".w-quiz-option").first.click()
    page.get_by_role("button", name=words["quiz.play.check"]).click()
    kept = page.evaluate("wristward.store.open().then((log) => log.all()).then((all) => all.length)")
    nerves = page.evaluate("(op) => wristward.quizData.nerves[op]", OPERATION)
    facts = {item.id: item.fact for item in quizzes.items}

    assert [12] * 12 == [len(one) for one in chosen]
    assert [] == [one["id"] for row in chosen for one in row if not {OPERATION, *nerves} & set(one["topics"])]
    assert all(OPERATION in row[0]["topics"] for row in chosen)
    assert {"caught", "testing"} <= {one["kind"] for row in chosen for one in row}
    assert any("variant" in facts[one["id"]] or "written" in facts[one["id"]] for row in chosen for one in row)
    assert (0, []) == (kept, visited.errors)


def test_the_clock_runs_down_and_stops_nobody(practice, quizzes):
    """Ten minutes run down, five and one minute left are told, and after the end the question can still be answered."""
    page, words = practice(clock=True).page, quizzes.words
    _begin_list(page, words)
    told = []
    for seconds in (0, 299, 2, 239, 61):
        page.clock.run_for(1000 * seconds)
        told.append(
            (page.get_by_role("timer").inner_text(), page.locator(".w-quiz-clock [role=status]").text_content())
        )
    page.get_by_role("button", name=words["quiz.play.check"]).click()
    left = words["quiz.practice.clock_left"]
    over = words["quiz.practice.clock_over"]

    assert [
        ("10:00", ""),
        ("5:01", ""),
        ("4:59", left.format(minutes=5)),
        ("1:00", left.format(minutes=1)),
        (over, over),
    ] == told
    assert words["quiz.play.choose"] == page.locator(".w-quiz-live").inner_text()

    page.get_by_role("button", name=words["quiz.practice.clock_stop"]).click()
    assert 0 == page.locator(".w-quiz-clock").count()


def test_the_clock_ends_with_the_quiz_or_another(practice, quizzes):
    """Beginning an ordinary quiz takes the clock away."""
    page, words = practice().page, quizzes.words
    _begin_list(page, words)
    before = page.locator(".w-quiz-clock").count()
    page.get_by_role("button", name=words["quiz.play.begin"], exact=True).click()

    page.wait_for_function("document.querySelector('.w-quiz-clock') === null")
    assert 1 == before


def test_the_sheet_has_questions_first_and_answers_last(practice, quizzes):
    """The printed sheet holds every question with its options, then the key of each, and no button of the page."""
    page, words = practice().page, quizzes.words
    page.evaluate("globalThis.print = () => { globalThis.printed = true; }")
    page.locator("summary").click()
    page.select_option("#w-quiz-operation", OPERATION)
    page.get_by_role("button", name=words["quiz.practice.list_print"]).click()
    page.emulate_media(media="print")
    drawn = page.evaluate(
        "(op) => wristward.before.draw(wristward.quizData.items, op, Number(document.querySelector('#w-quiz-seed').value))"
        ".map(({item, order}) => [item.stem, item.form, order.map((k) => item.options[k].right)])",
        OPERATION,
    )
    stems = page.locator(".w-quiz-sheet > ol").nth(0).locator("> li > p:first-child").all_inner_texts()
    keys = (
        page.locator(".w-quiz-sheet > ol")
        .nth(1)
        .locator("> li")
        .evaluate_all("(all) => all.map((one) => one.querySelector('strong')?.textContent ?? null)")
    )
    expected = [
        ", ".join("ABCDEFGH"[k] for k, is_right in enumerate(right) if is_right) if form in ("choice", "many") else None
        for _, form, right in drawn
    ]
    seen = page.locator("button:visible, select:visible").count()

    assert page.evaluate("globalThis.printed") and 0 == seen
    assert [stem for stem, _, _ in drawn] == stems
    assert [key for key, want in zip(keys, expected, strict=True) if want is not None] == [
        one for one in expected if one
    ]


def test_due_today_plays_what_is_due(practice, quizzes):
    """Answers of long ago are due, the button counts them, and pressing it asks these alone."""
    page, words = practice().page, quizzes.words
    page.evaluate(LOG, [True, False, None])
    button = page.get_by_role("button", name=re.compile(r"^Due today"))
    page.wait_for_function("!document.querySelector('.w-quiz-row button[disabled]')")
    told = button.inner_text()
    button.click()
    due = page.evaluate("wristward.quizData.items.slice(0, 30).map((item) => item.stem)")

    assert words["quiz.practice.due"].format(count=30) == told
    page.wait_for_function("(due) => due.includes(document.querySelector('.w-quiz-stem').textContent)", arg=due)


def test_progress_shows_how_sure_and_how_often_right(visit, quizzes):
    """Right of asked is counted by what readers said of themselves, with Wilson's interval; 30 are due today."""
    visited = visit(quizzes.url("progress"))
    page, words = visited.page, quizzes.words
    page.wait_for_function("wristward.quizData !== undefined")
    page.evaluate(LOG, [False, True, None])
    region = page.get_by_role("region", name=words["quiz.progress.sure_heading"])
    region.wait_for()
    rows = [re.sub(r"\s+", " ", text) for text in region.locator("tbody tr").all_inner_texts()]
    due = page.get_by_role("region", name=words["quiz.progress.due_heading"]).locator("tbody tr").first.inner_text()

    assert [
        f"{words['quiz.progress.said_sure']} 10 / 10 72 % – 100 % (estimate)",
        f"{words['quiz.progress.said_unsure']} 0 / 10 0 % – 28 % (estimate)",
        f"{words['quiz.progress.said_nothing']} 10 / 10 72 % – 100 % (estimate)",
    ] == rows
    assert ["today", "30"] == due.split()
    assert [] == visited.errors


def test_reset_asks_first(visit, quizzes):
    """Deleting asks; refused, all stays; granted, nothing is left and the page says so."""
    page, words = visit(quizzes.url("progress")).page, quizzes.words
    page.wait_for_function("wristward.quizData !== undefined")
    page.evaluate(LOG, [None, None, None])
    button, asked = page.get_by_role("button", name=words["quiz.progress.reset"]), []
    counts = []
    for grant in (False, True):
        page.once(
            "dialog",
            lambda dialog, grant=grant: (asked.append(dialog.message), dialog.accept() if grant else dialog.dismiss()),
        )
        button.click()
        frames(page)
        if grant:
            page.get_by_text(words["quiz.progress.none"]).wait_for()
        counts.append(page.evaluate("wristward.store.open().then((log) => log.all()).then((all) => all.length)"))

    assert ([words["quiz.progress.reset_sure"]] * 2, [30, 0]) == (asked, counts)


@pytest.mark.parametrize("kind", ["large", "script"])
def test_hostile_import_is_refused_with_words(visit, quizzes, kind, tmp_path):
    """A file of 10 MB, or with a script where a name belongs, adds nothing, runs nothing, and is refused in words."""
    entry = {"key": "aa", "item": "ab12", "at": 5, "rating": 3, "marks": 1, "sure": None}
    hostile = entry | {"topics": ["<img src=x onerror=globalThis.harmed=1>"]}
    text = {
        "large": " " * (10 * 1024 * 1024),
        "script": json.dumps({"format": "wristward-progress", "version": 2, "answers": [entry, hostile]}),
    }[kind]
    (tmp_path / "progress.json").write_text(text, encoding="utf-8")
    page, words = visit(quizzes.url("progress")).page, quizzes.words
    page.set_input_files("#w-quiz-file", tmp_path / "progress.json")
    expected = {
        "large": words["quiz.progress.refused_size"],
        "script": words["quiz.progress.refused_entry"].format(number=2),
    }[kind]

    page.get_by_text(expected).wait_for()
    kept = page.evaluate("wristward.store.open().then((log) => log.all()).then((all) => all.length)")
    assert (0, None) == (kept, page.evaluate("globalThis.harmed ?? null"))


def test_full_store_is_said_on_import(visit, quizzes, tmp_path):
    """A file that the full store cannot take is refused in words, and nothing of it is kept by halves."""
    entries = [
        {"key": f"{k:04x}", "item": "ab12", "at": 5 + k, "rating": 3, "marks": 1, "sure": None, "topics": []}
        for k in range(4)
    ]
    (tmp_path / "progress.json").write_text(
        json.dumps({"format": "wristward-progress", "version": 2, "answers": entries}), encoding="utf-8"
    )
    page, words = visit(quizzes.url("progress")).page, quizzes.words
    page.wait_for_selector("#w-quiz-file")
    page.evaluate(
        """() => {
          const put = IDBObjectStore.prototype.put;
          let count = 0;
          IDBObjectStore.prototype.put = function (value) {
            if (++count === 3) { this.transaction.abort(); throw new DOMException("full", "QuotaExceededError"); }
            return put.call(this, value);
          };
        }"""
    )
    page.set_input_files("#w-quiz-file", tmp_path / "progress.json")

    page.get_by_text(words["quiz.progress.refused_full"]).wait_for()
    assert 0 == page.evaluate("wristward.store.open().then((log) => log.all()).then((all) => all.length)")

"""The quizzes' scripts in Chromium: the same numbers as Python and as the published scheduler, and a log that keeps."""

from __future__ import annotations

import json
import random
from datetime import UTC, datetime, timedelta
from itertools import permutations
from pathlib import Path

import fsrs
import pytest

from tests.quiz import scoring
from wristward.bridge.hosts.quiz import plain_item, plain_kind
from wristward.bridge.scripts import browser_text
from wristward.quiz.compose import compose
from wristward.quiz.item import Option, make_item

VECTORS = json.loads((Path(__file__).parents[2] / "quiz" / "vectors.json").read_text(encoding="utf-8"))
PURE = ("random", "score", "schedule", "compose", "store")
DAY_MS = 86_400_000

pytestmark = pytest.mark.browser


@pytest.fixture
def blank(visit, tmp_path):
    """Open a page with the scripts that need no figure; ``blank.page`` is it."""
    scripts = "".join(f"<script>{browser_text([f'quiz/{name}.js'])}</script>" for name in PURE)
    path = tmp_path / "blank.html"
    path.write_text(f"<!doctype html><title>x</title><link rel=icon href='data:,'>{scripts}", encoding="utf-8")
    return visit(path.as_uri())


def test_random_gives_the_shared_numbers(blank):
    """A seed gives the same numbers, choices and orders as in Python."""
    actual = blank.page.evaluate(
        """(seeds) => seeds.map((seed) => {
          const chance = wristward.random(seed);
          return { seed, words: Array.from({ length: 5 }, () => chance.word()),
            below: [1, 2, 3, 10, 1000, 2 ** 31].map((n) => chance.below(n)),
            shuffled: chance.shuffled([...Array(12).keys()]) };
        })""",
        [vector["seed"] for vector in VECTORS],
    )

    assert VECTORS == actual


def test_same_seed_same_quiz_as_in_python(blank):
    """A seed draws the same items, arms and orders of options as in Python, whatever the topic."""
    options = tuple(Option(text=text, right=text == "a", why="x") for text in "abcd")
    plain = {"stem": "x", "why": "x", "sources": ("s",), "confidence": 3}
    items = [
        make_item(
            kind=kind, form="order" if kind == "order" else "choice", fact=f"{k}", topics=(("one", "two_b")[k % 2],),
            target=(None, "p", "q")[k % 3], options=options, **plain,
        )
        for kind in ("name", "order", "look_alike", "seam")
        for k in range(9)
    ]  # fmt: skip
    asked = [(topic, seed) for topic in (None, "one", "two") for seed in (0, 1, 7, 2**31 + 5)]
    actual = blank.page.evaluate(
        """([items, kinds, asked]) => {
          wristward.quizData = { kinds };
          return asked.map(([topic, seed]) =>
            wristward.compose.draw(items, { topic, count: 15, seed }).map((one) => [one.item.id, one.side, one.order]));
        }""",
        [[plain_item(item) for item in items], {one.kind: plain_kind(one.row) for one in items}, asked],
    )
    expected = [
        [[one.item.id, one.side, list(one.order)] for one in compose(items, topic=topic, count=15, seed=seed)]
        for topic, seed in asked
    ]

    assert expected == actual


def test_scores_are_those_of_python(blank):
    """Orders, taps, heights, levels and several answers earn what Python gives."""
    orders = [list(one) for one in permutations(range(5))]
    taps = [[mm / 4, other] for mm in range(20) for other in (True, False)]
    heights = [[value, 130] for value in range(90, 171)]
    credit = [0, 10, 100, 60, 0]
    levels = [value / 2 for value in range(-4, 60)]
    actual = blank.page.evaluate(
        """([orders, taps, heights, credit, levels]) => [orders.map(wristward.score.order),
          taps.map((one) => wristward.score.tap(...one)), heights.map((one) => wristward.score.height(...one)),
          levels.map((one) => wristward.score.credit(one, credit))]""",
        [orders, taps, heights, credit, levels],
    )
    expected = [
        [scoring.score_order(one) for one in orders],
        [scoring.score_tap(distance_mm=mm, inside_other=other) for mm, other in taps],
        [scoring.score_height(value_mm=value, key_mm=key) for value, key in heights],
        [scoring.score_credit(value_mm=value, credit=credit) for value in levels],
    ]

    assert [pytest.approx(one, abs=1e-12) for one in expected] == actual


def test_interval_is_wilsons(blank):
    """14 of 20 right lie between 48 and 85 of 100, 7 of 10 between 40 and 89."""
    actual = blank.page.evaluate("[[14, 20], [7, 10]].map((one) => wristward.score.interval(...one))")

    assert [[0.48, 0.85], [0.40, 0.89]] == [[round(end, 2) for end in one] for one in actual]


def test_schedule_is_that_of_fsrs(blank):
    """On 1,000 random histories stability, difficulty, state and due time are those of the package fsrs."""
    chance = random.Random(11)
    histories = [_history(chance) for _ in range(1000)]
    actual = blank.page.evaluate(
        """(histories) => histories.map((history) =>
          history.reduce((card, [rating, at]) => wristward.schedule.answer(card, rating, at), null))""",
        histories,
    )
    scheduler = fsrs.Scheduler(enable_fuzzing=False)
    wrong = []
    for history, card in zip(histories, actual, strict=True):
        other = fsrs.Card()
        for rating, at in history:
            when = datetime.fromtimestamp(0, UTC) + timedelta(milliseconds=at)
            other, _ = scheduler.review_card(other, fsrs.Rating(rating), when)
        due = (other.due - datetime.fromtimestamp(0, UTC)) / timedelta(milliseconds=1)
        same = (
            abs(card["stability"] - other.stability) <= 1e-6 * other.stability
            and abs(card["hard"] - other.difficulty) <= 1e-6
            and card["state"] == other.state.name.lower()
            and abs(card["due"] - due) < 1
        )
        if not same:
            wrong.append((history, card, other.to_dict()))

    assert [] == wrong


def _history(chance: random.Random) -> list[list[int]]:
    """Return answers at whole minutes, each later in the day than the one before: both ways to count days agree."""
    at = 1_700_000_000_000 // DAY_MS * DAY_MS
    answers = []
    for _ in range(chance.randint(1, 12)):
        at += chance.choice([0, 0, 1, 2, 5, 11, 40, 200]) * DAY_MS + chance.randint(1, 100) * 60_000
        answers.append([chance.choice([1, 2, 3, 3, 3, 4]), at])
    return answers


ADD = """async (tab) => {
  const log = await wristward.store.open();
  for (let k = 0; k < 200; k++) {
    await log.add({ key: wristward.store.key(), item: "ab12", at: 1000 + k, rating: 3, marks: 1, topics: [tab] });
  }
}"""


def test_two_tabs_lose_nothing(blank):
    """Two tabs that answer 200 items each at the same time keep 400 answers."""
    second = blank.page.context.new_page()
    second.goto(blank.page.url)
    for page in (blank.page, second):
        page.evaluate(f"(tab) => {{ globalThis.adding = ({ADD})(tab); }}", "a" if page is second else "b")
    for page in (blank.page, second):
        page.evaluate("globalThis.adding")
    kept = blank.page.evaluate(
        "wristward.store.open().then((log) => log.all()).then((all) => all.map((one) => one.topics[0]))"
    )

    assert {"a": 200, "b": 200} == {tab: kept.count(tab) for tab in sorted(set(kept))}


def test_import_twice_adds_once(blank):
    """What was exported comes back whole, and a second time adds nothing."""
    actual = blank.page.evaluate(
        """async () => {
          const log = await wristward.store.open();
          await log.add({ key: "aa", item: "ab12", at: 5, rating: 3, marks: 1, sure: true, topics: ["ulnar_nerve"] });
          const text = wristward.store.text(await log.all());
          await log.clear();
          const entries = wristward.store.read(text);
          return [await log.addAll(entries), await log.addAll(entries), await log.all()];
        }"""
    )
    entry = {
        "key": "aa",
        "item": "ab12",
        "at": 5,
        "rating": 3,
        "marks": 1,
        "sure": True,
        "topics": ["ulnar_nerve"],
        "edition": None,
    }

    assert [1, 0, [entry]] == actual


GOOD = {"key": "aa", "item": "ab12", "at": 5, "rating": 3, "marks": 1, "sure": None, "topics": []}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (" " * (10 * 1024 * 1024), "quiz.progress.refused_size"),
        ("{", "quiz.progress.refused_json"),
        ("null", "quiz.progress.refused_json"),
        ('{"format":"other","version":1,"answers":[]}', "quiz.progress.refused_json"),
        ('{"format":"wristward-progress","version":9,"answers":[]}', "quiz.progress.refused_version"),
        *(
            (
                json.dumps({"format": "wristward-progress", "version": 1, "answers": [GOOD | change]}),
                "quiz.progress.refused_entry",
            )
            for change in (
                {"item": "<script>alert(1)</script>"}, {"topics": ["<b>"]}, {"rating": "3"}, {"at": 1e300},
                {"marks": 7}, {"sure": "yes"}, {"key": ""}, {"topics": "ulnar"}, {"edition": "<i>"},
            )
        ),
    ],
    ids=lambda value: str(value)[:60],
)  # fmt: skip
def test_hostile_file_is_refused(blank, text, expected):
    """A file too large, of another kind or with anything but answers in it is refused by name of the reason."""
    actual = blank.page.evaluate(
        "(text) => { try { return wristward.store.read(text); } catch (problem) { return problem.message; } }", text
    )

    assert expected == actual


def test_foreign_store_is_set_aside(blank):
    """A store of a newer version is left as it is, another is begun beside it, and the reader is told."""
    actual = blank.page.evaluate(
        """async () => {
          await new Promise((resolve) => {
            const request = indexedDB.open("wristward-answers", 99);
            request.onupgradeneeded = () => request.result.createObjectStore("other").put(1, "kept");
            request.onsuccess = () => (request.result.close(), resolve());
          });
          const log = await wristward.store.open();
          await log.add({ key: "aa", item: "ab12", at: 5, rating: 3, marks: 1, topics: [] });
          const names = (await indexedDB.databases()).map((one) => `${one.name} ${one.version}`).sort();
          return [log.kept, log.notices, (await log.all()).length, names];
        }"""
    )

    assert [True, ["quiz.progress.aside"], 1, ["wristward-answers 99", "wristward-answers-beside 2"]] == actual


def test_refused_storage_is_said(blank):
    """Where the browser refuses storage the log lives in memory and the reader is told."""
    actual = blank.page.evaluate(
        """async () => {
          IDBFactory.prototype.open = () => { throw new DOMException("no", "SecurityError"); };
          const log = await wristward.store.open();
          await log.add({ key: "aa", item: "ab12", at: 5, rating: 3, marks: 1, topics: [] });
          return [log.kept, log.notices, (await log.all()).length];
        }"""
    )

    assert [False, ["quiz.progress.memory"], 1] == actual


def test_full_store_is_said(blank):
    """An answer that the full store refuses is kept in memory no longer than the page, and the reader is told."""
    actual = blank.page.evaluate(
        """async () => {
          const log = await wristward.store.open();
          IDBObjectStore.prototype.put = () => { throw new DOMException("full", "QuotaExceededError"); };
          await log.add({ key: "aa", item: "ab12", at: 5, rating: 3, marks: 1, topics: [] });
          return [log.notices, (await log.all()).map((one) => one.key)];
        }"""
    )

    assert [["quiz.progress.full"], ["aa"]] == actual


def _made(layout):
    """Return a script that makes a store of ours in an older or another layout."""
    return f"""() => new Promise((resolve) => {{
      const request = indexedDB.open("wristward-answers", {layout["version"]});
      request.onupgradeneeded = () => {{
        const answers = request.result.createObjectStore({json.dumps(layout["name"])}, {json.dumps(layout["options"])});
        for (const one of {json.dumps(layout["values"])}) answers.put(one);
      }};
      request.onsuccess = () => (request.result.close(), resolve());
    }})"""


OPENED = """async () => {
  const log = await wristward.store.open();
  await log.add({ key: "bb", item: "cd34", at: 9, rating: 3, marks: 1, sure: null, topics: [], edition: "0f" });
  const all = await log.all();
  const names = (await indexedDB.databases()).map((one) => `${one.name} ${one.version}`).sort();
  return [all.map((one) => [one.key, one.edition]), log.notices, names];
}"""


def test_older_store_is_migrated(blank):
    """A store of version 1 keeps its answers, is brought to version 2, and what in it is no answer stays there."""
    old = [{key: value for key, value in GOOD.items() if key != "edition"}, {"key": "zz", "text": "not an answer"}]
    blank.page.evaluate(_made({"version": 1, "name": "answers", "options": {"keyPath": "key"}, "values": old}))
    actual = blank.page.evaluate(OPENED)
    raw = blank.page.evaluate(
        """() => new Promise((resolve) => {
          const request = indexedDB.open("wristward-answers");
          request.onsuccess = () => {
            const all = request.result.transaction("answers").objectStore("answers").getAll();
            all.onsuccess = () => resolve(all.result.map((one) => [one.key, one.edition === undefined ? "none" : one.edition]));
          };
        })"""
    )

    assert [[["aa", None], ["bb", "0f"]], ["quiz.progress.aside"], ["wristward-answers 2"]] == actual
    assert [["aa", None], ["bb", "0f"], ["zz", "none"]] == raw


def test_store_of_another_layout_is_set_aside(blank):
    """A store of our name and version with another layout is left whole, another is begun, and the reader is told."""
    blank.page.evaluate(
        _made({"version": 2, "name": "answers", "options": {"keyPath": "text"}, "values": [{"text": "x"}]})
    )
    actual = blank.page.evaluate(OPENED)

    assert [[["bb", "0f"]], ["quiz.progress.aside"], ["wristward-answers 2", "wristward-answers-beside 2"]] == actual


def test_a_changed_question_begins_anew(blank):
    """Answers to another edition of a question count no more, those from before editions do, for any edition."""
    actual = blank.page.evaluate(
        """() => {
          const entry = (item, edition, at) => ({ item, edition, at, rating: 3 });
          const log = [entry("a", "01", 1000), entry("a", "02", 2000), entry("b", null, 3000), entry("c", "03", 4000)];
          const cards = wristward.schedule.cards(log, new Map([["a", "02"], ["b", "09"], ["c", "04"]]));
          return [...cards].map(([item, card]) => [item, card.last, card.step]);
        }"""
    )

    assert [["a", 2000, 1], ["b", 3000, 1]] == actual


def test_file_of_the_older_version_is_read(blank):
    """What was saved before answers had an edition is read, each answer for any edition."""
    text = json.dumps({"format": "wristward-progress", "version": 1, "answers": [GOOD]})
    actual = blank.page.evaluate("(text) => wristward.store.read(text)", text)

    assert [GOOD | {"edition": None}] == actual

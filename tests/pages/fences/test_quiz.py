"""The fence named quiz and questions written by hand: checked like the data, built into a page, played in Chromium."""

from __future__ import annotations

import json
import re
import shutil

import markdown
import pytest

from tests.projects import make_project, run
from wristward.bridge.hosts.quiz import DEFAULT_COUNT, plain_item
from wristward.bridge.scripts import browser_text
from wristward.data.read import read_dataset
from wristward.data.records.quiz_kinds import kinds_of
from wristward.errors import DataError
from wristward.locate import where_is_data
from wristward.pages.atlas import Atlas
from wristward.pages.fences.fences import FenceError, Fences, Source
from wristward.quiz.choose import choose
from wristward.quiz.written import written_id, written_items

KINDS = kinds_of(["wrist"])

HEAD = "---\ntitle: Own\n---\n\n# Own\n\n"
"""Six lines: what stands in a fence's first line of content stands in line 8 of the file."""

WRITTEN = (
    "palm_feels_fingertips_numb", "tendon_missing_in_one_of_five", "thumb_base_feels_after_radial_block",
    "vessel_over_the_flexors", "vessel_with_the_nerve_into_the_palm",
)  # fmt: skip
CHOICES = (
    {"kinds": ["tap", "seam"]}, {"topics": ["ulnar", "median_nerve"], "levels": [60, 128]}, {"levels": [0, 260]},
    {"kinds": ["testing"], "topics": ["carpal_tunnel_release"]}, {},
)  # fmt: skip


@pytest.fixture(scope="module")
def atlas(dataset, arm_sections):
    """The shipped data with its sections; quizzes measure nothing."""
    return Atlas(dataset=dataset, sections=arm_sections, measures={})


@pytest.fixture(scope="module")
def render(atlas):
    """Render the text of a page: ``render(text)`` gives its HTML."""

    def write(text):
        fences = Fences(lambda: atlas)
        fences.begin(Source(file="content/own.md", text=text, here="own.md"))
        return markdown.Markdown(extensions=[fences.extension()]).convert(text.split("---\n\n", 1)[1])

    return write


def _data(html):
    return json.loads(re.search(r'<script type="application/json">(.*?)</script>', html, re.S)[1])


def test_a_fence_becomes_a_quiz_of_what_it_asks_for(render, atlas):
    """Kinds, topics, levels, count and seed reach the page, and a written question goes by its hash."""
    asked = _data(render(f"{HEAD}```quiz\nkinds: [tap, seam]\ntopics: ulnar\nlevels: 60\ncount: 3\nseed: 9\n```\n"))
    own = _data(render(f"{HEAD}```quiz\nitems: palm_feels_fingertips_numb\n```\n"))
    item = next(one for one in atlas.quiz_items if written_id(one) == "palm_feels_fingertips_numb")

    assert (["seam", "tap"], ["ulnar"], [60], 3, 9) == tuple(
        asked[k] for k in ("kinds", "topics", "levels", "count", "seed")
    )
    assert ([item.id], 1, None) == (own["ids"], own["count"], own["topics"])
    assert DEFAULT_COUNT != 3


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        (
            "kinds: [tap, naem]\ntopics: ulner_nerve\nlevels: [60, 261, x]\ncount: 0\nseed: -1\nlevel: 4",
            [
                f"8:14: unknown kind 'naem'; did you mean 'name'? (allowed: {', '.join(sorted(KINDS))})",
                "9:9: unknown topic 'ulner_nerve'; did you mean 'ulnar_nerve'?",
                "10:14: level is 261 (allowed: a whole number from 0 to 260, in mm)",
                "10:19: level is 'x' (allowed: a whole number from 0 to 260, in mm)",
                "11:8: count is 0 (allowed: a whole number from 1 to 50)",
                "12:7: seed is -1 (allowed: a whole number from 0 to 2147483647)",
                "13:1: unknown key 'level'; did you mean 'levels'? (allowed: count, items, kinds, levels, seed, topics)",
            ],
        ),
        (
            "items: [palm_feels, 3]",
            [
                f"8:9: unknown item 'palm_feels' (allowed: {', '.join(WRITTEN)})",
                f"8:21: unknown item '3' (allowed: {', '.join(WRITTEN)})",
            ],
        ),
        (
            "kinds: tap\nitems: palm_feels_fingertips_numb",
            ["9:1: 'items' stands alone (allowed beside it: count, seed)"],
        ),
        ("kinds: order\nlevels: 60", ["8:1: no question fits kinds 'order', levels '60' together"]),
        ("topics: []", ["8:9: 'topics' is empty (leave it out to ask for all)"]),
        ("- tap", ["8:1: topics are missing (allowed: lines such as 'topics: heights')"]),
        ("kinds: [tap", ["8:12: a list opened with '[' is not closed, or a ',' is missing"]),
    ],
    ids=lambda value: value[:20].replace("\n", " ") if isinstance(value, str) else "",
)
def test_mistakes_are_told_with_their_place_in_the_page(render, body, expected):
    """Every mistake of a fence is told at once with file, line and column, the front matter counted."""
    with pytest.raises(FenceError) as raised:
        render(f"{HEAD}```quiz\n{body}\n```\n")

    assert [f"content/own.md:{one}" for one in expected] == str(raised.value).splitlines()


BROKEN = """items:
  too_sure:
    kind: testing
    topics: [median_nerve]
    stem: Which patch is always numb?
    options:
      - {text: palm, right: true, why: It is.}
      - {text: thumb, why: It may be.}
      - {text: palm, why: It is.}
    why: Said so.
    source: common_practice
    confidence: 1
    seen: memory
  not_there:
    kind: tap
    form: tap
    topics: [median_nerve]
    stem: Put the marker on it.
    z_mm: 200
    shows_section: true
    target: pisiform
    why: It is there.
    source: common_practice
    confidence: 2
    seen: memory
"""


def test_written_questions_keep_the_rules(tmp_path, arm_sections):
    """Each rule that a question written by hand breaks is told at the question's place in its file."""
    data = tmp_path / "anatomy_data"
    shutil.copytree(where_is_data(), data)
    (data / "quiz_items.yaml").write_text(BROKEN, encoding="utf-8")
    with pytest.raises(DataError) as raised:
        written_items(read_dataset(data), arm_sections)
    rule = "breaks a rule of quizzes:"

    assert [
        f"2:3: item 'too_sure' {rule} 'always' is said",
        f"2:3: item 'too_sure' {rule} confidence is 1 (allowed: 2 or more)",
        f"2:3: item 'too_sure' {rule} two options say the same",
        f"14:3: item 'not_there' {rule} 'pisiform' is not cut at z 200 mm",
    ] == [str(problem).split("quiz_items.yaml:")[1] for problem in raised.value.problems]


def test_a_written_question_needs_what_it_asks_about(tmp_path):
    """Topics that are nothing, and a marker without height, section or target, are told with their place."""
    data = tmp_path / "anatomy_data"
    shutil.copytree(where_is_data(), data)
    text = BROKEN.replace("    z_mm: 200\n    shows_section: true\n    target: pisiform\n", "").replace(
        "topics: [median_nerve]\n    stem: Put", "topics: [median_nrve]\n    stem: Put"
    )
    (data / "quiz_items.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(DataError) as raised:
        read_dataset(data)

    assert [
        "15:5: 'shows_section' is missing: a marker needs the section (allowed: true)",
        "15:5: 'target' is missing: what the marker must hit",
        "15:5: 'z_mm' is missing: the section or height asked about",
        "17:14: unknown topic 'median_nrve'; did you mean 'median_nerve'?",
    ] == [str(problem).split("quiz_items.yaml:")[1] for problem in raised.value.problems]


@pytest.mark.browser
def test_the_browser_chooses_what_python_checks(visit, atlas, tmp_path):
    """For kinds, topics and levels the page's script chooses the same questions as the check of the fence."""
    script = browser_text(["quiz/random.js", "quiz/compose.js"])
    (tmp_path / "blank.html").write_text(
        f"<!doctype html><title>x</title><link rel=icon href='data:,'><script>{script}</script>", encoding="utf-8"
    )
    page = visit((tmp_path / "blank.html").as_uri()).page
    actual = page.evaluate(
        "([items, choices]) => choices.map((one) => wristward.compose.choose(items, one).map((item) => item.id))",
        [[plain_item(item) for item in atlas.quiz_items], CHOICES],
    )
    expected = [
        [item.id for item in choose(atlas.quiz_items, **{{"levels": "levels_mm"}.get(k, k): v for k, v in one.items()})]
        for one in CHOICES
    ]

    assert expected == actual
    assert all(expected)


OWN = """items:
  beside_the_nerve:
    kind: testing
    topics: [middle_nerve]
    stem: Which one was written by hand?
    options:
      - {text: this one, right: true, why: It was.}
      - {text: that one, why: It was not.}
      - {text: another one, why: It was not either.}
    why: A course may ask what no model computes.
    source: project_assumption
    confidence: 2
"""
PAGE = f"{HEAD}Before.\n\n```quiz\nitems: beside_the_nerve\n```\n\nBetween.\n\n```quiz\nkinds: height\ncount: 2\nseed: 3\n```\n"


@pytest.mark.browser
def test_a_course_with_its_own_quiz_is_built_and_played(tmp_path, visit):
    """A folder with its own questions and fences builds; both quizzes are played from disk; a mistake stops the build."""
    folder = make_project(tmp_path / "a course")
    (folder / "anatomy_data" / "quiz_items.yaml").write_text(OWN, encoding="utf-8")
    (folder / "content" / "own.md").write_text(PAGE, encoding="utf-8")
    with (folder / "mkdocs.yml").open("a", encoding="utf-8") as file:
        file.write("  - own.md\n")
    finished = run(folder, "build")
    assert 0 == finished.returncode, finished.stderr

    visited = visit((folder / "site" / "own.html").as_uri(), viewport={"width": 390, "height": 844}, touch=True)
    page = visited.page
    first, second = page.locator("[data-wristward=quiz]").nth(0), page.locator("[data-wristward=quiz]").nth(1)
    first.get_by_role("button", name="Begin").tap()
    first.get_by_text("this one", exact=True).tap()
    first.get_by_role("button", name="Check the answer").tap()
    told = first.locator(".w-quiz-live").inner_text()
    second.get_by_role("button", name="Begin").tap()
    second.get_by_role("button", name="Half a centimetre higher").tap()
    second.get_by_role("button", name="Check the answer").tap()
    count = second.locator(".w-quiz-count").inner_text()

    assert ("Right. A course may ask what no model computes.", "Question 1 of 2", []) == (told, count, visited.errors)

    (folder / "content" / "own.md").write_text(PAGE.replace("height\n", "hight\n"), encoding="utf-8")
    before = (folder / "site" / "own.html").read_bytes()
    broken = run(folder, "build")

    assert "content/own.md:16:8: unknown kind 'hight'; did you mean 'height'?" in broken.stderr
    assert (True, before) == (broken.returncode != 0, (folder / "site" / "own.html").read_bytes())

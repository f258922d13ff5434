"""One drawing of a section: scripts draw what Python draws, by the numbers that Python says, and figures keep apart."""

from __future__ import annotations

import sys
from dataclasses import replace
from string import ascii_letters

import pytest
from bare_site import page, setting, words, write_site
from drawn import ASK, DRAW, REDRAW, SCRIPTS, TELL, differences, mirrored, picture, stored_section
from synthetic import sections

from tests.conftest import DESKTOP
from tests.unpacking import unpack_arm
from wristward.bridge.assets import data_script
from wristward.bridge.hosts.figures import section_figure_html
from wristward.bridge.pack.measures import measures_script, pack_measures
from wristward.bridge.pack.outlines import geometry_script, pack_sections
from wristward.bridge.scripts import QUIZ, RUNTIME
from wristward.data.kinds import BACK_TO_FRONT
from wristward.export.picture import draw_picture, flat
from wristward.figure.drawing import draw_section
from wristward.figure.legend import Legend
from wristward.figure.telling import paragraph, table_row, table_rows
from wristward.measure.directions import Directions
from wristward.measure.measures import measure_section

pytestmark = pytest.mark.browser

OTHER_MM = 118
"""Height of the drawing that a script takes over before it draws another."""

HEIGHTS_MM = (250, 195, 130, 60, 0)
LIT = "median_nerve"


@pytest.fixture(scope="module")
def packed():
    """The made-up arm as the browser has it: scripts of its outlines and measures; outlines by (structure, height)."""
    stored = pack_sections(sections(), setting().legend)
    return (geometry_script(stored), measures_script(pack_measures(measured()))), unpack_arm(stored)


def measured():
    """Return what is measured of the sections that are told, by height in mm."""
    return {z_mm: measure_section(sections()[z_mm], partners=setting().partners) for z_mm in HEIGHTS_MM}


@pytest.fixture(scope="module")
def blank(browser, packed):
    """An empty page that holds the scripts as text: each test runs them anew after what Python says to it."""
    opened = browser.new_page(viewport=DESKTOP)
    opened.evaluate(SCRIPTS, [RUNTIME.script.text(), QUIZ.script.text(), *packed[0]])
    yield opened
    opened.close()


@pytest.fixture
def drawn(blank):
    """Let the scripts draw: ``drawn(z_mm, ASK, side="left")`` gives their svg's text."""

    def draw(z_mm, how=REDRAW, **options):
        static = draw_section(sections()[OTHER_MM], setting().legend, words(), figure_id="f")
        return blank.evaluate(DRAW, [data_script(setting()), static, z_mm, {"side": "right", **options}, how])

    return draw


def cut(packed, z_mm, side):
    """Return the section with the outlines that the browser has."""
    section = stored_section(sections()[z_mm], *packed[1])
    return section if side == "right" else mirrored(section)


@pytest.mark.parametrize("side", ["right", "left"])
@pytest.mark.parametrize("z_mm", HEIGHTS_MM)
def test_scripts_draw_what_python_draws(drawn, packed, z_mm, side):
    """Taken over from another height, a drawing has the outlines, letters, names, leaders, light, compass and scale that
    Python gives it, each to a tenth of a unit."""
    expected = picture(draw_section(cut(packed, z_mm, side), setting().legend, words(), figure_id="f", shown=LIT))
    actual = picture(drawn(z_mm, side=side, lit=LIT))

    assert min(len(expected[layer]) for layer in expected) > 0
    assert [] == differences(expected, actual)


@pytest.mark.parametrize(("side", "alike"), [("right", False), ("left", True)])
def test_a_question_is_drawn_as_its_export(drawn, packed, dataset, side, alike):
    """The picture of a question is the one that goes into other systems, in the same crop and order; compass and scale,
    where its numbers stand, are left out."""
    for z_mm in HEIGHTS_MM:
        section = cut(packed, z_mm, side)
        exported = draw_picture(section, setting().legend, dataset.words, marks=[], alike=alike)
        expected, actual = picture(exported.svg.decode()), picture(flat(drawn(z_mm, ASK, side=side, alike=alike)))

        assert len(section.structures) < len(expected["w-tissue"] + expected["w-discs"])
        assert [] == actual.pop("w-frame")
        assert [] == differences({layer: expected[layer] for layer in actual}, actual)


CHANGES = {
    "WIDTH": 1000, "HEIGHT": 660, "COLUMN": 150, "FIT_WIDTH": 480, "FIT_HEIGHT": 300, "BASE_SCALE": 5.0, "GROWTH": 0.3,
    "FINE": 5, "SIZE": 20, "LINE": 25, "MARGIN": 20, "GAP": 15, "PORT": 30, "CLEAR": 9, "NARROW": "abcdefghijklmnop",
    "WIDE": ascii_letters, "EMS": dict.fromkeys(("narrow", "wide", "capital", "other"), 0.9), "HALF_HEIGHT": 0.9,
    "BASELINE": 0.6, "SPREAD": 2.5, "TRIES": ((1, 1), (-1, 0)), "EIGHTHS": 4, "TIERS": dict.fromkeys(BACK_TO_FRONT, 1),
    "BESIDE_ONLY": ("muscle",), "LETTERS": {"nerve": "N", "artery": "B", "vein": "W"}, "HATCHED": ("tendon",),
    "SMALLEST_LETTER": 15, "LETTER_SHARE": 0.9, "LETTER_BASELINE": 0.1, "MARROW_SHARE": 0.5, "SCALE_BAR_MM": 20,
    "SCALE_AT": 30, "SCALE_FOOT": 40, "SCALE_TICK": 20, "COMPASS_IN": 40,
}  # fmt: skip
"""What Python draws by, and another value of each."""

CROWDED = 100
"""A margin, units, that leaves the columns too little room for all names."""


def say(monkeypatch, name, value):
    """Let Python say something else: wherever figures hold a constant by its name."""
    holding = [module for key, module in sys.modules.items() if key.startswith("wristward.") and name in vars(module)]
    assert [] != holding
    for module in holding:
        monkeypatch.setattr(module, name, value)


@pytest.mark.parametrize("name", CHANGES)
def test_scripts_follow_what_python_says(drawn, packed, monkeypatch, name):
    """A number, letter or order that is changed in Python alone changes the picture of the scripts as it does Python's."""
    section = cut(packed, 60, "right")

    def drawing():
        return picture(draw_section(section, setting().legend, words(), figure_id="f"))

    say(monkeypatch, "MARGIN", CROWDED)
    before = drawing()
    say(monkeypatch, name, CHANGES[name])
    expected = drawing()

    assert [] != differences(before, expected)
    assert [] == differences(expected, picture(drawn(60)))


def test_scripts_follow_what_the_region_says(drawn, packed, monkeypatch):
    """Directions that are called otherwise, and other tones of muscles, change the scripts' picture as they do Python's."""
    said, section = setting(), cut(packed, 60, "right")
    turned = Directions(names=("radial", "dorsal", "ulnar", "volar"), eighths=said.legend.directions.eighths)
    entries = {
        key: replace(entry, tone=None if entry.tone == "flesh" else entry.tone and "rose")
        for key, entry in said.legend.items()
    }
    before = picture(draw_section(section, said.legend, words(), figure_id="f"))

    monkeypatch.setitem(globals(), "setting", lambda: replace(said, legend=Legend(entries, turned)))
    expected = picture(draw_section(section, setting().legend, words(), figure_id="f"))

    assert {"w-frame", "w-tissue"} == {layer for layer, *_ in differences(before, expected)}
    assert [] == differences(expected, picture(drawn(60)))


def told_by_python(packed):
    """Return (paragraph, rows of the table) at each height."""
    legend, said = setting().legend, []
    for z_mm, measures in measured().items():
        rows = [list(table_row(one, legend, words())) for one in table_rows(measures, legend)]
        said.append([paragraph(cut(packed, z_mm, "right"), measures, legend, words()), rows])
    return said


def test_scripts_tell_what_python_tells(blank, packed):
    """At each height the paragraph is Python's, and so are the rows of the table, in its order."""
    expected = told_by_python(packed)

    assert min(len(rows) for _, rows in expected) > 10
    assert expected == [blank.evaluate(TELL, [data_script(setting()), z_mm]) for z_mm in HEIGHTS_MM]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("TOUCH_MM", 2.0),
        ("SKIN_MM", 6.0),
        ("AS_TOLD", tuple(reversed(BACK_TO_FRONT))),
    ],
)
def test_scripts_tell_as_python_counts(blank, packed, monkeypatch, name, value):
    """Where Python alone counts, names or orders otherwise, the sentences of the scripts change as its own do."""
    before = told_by_python(packed)
    say(monkeypatch, name, value)
    expected = told_by_python(packed)

    assert before != expected
    assert expected == [blank.evaluate(TELL, [data_script(setting()), z_mm]) for z_mm in HEIGHTS_MM]


OUTLINES = """() => [...document.querySelectorAll(":is(.w-figure, .w-quiz-figure) svg")].map((svg) =>
  [...svg.querySelectorAll(":is(.w-ground,.w-tissue,.w-discs) path")]
    .filter((path) => path.style.display !== "none").map((path) => path.getAttribute("d")).join(" "))"""
ASKED = """([z, side]) => {
  globalThis.asked = wristward.quizFigure({ z, side, marker: true });
  document.querySelector("main").prepend(asked.host);
}"""
PLACE = """([z, side, id]) => {
  const { geometry, view, shared } = wristward, cut = geometry.cut(geometry.drawn(), z, { side });
  const seen = view.of(cut.skin.ring, cut.skin.count), { cx, cy } = cut.shapes.find((one) => one.id === id);
  const box = asked.host.querySelector("svg").getBoundingClientRect(), unit = box.width / shared.view.crop_width;
  return [box.left + (view.placeX(seen, cx) - shared.view.crop_left) * unit, box.top + view.placeY(seen, cy) * unit];
}"""


def test_figures_of_a_page_keep_apart(visit, tmp_path):
    """Two sections and a question stand at heights of their own: while one is moved the others keep their outlines, name
    and light up what lies under the pointer there, and measure a tap at their own height."""
    figures = [
        section_figure_html(sections()[z_mm], setting(), figure_id=key, assets_url="assets/", link=key)
        for key, z_mm in (("one", 130), ("two", 60))
    ]
    html = page("".join(figures)).replace("</body>", f"<script>{QUIZ.script.text()}</script></body>")
    shown = visit((write_site(tmp_path, {"page.html": html}) / "page.html").as_uri()).page
    one = shown.locator(".w-figure:has(#one-title)")

    def move(link, z_mm):
        """Move the figure of a link, and return the outlines of all once it is drawn there."""
        before = shown.evaluate(OUTLINES)
        shown.evaluate("([link, z]) => wristward.tell(link, { z })", [link, z_mm])
        shown.wait_for_function(f"(before) => String(({OUTLINES})()) !== before", arg=",".join(before))
        return shown.evaluate(OUTLINES)

    move("one", 131)
    move("two", 61)
    shown.evaluate(ASKED, [195, "left"])
    before = shown.evaluate(OUTLINES)
    after = move("two", 30)

    assert 3 == len(set(before))
    assert before[:2] == after[:2]
    assert before[2] != after[2]

    one.scroll_into_view_if_needed()
    box = one.locator(f"path[data-id={LIT}]").bounding_box()
    shown.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    one.locator(".w-tag:visible").wait_for()
    nerve = one.locator(f"path[data-id={LIT}]").get_attribute("d")

    assert setting().legend[LIT].name == one.locator(".w-tag").text_content()
    assert nerve == one.locator(".w-lit").get_attribute("d")

    shown.locator(".w-quiz-box").scroll_into_view_if_needed()
    shown.mouse.click(*shown.evaluate(PLACE, [195, "left", LIT]))

    assert {"distance": 0, "under": LIT} == shown.evaluate("(id) => asked.tap(id)", LIT)
    assert after == shown.evaluate(OUTLINES)

    shown.evaluate("(id) => asked.answer(id)", LIT)

    assert shown.locator(".w-quiz-figure .w-lit").get_attribute("d") in before[0]
    assert after[1:] == shown.evaluate(OUTLINES)[1:]


def test_words_are_added_to_words(visit):
    """What other scripts have said stays when the words of figures come, and when more come after them."""
    said = visit("about:blank").page.evaluate(
        """([data, core]) => {
          globalThis.wristward = { words: { before: "said before" } };
          for (const script of [data, core]) (0, eval)(script);
          wristward.learn({ after: "said after" });
          return ["before", "figure.scale", "after"].map((key) => wristward.say(key));
        }""",
        [data_script(setting()), RUNTIME.script.text()],
    )

    assert ["said before", words()["figure.scale"], "said after"] == said


def test_the_plotly_figure_holds_the_same_outlines(travel, packed):
    """Zoomed, each structure of the cut, the skin and the fascia are one closed trace with its name and the outline that
    the drawing has, to a hundredth of a millimetre; nothing is uploaded and nothing shared."""
    section, shown = cut(packed, 60, "right"), travel(at="#z=60").page
    shown.click("[data-part=zoom-button]")
    shown.wait_for_selector(".w-zoomed")
    traces, config = shown.evaluate(
        """() => { const { data, _context } = document.querySelector("[data-part=zoom]");
          return [data.filter((one) => one.fill).map(({ uid, name, x, y }) => [uid, name, x, y]),
            [_context.displaylogo, _context.showSendToCloud]]; }"""
    )

    def closed(ring_mm):
        return [[pytest.approx(point[k], abs=0.00501) for point in (*ring_mm, ring_mm[0])] for k in (0, 1)]

    regions = {"skin": ("fat", section.skin_mm), "fascia": ("loose", section.fascia_mm)}
    expected = [[key, words()[f"client.region.{region}"], *closed(ring)] for key, (region, ring) in regions.items()]
    expected += [[one.id, setting().legend[one.id].name, *closed(one.ring_mm)] for one in section.structures]

    assert sorted(expected, key=lambda one: one[0]) == sorted(traces, key=lambda one: one[0])
    assert [False, False] == config

"""The picture while the cut moves: painted over the drawing, the same as at rest, with names that keep still."""

import re
from pathlib import Path

import pytest
from bare_site import OTHER
from pixels import unlike

from tests.conftest import DESKTOP, PHONE

pytestmark = pytest.mark.browser

MOVE = """async (mm) => {
  const slider = document.querySelector("[data-part=slider]");
  slider.value = slider.max - mm;
  slider.dispatchEvent(new Event("input", {bubbles: true}));
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
}"""
# The cut moves where it is, a tissue gone and back again, until it is let go.
HOLD = """() => {
  const tissue = document.querySelector("[name$=-kind]");
  const move = () => {
    for (let k = 0; k < 2; k++) tissue.click();
    globalThis.moves = (globalThis.moves ?? 0) + 1;
  };
  move();
  globalThis.held = setInterval(move, 100);
  return new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
}"""
REST = """() => {
  clearInterval(globalThis.held);
  dispatchEvent(new Event("beforeprint"));
}"""
# The held cut has moved since, and that is drawn.
REPAINTED = """async () => {
  const { moves } = globalThis, frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  while (globalThis.moves === moves) await frame();
  await frame();
}"""
PAINTED = ".w-box.w-painted .w-canvas"

HEIGHTS_MM = range(4, 260, 13)
LOOKS = [("light", "right", DESKTOP), ("light", "left", PHONE), ("dark", "right", PHONE), ("dark", "left", DESKTOP)]

SLACK = 85
"""Of 255, beyond a shift of one pixel and at edges only. A letter may begin a third of a pixel elsewhere, and at a third of
black on white that shows; what is missing or lies elsewhere differs by the whole contrast of its outline."""

SPECKS = 4
"""Pixels of the style sheet, in a picture, that may differ by more: type is fitted to pixels in two ways."""


def both(page, box):
    """Return the pictures of the drawing at rest and of what is painted over it at the same height."""
    page.evaluate(REST)
    assert 0 == page.locator(PAINTED).count()
    rest = box.screenshot()
    page.evaluate(HOLD)
    assert 1 == page.locator(PAINTED).count()
    moving = box.screenshot()
    page.evaluate(REST)
    return [rest, moving]


def differ(page, pictures):
    """Return the pixels in which two pictures differ, none where these are but specks."""
    found = unlike(page, pictures, slack=SLACK)
    return found if len(found) > SPECKS * page.evaluate("devicePixelRatio ** 2") else []


@pytest.mark.parametrize(
    "heights_mm", [HEIGHTS_MM[1::6], pytest.param(HEIGHTS_MM, marks=pytest.mark.long)], ids=["some", "twenty"]
)
@pytest.mark.parametrize(("scheme", "side", "viewport"), LOOKS)
def test_a_moving_picture_is_that_of_rest(travel, scheme, side, viewport, heights_mm):
    """At every height what is painted while the cut moves is what is drawn at rest, within a pixel: fills, outlines,
    hatches, letters, names, leaders, compass, scale, and the light on a nerve."""
    page = travel(scheme=scheme, viewport=viewport, at=f"#z=4&side={side}&show=median_nerve").page
    box, compared = page.locator(".w-box"), {}
    box.scroll_into_view_if_needed()
    for z_mm in heights_mm:
        page.evaluate(MOVE, z_mm)
        compared[z_mm] = differ(page, both(page, box))

    assert dict.fromkeys(heights_mm, []) == compared
    assert len(compared) > 3


@pytest.mark.parametrize("options", [{"forced_colors": "active"}, {"device_scale_factor": 2}], ids=str)
def test_a_moving_picture_has_the_screens_colours_and_pixels(travel, options):
    """In forced colours, and on a screen of two pixels to one of the style sheet, what is painted is what is drawn."""
    page = travel(viewport=DESKTOP, at="#z=134&show=median_nerve", **options).page
    pictures = both(page, page.locator(".w-box"))

    assert [] == differ(page, pictures)


@pytest.mark.parametrize(("screen", "painted"), [(1, 1), (2, 2), (3, 2)])
def test_no_more_pixels_are_painted_than_a_moving_cut_needs(travel, screen, painted):
    """A canvas has the pixels of its screen, and where that has more than two to one of the style sheet, two."""
    page = travel(viewport=DESKTOP, device_scale_factor=screen).page
    page.evaluate(MOVE, 60)
    widths = page.evaluate(
        "['.w-canvas', '.w-box'].map((one) => document.querySelector(one).getBoundingClientRect().width)"
    )

    assert painted == page.evaluate("document.querySelector('.w-canvas').width") / widths[0]
    assert abs(widths[0] - widths[1]) < 1


def test_a_moving_picture_hides_what_is_hidden(travel):
    """Tissues and names that a reader has put away are not painted while the cut moves either."""
    page = travel(viewport=DESKTOP, at="#z=134").page
    page.click("label:has-text('Veins')")
    page.click("label:has-text('Nerves')")
    page.evaluate("document.querySelector('[name$=-names]').click()")
    box = page.locator(".w-box")
    without = both(page, box)
    page.click("label:has-text('Nerves')")
    page.evaluate(MOVE, 134)
    page.evaluate(REST)

    assert [] == differ(page, without)
    assert len(differ(page, [box.screenshot(), without[1]])) > 100


def test_a_scheme_is_changed_while_the_cut_moves(travel):
    """Colours are those of the page's scheme from the next frame on, hatches too."""
    page = travel(viewport=DESKTOP, at="#z=134").page
    box = page.locator(".w-box")
    page.evaluate(HOLD)
    light = box.screenshot()
    page.evaluate("document.body.dataset.mdColorScheme = 'slate'")
    page.evaluate(REPAINTED)
    assert 1 == page.locator(PAINTED).count()
    dark = box.screenshot()
    page.evaluate(REST)

    assert [] == differ(page, [dark, box.screenshot()])
    assert len(differ(page, [dark, light])) > 999


# Names that were written inside structures in the last frame, and where.
WRITTEN = """() => {
  const write = CanvasRenderingContext2D.prototype.fillText, clear = CanvasRenderingContext2D.prototype.clearRect;
  const others = new Set([...document.querySelectorAll(".w-frame text, .w-letter")].map((one) => one.textContent));
  globalThis.written = {};
  CanvasRenderingContext2D.prototype.clearRect = function (...at) {
    globalThis.written = {};
    clear.apply(this, at);
  };
  CanvasRenderingContext2D.prototype.fillText = function (text, x, y) {
    if (!others.has(text)) globalThis.written[text] = `${x.toFixed(1)} ${y.toFixed(1)}`;
    write.call(this, text, x, y);
  };
}"""


def test_names_keep_still_while_they_fit(travel):
    """From one millimetre to the next, most names inside their structures stay where they were."""
    page = travel(viewport=PHONE).page
    page.evaluate(WRITTEN)
    page.evaluate(MOVE, 160)
    before, stayed, all_names = page.evaluate("written"), 0, 0
    for z_mm in range(159, 139, -1):
        page.evaluate(MOVE, z_mm)
        after = page.evaluate("written")
        stayed += sum(before.get(name) == place for name, place in after.items())
        all_names += len(after)
        before = after

    assert all_names > 100
    assert stayed / all_names > 0.9


def test_another_arm_is_put_on_while_the_cut_moves(travel):
    """An arm whose script comes while the slider is dragged is drawn whole, and nothing lies over it at rest."""
    page = travel(viewport=PHONE).page
    page.evaluate(
        f"""async (arm) => {{
          const choice = document.querySelector("select[name$=-arm]"), note = document.querySelector("[data-part=arm-note]");
          choice.value = arm;
          choice.dispatchEvent(new Event("change", {{bubbles: true}}));
          for (let mm = 60; note.hidden; mm = mm === 60 ? 61 : 60) await ({MOVE})(mm);
        }}""",
        OTHER,
    )
    page.wait_for_selector(".w-app:not(.w-moving)")

    assert 0 == page.locator(PAINTED).count()
    assert page.locator(":is(.w-tissue,.w-discs) > path:visible").count() > 20
    assert [] == differ(page, both(page, page.locator(".w-box")))


def test_what_is_saved_while_the_cut_moves_is_the_cut(travel, tmp_path):
    """The drawing that is saved is that of the height the page shows, though it has not come to rest."""
    page = travel(viewport=DESKTOP).page
    page.evaluate(MOVE, 60)
    with page.expect_download() as saved:
        page.evaluate("document.querySelector('[data-part=save]').click()")
    text = Path(saved.value.path()).read_text("utf-8")
    page.wait_for_selector(".w-app:not(.w-moving)")

    assert "wristward-60mm-right.svg" == saved.value.suggested_filename
    assert [page.get_attribute(".w-skin", "d")] == re.findall(r'class="w-skin" d="([^"]*)"', text)


# A second figure beside the page's own, of which one is moved.
SECOND = f"""async () => {{
  const own = document.querySelector("[data-wristward=travel]"), host = own.cloneNode(true);
  own.after(host);
  const undo = wristward.mounters.travel(host, JSON.parse(host.querySelector("script[type='application/json']").textContent));
  const lines = () => [...own.querySelectorAll(".w-box path")].map((path) => path.getAttribute("d")).join();
  do await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  while (document.querySelector(".w-moving") !== null);
  const before = lines();
  const slider = host.querySelector("[data-part=slider]");
  slider.value = slider.max - 60;
  slider.dispatchEvent(new Event("input", {{bubbles: true}}));
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const painted = [own, host].map((one) => one.querySelectorAll("{PAINTED}").length);
  const kept = lines() === before && own.querySelectorAll("canvas").length === 0;
  undo();
  return [painted, kept, host.querySelectorAll("canvas, .w-painted").length];
}}"""


def test_two_figures_keep_apart_and_leave_nothing(travel):
    """While one figure moves nothing is painted on another, and whoever undoes it takes its canvas away."""
    visited = travel(viewport=DESKTOP)

    assert [[0, 1], True, 0] == visited.page.evaluate(SECOND)
    assert [] == visited.errors

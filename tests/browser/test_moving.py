"""The picture while the cut moves: the same as at rest, with names that keep still."""

import pytest
from bare_site import OTHER

from tests.conftest import DESKTOP, PHONE

pytestmark = pytest.mark.browser

MOVE = """async (mm) => {
  const slider = document.querySelector("[data-part=slider]");
  slider.value = slider.max - mm;
  slider.dispatchEvent(new Event("input", {bubbles: true}));
  await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
}"""
# The outlines of the picture by what they look like, sorted.
OUTLINES = """(group) => [...document.querySelectorAll(group)]
  .filter((path) => path.getClientRects().length > 0 && path.getAttribute("d"))
  .flatMap((path) => path.getAttribute("d").split("Z").filter(Boolean)
    .map((line) => `${path.getAttribute("class")} ${path.getAttribute("fill") ?? ""} ${line}`)).sort()"""
# Both at once, before a busy machine lets the cut come to rest.
MOVED = f"""async ([mm, moving, resting]) => {{
  await ({MOVE})(mm);
  return [moving, resting].map({OUTLINES});
}}"""
MOVING, RESTING = ".w-moving-shapes path", ":is(.w-tissue,.w-discs) > path"
NAMES = """() => Object.fromEntries([...document.querySelectorAll(".w-label-inside")].filter((name) => name.getClientRects().length > 0)
  .map((name) => [name.textContent, name.getAttribute("transform")]))"""
HEIGHTS_MM = (230, 185, 120, 60, 15)


@pytest.mark.parametrize("viewport", [PHONE, DESKTOP])
def test_a_moving_picture_is_that_of_rest(travel, viewport):
    """At five heights every outline that is drawn while the cut moves is drawn at rest, alike, and no other."""
    page = travel(viewport=viewport).page
    page.wait_for_selector(".w-app:not(.w-moving)")
    for z_mm in HEIGHTS_MM:
        moving, hidden = page.evaluate(MOVED, [z_mm, MOVING, RESTING])
        page.wait_for_selector(".w-app:not(.w-moving)")

        assert [] == hidden
        assert len(moving) > 20
        assert page.evaluate(OUTLINES, RESTING) == moving
        assert [] == page.evaluate(OUTLINES, MOVING)


def test_names_keep_still_while_they_fit(travel):
    """From one millimetre to the next, most names inside their structures stay where they were."""
    page = travel(viewport=PHONE).page
    page.evaluate(MOVE, 160)
    before, stayed, all_names = page.evaluate(NAMES), 0, 0
    for z_mm in range(159, 139, -1):
        page.evaluate(MOVE, z_mm)
        after = page.evaluate(NAMES)
        stayed += sum(before.get(name) == place for name, place in after.items())
        all_names += len(after)
        before = after

    assert all_names > 100
    assert stayed / all_names > 0.9


def test_another_arm_is_put_on_while_the_cut_moves(travel):
    """An arm whose script comes while the slider is dragged is drawn whole, and nothing of the arm before is left."""
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

    assert 0 == page.locator(".w-moving-shapes").count()
    assert len(page.evaluate(OUTLINES, RESTING)) > 20

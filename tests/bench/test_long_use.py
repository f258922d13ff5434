"""A reader who slides and zooms for long leaves a page as heavy as it was: no element, listener or byte piles up."""

import pytest

from tests.conftest import PHONE

FRAMES_A_SECOND = 60
# As many steps of the slider as asked for, one a frame, to and fro along the arm.
SLIDE = """async (steps) => {
  const slider = document.querySelector("[data-part=slider]"), most = Number(slider.max);
  for (let k = 0; k < steps; k++) {
    const along = k % (2 * most);
    slider.value = along < most ? along : 2 * most - along;
    slider.dispatchEvent(new Event("input", {bubbles: true}));
    await new Promise((done) => requestAnimationFrame(done));
  }
}"""
ZOOM = """async (times) => {
  const host = document.querySelector(".w-app"), button = document.querySelector("[data-part=zoom-button]");
  for (let k = 0; k < 2 * times; k++) {
    const open = k % 2 === 0;
    button.click();
    while (host.classList.contains("w-zoomed") !== open || button.getAttribute("aria-busy") === "true") {
      await new Promise((done) => setTimeout(done));
    }
  }
}"""


@pytest.mark.parametrize(
    ("minutes", "zooms"), [(0.1, 4), pytest.param(10, 200, marks=pytest.mark.long)], ids=["shortened", "whole"]
)
def test_a_page_does_not_grow(uncapped_browser, served, gate, minutes, zooms):
    """Ten minutes of sliding, at sixty steps a second, and two hundred zooms add nothing beyond a twentieth to the heap,
    to listeners or to elements, once each has been done a few times."""
    page = uncapped_browser.new_page(viewport=PHONE)
    session = page.context.new_cdp_session(page)

    def held():
        """Return what the page holds once all is collected that can be: bytes of the heap, listeners and nodes."""
        page.wait_for_selector(".w-app:not(.w-moving)")
        for _ in range(3):
            session.send("HeapProfiler.collectGarbage")
        counted = session.send("Memory.getDOMCounters")
        return {
            "heap": session.send("Runtime.getHeapUsage")["usedSize"] / 1e6,
            "listeners": counted["jsEventListeners"],
            "nodes": counted["nodes"],
        }

    page.goto(served["ours"])
    page.wait_for_selector(".w-ready")
    page.evaluate(SLIDE, 600)
    page.evaluate(ZOOM, 3)
    before = held()
    page.evaluate(SLIDE, round(minutes * 60 * FRAMES_A_SECOND))
    page.evaluate(ZOOM, zooms)
    after = held()
    page.context.close()

    assert before["listeners"] > 20
    # A heap of few megabytes swings by more than a twentieth from one collection to the next; over the whole time a leak
    # would dwarf that.
    units = {"listeners": "", "nodes": "", **({"heap": "MB"} if minutes > 1 else {})}
    for what, unit in units.items():
        name = f"{what} after {minutes:g} min of sliding and {zooms} zooms, at most a twentieth more"
        gate(name, ours=after[what], baseline=before[what], at_least=1 / 1.05, unit=unit)

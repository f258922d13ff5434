"""What a figure leaves behind when it is undone or when something it asked for does not come."""

from __future__ import annotations

import shutil

import pytest

pytestmark = pytest.mark.browser

# A second figure beside the page's own, mounted, asked to zoom, and undone before plotly has come.
UNDONE_TOO_EARLY = """async (kind) => {
  const own = document.querySelector(`[data-wristward="${kind}"]`), host = own.cloneNode(true);
  own.after(host);
  const data = JSON.parse(host.querySelector("script[type='application/json']").textContent);
  const undo = wristward.mounters[kind](host, data);
  host.querySelector("[data-part=zoom-button]").click();
  undo();
  await wristward.load("assets/plotly.min.js");
  window.left = () => host.querySelectorAll(".main-svg").length + Number(!host.querySelector("[data-part=zoom]").hidden);
}"""
# A section is told of a height; both its outlines, which do not come, and the picture that would follow are waited for.
TOLD = """async () => {
  const { link, assets } = JSON.parse(document.querySelector("[data-wristward=section] script").textContent);
  wristward.tell(link, { z: 50 });
  await wristward.load(`${assets}wristward-geometry.js`).catch(() => {});
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
}"""


@pytest.mark.parametrize(("page", "kind"), [("light.html", "travel"), ("linked.html", "chart")])
def test_a_figure_undone_while_plotly_comes_leaves_no_plotly_figure(visit, arm_site, page, kind):
    """Whoever leaves a page before the zoomed figure has come does not leave that figure behind."""
    visited = visit((arm_site / page).as_uri())
    visited.page.evaluate(UNDONE_TOO_EARLY, kind)

    visited.page.wait_for_function("window.left() === 0")
    assert [] == visited.errors


def test_a_section_without_its_outlines_stays_as_python_drew_it(visit, arm_site, tmp_path):
    """Where the outlines do not come a section follows its link in words, and nothing breaks."""
    folder = shutil.copytree(arm_site, tmp_path / "site")
    (folder / "assets" / "wristward-geometry.js").unlink()
    visited = visit((folder / "linked.html").as_uri())
    page = visited.page
    caption = page.locator("[data-wristward=section] [data-part=caption]")
    before = caption.text_content()
    page.evaluate(TOLD)

    assert before != caption.text_content()
    assert [] == [error for error in visited.errors if "ERR_FILE_NOT_FOUND" not in error]

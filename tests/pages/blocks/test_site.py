"""The pages about blocks as a browser shows them: accessible, within the width of a phone, silent, self-contained."""

import re

import pytest

from tests.conftest import DESKTOP, PHONE, WCAG, axe_violations
from wristward.pages.blocks import common

PAGES = (
    common.BLOCK_LEVELS,
    common.BRANCHES,
    common.COVERAGE,
    common.VARIANTS,
    common.LOOK_ALIKES,
    common.CASES,
    "cases/thumb_base_joint.md",
)
WORDS_ONLY = (
    common.TESTING,
    common.STAYS,
    common.CUFF,
    common.INCOMPLETE,
    common.COMPLICATIONS,
    "cases/index_flexor_tendon.md",
)
"""Written by the same few functions as those above, which have figures or tables too."""

TEXTS_CUT = """() => [...document.querySelectorAll('svg.b-dots text, svg.h-hand text')].filter(text => {
  const box = text.getBoundingClientRect(), whole = text.ownerSVGElement.getBoundingClientRect();
  return box.left < whole.left - 1 || box.right > whole.right + 1 || box.top < whole.top - 1
    || box.bottom > whole.bottom + 1;
}).map(text => text.textContent)"""
TEXTS_OVER = """() => {
  const found = [];
  for (const chart of document.querySelectorAll('svg.b-dots')) {
    const boxes = [...chart.querySelectorAll('text')].map(text => [text.textContent, text.getBoundingClientRect()]);
    for (let i = 0; i < boxes.length; i += 1) for (let k = i + 1; k < boxes.length; k += 1) {
      const [a, b] = [boxes[i][1], boxes[k][1]];
      const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const along = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (across > 1 && along > 3) found.push(`${boxes[i][0]} | ${boxes[k][0]}`);
    }
  }
  return found;
}"""


def built(shipped, src_uri):
    """Return the file of a page of the shipped site."""
    return (shipped / src_uri).with_suffix(".html")


def test_every_page_is_built(shipped, written):
    """Each page about blocks exists in a built site, with its title as heading."""
    for page, one in written.items():
        html = built(shipped, page).read_text("utf-8")

        assert re.search(rf"<h1[^>]*>{re.escape(one.title)}", html), page


LOOKS = ((PHONE, "light"), (DESKTOP, "dark"))
DARK = (common.BLOCK_LEVELS, common.COVERAGE, common.LOOK_ALIKES)
"""Pages with figures of their own, which are looked at in the dark too."""


@pytest.mark.parametrize("page", [*PAGES, *(pytest.param(page, marks=pytest.mark.long) for page in WORDS_ONLY)])
def test_a_page_is_accessible(shipped, visit, page):
    """No page has an axe violation on a phone; those with figures of their own have none in the dark either."""
    found = {}
    for viewport, scheme in LOOKS if page in DARK else LOOKS[:1]:
        shown = visit(built(shipped, page).as_uri(), viewport=viewport, scheme=scheme).page
        found[scheme] = axe_violations(shown, context="main", tags=(*WCAG, "best-practice"))

    assert ({"light": [], "dark": []} if page in DARK else {"light": []}) == found


def test_pages_fit_and_keep_to_themselves(shipped, visit, written):
    """No page is wider than its window, clips or covers a label, reports an error or asks another host."""
    for viewport, scheme in LOOKS:
        opened = visit(built(shipped, common.CASES).as_uri(), viewport=viewport, scheme=scheme)
        for page in written:
            opened.page.goto(built(shipped, page).as_uri())
            wide = opened.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")

            assert (page, 0) == (page, wide)
            assert (page, []) == (page, opened.page.evaluate(TEXTS_CUT))
            assert (page, []) == (page, opened.page.evaluate(TEXTS_OVER))
        assert [] == opened.errors
        assert [] == [url for url in opened.requests if not url.startswith("file:")]


def test_tables_scroll_by_keyboard(shipped, visit):
    """A table wider than a phone scrolls within its own box, which the keyboard reaches."""
    page = visit(built(shipped, common.BRANCHES).as_uri(), viewport=PHONE).page
    box = page.locator(".t-scroll").first
    box.focus()
    before = box.evaluate("box => box.scrollLeft")
    page.keyboard.press("ArrowRight")
    page.wait_for_function("before => document.querySelector('.t-scroll').scrollLeft > before", arg=before)

    assert box.evaluate("box => document.activeElement === box")

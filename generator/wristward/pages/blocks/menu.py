"""All pages about blocks, in the order of the menu; none where the data lacks the files they are made from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from wristward.data.dataset import PartName
from wristward.data.words.languages import ENGLISH
from wristward.data.words.phrase import language_of
from wristward.pages.atlas import Atlas, GeneratedPage
from wristward.pages.blocks import common
from wristward.pages.blocks.branches import branches_page, variants_page
from wristward.pages.blocks.cases import case_pages
from wristward.pages.blocks.coverage import coverage_page
from wristward.pages.blocks.levels import block_levels_page
from wristward.pages.blocks.limits import complications_page, cuff_page, incomplete_page, look_alikes_page
from wristward.pages.blocks.signs import stays_page, testing_page

NEEDED: tuple[PartName, ...] = ("branches", "territories", "operations", "drugs", "hand_map", "teaching")
"""Files of the data, by part, that these pages are made from."""

SINGLE: tuple[tuple[str, str, Callable[[Atlas], str]], ...] = (
    ("block_levels", common.BLOCK_LEVELS, block_levels_page),
    ("branches", common.BRANCHES, branches_page),
    ("coverage", common.COVERAGE, coverage_page),
    ("stays", common.STAYS, stays_page),
    ("cuff", common.CUFF, cuff_page),
    ("testing", common.TESTING, testing_page),
    ("variants", common.VARIANTS, variants_page),
    ("look_alikes", common.LOOK_ALIKES, look_alikes_page),
    ("incomplete", common.INCOMPLETE, incomplete_page),
    ("complications", common.COMPLICATIONS, complications_page),
)
"""Name in the menu and among the words, address, and what writes it."""


def teach_pages(atlas: Atlas) -> dict[str, list[GeneratedPage]]:
    """Return the pages by menu entry, each entry also where the data has too little for its pages."""
    found: dict[str, list[GeneratedPage]] = {name: [] for name in (*(name for name, _, _ in SINGLE), "cases")}
    if not atlas.dataset.has(*NEEDED):
        return found
    for name, src_uri, write in SINGLE:
        title = atlas.words(f"teach.{name}.title")
        found[name].append(common.page_of(atlas, src_uri, title, write(atlas)))
    found["cases"] = case_pages(atlas)
    return {name: [_marked(atlas, name, page) for page in pages] for name, pages in found.items()}


def _marked(atlas: Atlas, name: str, page: GeneratedPage) -> GeneratedPage:
    """Return a page with its language, which is that of its caution: titles are translated before pages are."""
    language = language_of(atlas.words(f"teach.{name}.caution"))
    return replace(page, language=language) if language == ENGLISH else page

"""What the pages about blocks say, and what they do not."""

import re
from pathlib import Path

from wristward.pages.blocks.menu import SINGLE

ROOT = Path(__file__).resolve().parents[3]
MENUS = (*(name for name, _, _ in SINGLE), "cases")
FORBIDDEN = re.compile(r"\b(always|never|safe|safely|safest|motor[- ]sparing)\b", re.IGNORECASE)
SOURCE = re.compile(r"""sources\.(?:md|html)#([a-z0-9_]+)""")
SPAN = re.compile(r"<span class='ww-source'>(.*?)</span>")
CHARTS = re.compile(r"<svg.*?</svg>")


def test_every_page_is_in_the_menu(written):
    """Each page about blocks stands in the shipped menu, and six cases with their list are there."""
    menu = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")

    assert [] == [name for name in MENUS if f"wristward:{name}\n" not in menu]
    assert 7 == len([page for page in written if page.startswith("cases/")])
    assert len(written) == len(MENUS) - 1 + 7


def test_no_page_promises(written):
    """No page says "always", "never" or "safe", nor calls a hand spared that is not."""
    found = {page: FORBIDDEN.findall(CHARTS.sub("", one.markdown)) for page, one in written.items()}

    assert {} == {page: words for page, words in found.items() if words}


def test_every_source_shown_is_in_the_bibliography(written, dataset):
    """Each link to a source names one that is there, each line that cites has one, and no page of facts is without."""
    for page, one in written.items():
        keys = SOURCE.findall(one.markdown)

        assert set() == set(keys) - set(dataset.sources), page
        assert keys or page in ("complications.md", "cases/index.md"), page
        assert [] == [span for span in SPAN.findall(one.markdown) if not SOURCE.search(span)], page


def test_every_study_of_a_branch_is_cited(written, dataset):
    """Each study of branches.yaml has its source among the links of the page."""
    cited = set(SOURCE.findall(written["branches.md"].markdown))
    studies = {study.source for one in dataset.branches.branches.values() for study in one.studies}

    assert studies
    assert set() == studies - cited


def test_every_page_has_its_caution(written, dataset):
    """Each page carries a caution of its own under its description."""
    for page, one in written.items():
        key = "cases" if page.startswith("cases/") else page.removesuffix(".md").replace("-", "_")

        assert dataset.words[f"teach.{key}.caution"] in one.markdown, page


def test_the_grip_is_told_where_forearm_muscles_are_called_spared(written, dataset):
    """Wherever muscles are said to be spared, the loss of grip is said too."""
    grip = dataset.branches.findings["grip_loss"].says
    spared = [page for page in written if page == "stays.md" or page.startswith("cases/") and page != "cases/index.md"]

    assert 7 == len(spared)
    assert [] == [page for page in spared if grip not in written[page].markdown]

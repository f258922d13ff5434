"""The list that the site's own search reads: each page's sections as text, in a classic script.

It reads the finished HTML of a page's content, so whatever a reader can see can be found; drawings, scripts and
what is marked ``data-search="no"`` are left out.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import astuple, dataclass, field
from html.parser import HTMLParser

from wristward.project.store import FolderStore
from wristward.project.version import program_hash

SILENT_TAGS = frozenset({"script", "style", "svg", "template", "noscript", "button", "select", "datalist"})
SILENT_BLOCKS = re.compile(r"<(svg|script|style)\b.*?</\1>", re.DOTALL)
"""What makes up most of a page with figures; cut out before the rest is read tag by tag."""

VOID_TAGS = frozenset(
    ["area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"]
)
HEADINGS = frozenset({"h1", "h2", "h3"})
BLOCKS = frozenset(
    [
        "p",
        "li",
        "td",
        "th",
        "dd",
        "dt",
        "tr",
        "div",
        "section",
        "figure",
        "figcaption",
        "caption",
        "h1",
        "h2",
        "h3",
        "h4",
        "h5",
        "h6",
    ]
)


@dataclass(slots=True)
class SearchSection:
    """What stands under one heading of a page."""

    anchor: str
    """Id of the heading, "" for what stands under the page's title."""

    heading: str
    text: str


@dataclass(slots=True, kw_only=True)
class SearchPage:
    """One page as the search sees it."""

    url: str
    """Relative to the site's root."""

    title: str
    names: str = ""
    """Other names by which the page should come first: short and Latin forms."""

    sections: list[SearchSection] = field(default_factory=list)


def read_page(*, url: str, title: str, names: str, html: str, store: FolderStore) -> SearchPage:
    """Cut a page's content into its sections.

    Args:
        url: Address relative to the site's root.
        title: Title as shown in the results.
        names: Further names of what the page is about, separated by spaces.
        html: The page's content, without the theme around it.
        store: Where the sections of content that was read before are kept.
    """
    key = f"searched {program_hash('site')} {html}"
    kept = store.get(key)
    if kept is not None:
        sections = [SearchSection(*one) for one in json.loads(kept)]
    else:
        sections = sections_of(html)
        store.put(key, json.dumps([astuple(one) for one in sections]).encode())
    return SearchPage(url=url, title=title, names=names, sections=sections)


def sections_of(html: str) -> list[SearchSection]:
    """Return what stands under each heading of a page's content."""
    reader = _Reader()
    reader.feed(SILENT_BLOCKS.sub(" ", html))
    reader.close()
    return reader.finish()


def index_script(pages: Iterable[SearchPage]) -> str:
    """Return the classic script that hands the list to the search, one page a line."""
    lines = []
    for page in sorted(pages, key=lambda page: page.url):
        sections = [[section.anchor, section.heading, section.text] for section in page.sections]
        lines.append(
            json.dumps([page.url, page.title, page.names, sections], ensure_ascii=False, separators=(",", ":"))
        )
    return "(globalThis.wristward ??= {}).searchIndex = [\n" + ",\n".join(lines) + "\n];\n"


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._sections = [SearchSection("", "", "")]
        self._open: list[tuple[str, bool]] = []
        self._heading: str | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag in BLOCKS or tag == "br":
            self._add(" ")
        if tag in VOID_TAGS:
            return
        silent = tag in SILENT_TAGS or given.get("data-search") == "no" or given.get("class") == "headerlink"
        self._open.append((tag, silent))
        if tag in HEADINGS and not self._silent():
            if tag != "h1":
                self._sections.append(SearchSection(given.get("id") or "", "", ""))
            self._heading = tag

    def handle_endtag(self, tag: str) -> None:
        if tag == self._heading:
            self._heading = None
        if any(opened == tag for opened, _ in self._open):
            while self._open.pop()[0] != tag:
                pass
        if tag in BLOCKS:
            self._add(" ")

    def handle_data(self, data: str) -> None:
        if not self._silent():
            self._add(data)

    def finish(self) -> list[SearchSection]:
        for section in self._sections:
            section.heading = " ".join(section.heading.split())
            section.text = " ".join(section.text.split())
        return [section for section in self._sections if section.text or section.heading or not section.anchor]

    def _silent(self) -> bool:
        return any(silent for _, silent in self._open)

    def _add(self, text: str) -> None:
        section = self._sections[-1]
        if self._heading is None:
            section.text += text
        elif self._heading != "h1":
            # The title is known already; what an h1 says is not repeated as text.
            section.heading += text

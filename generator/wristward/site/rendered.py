"""Keep the HTML of pages, so that a build renders only the Markdown that changed.

A page's HTML depends on its Markdown, on the extensions and on which files there are to link to; that is its key. To
that of a page written by hand comes the state of the data, which its fences show; where an extension may look at
something else besides, such pages are rendered each time.
A page about which mkdocs had something to complain is not kept: the complaint would not be heard again.
"""

from __future__ import annotations

import hashlib
import json
import logging
import re
from collections.abc import Callable
from importlib.metadata import version as installed_version
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink, TableOfContents
from pymdownx.superfences import SuperFencesCodeExtension

from wristward.project.store import FolderStore

LIBRARIES = ("mkdocs", "Markdown", "pymdown-extensions")

BUILT_IN = frozenset(
    ["abbr", "admonition", "attr_list", "codehilite", "def_list", "extra", "fenced_code", "footnotes", "md_in_html"]
    + ["meta", "nl2br", "sane_lists", "smarty", "tables", "toc", "wikilinks"]
)
"""Extensions of Markdown itself, none of which reads anything but the page."""

READ_FILES = ("pymdownx.b64", "pymdownx.pathconverter", "pymdownx.snippets")
"""Of the others that are known, those that read other files."""

LONG_BLOCK = re.compile(r"^<(?:details|div|figure|section|table)\b[^\n]{1500,}$", re.MULTILINE)
"""A line of HTML that Markdown hands on as it is, and reads letter by letter before it does."""

HELD = '<div id="ww-held-{}"></div>'
ID = re.compile(r'\sid="([^"]*)"')


class _Complaints(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.INFO)
        self.count = 0

    def emit(self, record: logging.LogRecord) -> None:
        self.count += 1


class RenderedPages:
    """Renders the generated pages of one build, from what is kept where that is possible."""

    def __init__(self, store: FolderStore, *, config: MkDocsConfig, files: Files) -> None:
        """Prepare for a build.

        Args:
            store: Where rendered pages are kept.
            config: mkdocs' configuration, its list of extensions complete.
            files: Every file of the site: links lead to them.
        """
        self._store, self._config, self._files = store, config, files
        names = [one if isinstance(one, str) else type(one).__qualname__ for one in config.markdown_extensions]
        self._pages_alone = all(map(_reads_the_page_alone, names))
        given = [
            *(f"{name} {installed_version(name)}" for name in LIBRARIES),
            repr(names),
            repr(sorted((config.mdx_configs or {}).items())),
            repr(sorted(config.validation.links.items())),
            *sorted(f"{file.src_uri} {file.url}" for file in files),
        ]
        self._site = hashlib.sha256("\n".join(given).encode()).hexdigest()

    def take(self, page: Page) -> Page:
        """Return a generated page, to be rendered through what is kept."""
        render = page.render

        def fresh() -> None:
            _render_around(page, lambda: render(self._config, self._files))

        # mkdocs has no place for this; its templates and later steps read what a rendered page holds.
        page.render = lambda config, files: self._render(page, "", fresh)  # type: ignore[method-assign]
        return page

    def take_written(self, page: Page, *, state: str, check: Callable[[], None]) -> Page:
        """Return a page written by hand, to be rendered through what is kept where its Markdown says all.

        Args:
            page: The page.
            state: What its fences show.
            check: Called when it is rendered; raises where something is wrong with it, and it is then not kept.
        """
        render = page.render

        def fresh() -> None:
            render(self._config, self._files)
            check()

        if self._pages_alone:
            page.render = lambda config, files: self._render(page, state, fresh)  # type: ignore[method-assign]
        else:
            page.render = lambda config, files: fresh()  # type: ignore[method-assign]
        return page

    def _render(self, page: Page, state: str, fresh: Callable[[], None]) -> None:
        key = f"rendered {self._site} {state} {page.file.src_uri} {page.markdown}"
        if self._take_kept(page, self._store.get(key)):
            return
        complaints, logger = _Complaints(), logging.getLogger("mkdocs")
        logger.addHandler(complaints)
        try:
            fresh()
        finally:
            logger.removeHandler(complaints)
        if complaints.count == 0:
            self._store.put(key, _bytes(page))

    def _take_kept(self, page: Page, content: bytes | None) -> bool:
        if content is None:
            return False
        try:
            plain = json.loads(content)
            found = {to: self._files.get_file_from_path(to) for to in plain["links"]}
            links = {file: plain["links"][to] for to, file in found.items() if file is not None}
            toc = TableOfContents([_anchor(one) for one in plain["toc"]])
            page._title_from_render = plain["title"]
            page.present_anchor_ids = set(plain["anchors"])
            page.content, page.toc, page.links_to_anchors = plain["content"], toc, links
        except (ValueError, TypeError, KeyError):
            return False
        for first in list(toc)[:1]:
            first.active = True  # type: ignore[attr-defined]  # set by mkdocs without being declared
        return True


def _reads_the_page_alone(name: str) -> bool:
    """Say whether an extension is known to look at nothing but the page it is given."""
    short = name.removeprefix("markdown.extensions.")
    known = short in BUILT_IN or name == SuperFencesCodeExtension.__qualname__
    return known or (name.startswith("pymdownx.") and name not in READ_FILES)


def _render_around(page: Page, render: Callable[[], None]) -> None:
    """Render a page with a short block in the place of each long one: of a figure's page, that is most of the time."""
    written, held = page.markdown or "", list[str]()

    def hold(found: re.Match[str]) -> str:
        held.append(found[0])
        return HELD.format(len(held) - 1)

    page.markdown = LONG_BLOCK.sub(hold, written)
    try:
        render()
    finally:
        page.markdown = written
    for number, block in enumerate(held):
        page.content = (page.content or "").replace(HELD.format(number), block, 1)
    if held:
        # mkdocs asks whether what a link leads to is there.
        kept = {one for one in page.present_anchor_ids or () if not one.startswith("ww-held-")}
        page.present_anchor_ids = kept | {id_ for block in held for id_ in ID.findall(block)}


def _bytes(page: Page) -> bytes:
    plain = {
        "content": page.content,
        "title": page._title_from_render,
        "toc": [_plain(one) for one in page.toc],
        "anchors": sorted(page.present_anchor_ids or ()),
        "links": {file.src_uri: anchors for file, anchors in (page.links_to_anchors or {}).items()},
    }
    return json.dumps(plain, ensure_ascii=False).encode()


def _plain(one: AnchorLink) -> list[Any]:
    return [one.title, one.id, one.level, [_plain(child) for child in one.children]]


def _anchor(plain: list[Any]) -> AnchorLink:
    title, id_, level, children = plain
    made = AnchorLink(title, id_, level)
    made.children = [_anchor(child) for child in children]
    return made

"""The MkDocs plugin: it adds the generated pages, the assets and the watched folders, and nothing else.

What the pages say is decided in ``generate``; a mistake in the data ends the build with its place, before the last
site is touched.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from html import escape
from pathlib import Path
from typing import Any, cast

from jinja2 import Environment
from mkdocs.config import config_options as c
from mkdocs.config.base import Config
from mkdocs.config.config_options import ExtraScriptValue
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.utils.templates import TemplateContext

from wristward.bridge.scripts import browser_text
from wristward.errors import DataError, one_of
from wristward.locate import BROWSER, where_is_data
from wristward.pages import figures
from wristward.pages.atlas import SEARCH
from wristward.pages.fences.fences import FenceError, Fences, Source
from wristward.pages.made import pages_of
from wristward.project import version
from wristward.project.solved import Report
from wristward.project.store import FolderStore
from wristward.site import offline, policy, search, slim
from wristward.site.rendered import RenderedPages
from wristward.site.settings import SettingsError, chosen_language

HERE = Path(__file__).resolve().parent
ASSETS = "assets/wristward"
ASSET_PATTERNS = ("*.css", "*.js")
MENU_ENTRY = re.compile(r"wristward:(.*)")
"""Anything behind the colon: what is no entry of ours is told, and not taken for an address."""


class WristwardConfig(Config):
    """Options under ``plugins: - wristward:`` in mkdocs.yml; folders are relative to that file."""

    # Not "data": an option of that name sends mkdocs into recursion.
    data_dir = c.Optional(c.Type(str))
    overlays = c.ListOfItems(c.Type(str), default=[])
    cache_dir = c.Type(str, default=".cache")
    # What the generated pages are written in; by default what the theme is.
    language = c.Optional(c.Type(str))
    # By default one for each processor.
    workers = c.Optional(c.Type(int))
    # With the arms that are drawn otherwise; together they take longer to solve than the drawn one.
    arms = c.Type(bool, default=False)
    # Over http only: keep the whole site in the reader's browser; give every page a content-security-policy.
    offline = c.Type(bool, default=False)
    strict_policy = c.Type(bool, default=False)


class FenceInPage(FenceError, PluginError):
    """A mistake in a fence, as superfences lets it through and mkdocs reports it without a traceback."""


class WristwardPlugin(BasePlugin[WristwardConfig]):
    """Adds the atlas to a site."""

    progress: Report | None = None
    """Called with (done, total) while sections are solved; set by a command that shows it."""

    arms: bool | None = None
    """Whether the arms that are drawn otherwise are in the site; the configuration's ``arms`` where not set."""

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read, solve and generate; then announce styles, scripts, templates and menu entries."""
        data, overlays = self._folders(config)
        self._version = version.version_hash((data, *overlays))
        theme = config.theme.get("language")
        try:
            language = chosen_language((data, *overlays), option=self.config.language, theme=theme)
        except SettingsError as error:
            raise PluginError(str(error)) from error
        # Marked on generated pages where the pages around them are in another.
        self._language = None if theme in (None, language) else language
        made = pages_of(
            data,
            overlays=overlays,
            cache=self._beside(config, self.config.cache_dir),
            version=self._version,
            language=language,
            workers=self.config.workers,
            progress=self.progress,
            arms=self.config.arms if self.arms is None else self.arms,
        )
        try:
            self._site = made.site
        except DataError as error:
            raise PluginError(str(error)) from error
        self._found: list[search.SearchPage] = []
        self._state = made.key
        self._fences = Fences(lambda: made.atlas, keep=made.keep, error=FenceInPage)
        config.markdown_extensions = [
            self._fences.extension() if name == "pymdownx.superfences" else name for name in config.markdown_extensions
        ]
        config.theme.dirs.insert(0, str(HERE / "theme"))
        # Written with the day of the build in it, and of no use without a fixed address.
        config.theme.static_templates.discard("sitemap.xml")
        config.extra_css.extend([*figures.styles(), *(f"{ASSETS}/{path.name}" for path in own_assets("*.css"))])
        # First: a site's own scripts may build on them.
        config.extra_javascript[:0] = [ExtraScriptValue(path) for path in figures.scripts()]
        if config.nav is not None:
            config.nav = self._filled(config.nav)
        return config

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add the generated pages, the figures' files and our own scripts and styles."""
        slim.leave_out_unasked(files, config)
        in_menu = None if config.nav is None else set(_entries(config.nav))
        taken = [page.src_uri for page in self._site.pages if files.get_file_from_path(page.src_uri) is not None]
        if taken:
            docs = _shown(Path(config.docs_dir), Path(config.config_file_path).resolve().parent)
            text = "a page of this name is made from the data (allowed: another name)"
            raise PluginError("\n".join(f"{docs}/{name}: {text}" for name in taken))
        for page in self._site.pages:
            generated = File.generated(config, page.src_uri, content=page.markdown)
            if page.src_uri == SEARCH or (in_menu is not None and page.src_uri not in in_menu):
                # Reached by links; a course's menu need not name every page that the data makes.
                generated.inclusion = InclusionLevel.NOT_IN_NAV
            files.append(generated)
        for address, content in self._site.assets.items():
            files.append(File.generated(config, address, content=content))
        for path in own_assets(*ASSET_PATTERNS):
            text = browser_text([path.relative_to(BROWSER).as_posix()])
            files.append(File.generated(config, f"{ASSETS}/{path.name}", content=text))
        self._generated = frozenset(page.src_uri for page in self._site.pages)
        self._kept_pages = FolderStore(self._beside(config, self.config.cache_dir) / "rendered")
        self._kept_pages.prune()
        self._rendered = RenderedPages(self._kept_pages, config=config, files=files)
        return files

    def on_pre_page(self, page: Page, *, config: MkDocsConfig, files: Files) -> Page:
        """Let a page be rendered from what is kept; one with a fence that was not come to is refused."""
        if page.file.src_uri in self._generated:
            return self._rendered.take(page)
        return self._rendered.take_written(page, state=self._state, check=self._fences.end)

    def on_page_markdown(self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        """Tell the fences where they stand: mkdocs has cut the front matter off, an editor has not."""
        file = page.file.abs_src_path
        text = page.file.content_string if file is None else Path(file).read_text("utf-8-sig")
        shown = page.file.src_uri if file is None else _shown(Path(file), Path(config.config_file_path).parent)
        self._fences.begin(Source(file=shown, text=text, here=page.file.src_uri))
        return markdown

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Hand the templates their words, the version and the addresses they link to."""
        cautions, found = files.get_file_from_path("cautions.md"), files.get_file_from_path(SEARCH)
        env.globals["wristward"] = {
            "words": self._site.template_words,
            "search_words": self._site.search_words,
            "search_url": found.url if found is not None else None,
            "cautions_url": cautions.url if cautions is not None else None,
            "version": self._version[: version.SHOWN],
            "worker": offline.NAME if self.config.offline else None,
        }
        self._names = {page.src_uri: page.names for page in self._site.pages}
        self._content_languages = {page.src_uri: page.language or self._language for page in self._site.pages}
        return env

    def on_page_context(
        self, context: TemplateContext, *, page: Page, config: MkDocsConfig, nav: Navigation
    ) -> TemplateContext:
        """Keep what the page says for the search; hand the theme, which escapes nothing, what it may write as it is."""
        names = self._names.get(page.file.src_uri, "")
        cast(dict[str, object], context)["content_language"] = self._content_languages.get(page.file.src_uri)
        if page.file.src_uri != SEARCH:
            # In the menu a level has a short name; a list of results has room for the whole one.
            title = page.meta.get("title", page.title)
            self._found.append(
                search.read_page(
                    url=page.url, title=title, names=names, html=page.content or "", store=self._kept_pages
                )
            )
        page.meta = {key: _as_html(value) for key, value in page.meta.items()}
        return context

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:
        """Take out the scripts of figures that the page does not hold, and the theme's indents."""
        return _slimmed(output)

    def on_post_template(self, output_content: str, *, template_name: str, config: MkDocsConfig) -> str:
        """Do the same for the page that answers a wrong address."""
        return _slimmed(output_content) if template_name.endswith(".html") else output_content

    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Write the list that the search reads."""
        path = Path(config.site_dir, ASSETS, "search-index.js")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(search.index_script(self._found), encoding="utf-8", newline="\n")
        site = Path(config.site_dir)
        if self.config.strict_policy:
            try:
                policy.add_policies(site)
            except policy.PolicyError as error:
                raise PluginError(str(error)) from error
        if self.config.offline:
            # Last: it lists every file by what it holds.
            (site / offline.NAME).write_text(offline.worker_script(site), encoding="utf-8", newline="\n")

    def on_serve(
        self, server: LiveReloadServer, *, config: MkDocsConfig, builder: Callable[[], None]
    ) -> LiveReloadServer:
        """Watch the data, so that plain ``mkdocs serve`` rebuilds too."""
        for folder in self.watched_folders(config):
            server.watch(str(folder))
        return server

    def watched_folders(self, config: MkDocsConfig) -> tuple[Path, ...]:
        """Return the folders of the data and its overlays."""
        data, overlays = self._folders(config)
        return (data, *overlays)

    def _folders(self, config: MkDocsConfig) -> tuple[Path, tuple[Path, ...]]:
        if self.config.data_dir is None:
            data = where_is_data()
        else:
            data = self._beside(config, self.config.data_dir)
            if not data.is_dir():
                raise PluginError(
                    f"{config.config_file_path}: data_dir is '{self.config.data_dir}', and there is no folder there"
                )
        return data, tuple(self._beside(config, overlay) for overlay in self.config.overlays)

    def _beside(self, config: MkDocsConfig, folder: str) -> Path:
        return Path(config.config_file_path).resolve().parent / folder

    def _filled(self, entries: Sequence[Any]) -> list[Any]:
        """Return a menu in which every "wristward:…" entry stands for its pages."""
        filled: list[Any] = []
        for entry in entries:
            if isinstance(entry, dict):
                filled.append(
                    {title: self._filled(inner) if isinstance(inner, list) else inner for title, inner in entry.items()}
                )
                continue
            asked = MENU_ENTRY.fullmatch(entry)
            if asked is None:
                filled.append(entry)
            elif asked[1] in self._site.menus:
                filled.extend(self._site.menus[asked[1]])
            else:
                allowed = one_of(f"wristward:{name}" for name in self._site.menus)
                raise PluginError(f"mkdocs.yml: unknown menu entry '{entry}' (allowed: {allowed})")
        return filled


def _entries(nav: Any) -> Iterator[str]:
    """Yield every page that a menu names, at any depth."""
    for entry in nav.values() if isinstance(nav, dict) else nav:
        if isinstance(entry, str):
            yield entry
        else:
            yield from _entries(entry)


def _slimmed(html: str) -> str:
    return slim.without_indents(figures.only_needed(html))


def own_assets(*patterns: str) -> list[Path]:
    """Return the site's own scripts or styles by pattern, in order; the worker is no asset of a page."""
    return sorted(
        path for pattern in patterns for path in (BROWSER / "site").glob(pattern) if path.name != offline.WORKER
    )


def _as_html(value: object) -> object:
    """Return a text of a page's front matter as the value of an attribute; anything else as it is."""
    return escape(value, quote=False).replace('"', "&quot;") if isinstance(value, str) else value


def _shown(file: Path, folder: Path) -> str:
    return file.relative_to(folder).as_posix() if file.is_relative_to(folder) else str(file)

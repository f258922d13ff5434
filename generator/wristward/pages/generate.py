"""All pages that come from the data, in the order of the menu. Callable without mkdocs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from wristward.data.words.languages import ENGLISH
from wristward.data.words.phrase import language_of
from wristward.measure.text import short_height
from wristward.pages import figures
from wristward.pages.anatomy.level import level_page, levels_index
from wristward.pages.anatomy.lists import kind_index, relations_page, search_page
from wristward.pages.anatomy.structure import structure_page
from wristward.pages.atlas import (
    FOLDERS,
    PRACTICE,
    PROGRESS,
    RELATIONS,
    SEARCH,
    SOURCES,
    Atlas,
    GeneratedPage,
)
from wristward.pages.blocks.menu import teach_pages
from wristward.pages.facts import sources_page
from wristward.pages.leading_on import documents_leading_on
from wristward.pages.markdown import front_matter
from wristward.pages.print_pages import PRINT, print_page, print_sheets
from wristward.pages.reference_page import REFERENCE, reference_page

PLURALS = {"nerve": "nerves", "artery": "arteries", "vein": "veins", "muscle": "muscles"}


@dataclass(frozen=True, slots=True, kw_only=True)
class GeneratedSite:
    """Pages, the files they need, and where they stand in the menu."""

    pages: tuple[GeneratedPage, ...]
    assets: dict[str, bytes]
    """Address relative to the site's root → content."""

    menus: dict[str, list[Any]]
    """What each "wristward:…" entry of a menu stands for, in mkdocs' own form."""

    template_words: dict[str, str]
    """Words that the theme's templates show, by short name."""

    search_words: dict[str, str]


def generate_site(atlas: Atlas, *, version: str = "") -> GeneratedSite:
    """Write every page that comes from the data, from the records, the words and the section at every whole mm.

    Args:
        atlas: Words, data and sections.
        version: As pages show it; documents for paper carry it.
    """
    words = atlas.words
    travel = atlas.dataset.region.travel
    pages = [_page(atlas, atlas.travel_page, words(f"site.{travel}.title"), _travel(atlas))]
    menus: dict[str, list[Any]] = {travel: [_entry(pages[0])]}

    levels = [_page(atlas, "levels/index.md", words("site.levels.title"), levels_index(atlas, here="levels/index.md"))]
    for z_mm in atlas.levels:
        page = level_page(atlas, z_mm)
        levels.append(_page(atlas, atlas.level_page(z_mm), atlas.level_title(z_mm), page))
    pages += levels
    short = [
        {short_height(z_mm, atlas.dataset.words): page.src_uri}
        for z_mm, page in zip(atlas.levels, levels[1:], strict=True)
    ]
    menus["levels"] = [{words("site.levels.title"): [_entry(levels[0]), *short]}]

    for kind, folder in FOLDERS.items():
        index = f"{folder}/index.md"
        title = words(f"site.kinds.{kind}.title")
        of_kind = [_page(atlas, index, title, kind_index(atlas, kind, here=index))]
        of_kind += [
            _page(atlas, atlas.own_page(one), atlas.title(one), structure_page(atlas, one), about=one)
            for one in atlas.of_kind(kind)
        ]
        pages += of_kind
        menus[PLURALS[kind]] = [{title: [_entry(page) for page in of_kind]}]

    for name, src_uri, markdown in (
        ("sources", SOURCES, sources_page(atlas)),
        ("relations", RELATIONS, relations_page(atlas)),
        ("search", SEARCH, search_page(atlas)),
    ):
        key = "site.search.page_title" if name == "search" else f"site.{name}.title"
        pages.append(_page(atlas, src_uri, words(key), markdown))
        menus[name] = [_entry(pages[-1])]
    title = words("reference.title")
    pages.append(_page(atlas, REFERENCE, title, reference_page(atlas)))
    menus["reference"] = [_entry(pages[-1])]
    for name, found in teach_pages(atlas).items():
        pages += found
        entries = [_entry(page) for page in found]
        # Several pages stand together under the title of their index.
        menus[name] = [{found[0].title: entries}] if len(entries) > 1 else entries
    quizzes = _quiz_pages(atlas)
    pages += quizzes
    menus["practice"] = [_entry(page) for page in quizzes]
    sheets = print_sheets(atlas, version=version)
    menus["print"] = []
    if sheets:
        pages.append(_page(atlas, PRINT, words("print.title"), print_page(atlas, sheets)))
        menus["print"] = [_entry(pages[-1])]
    return GeneratedSite(
        pages=tuple(pages),
        assets=figures.assets(atlas)
        | {sheet.path: sheet.html.encode("utf-8") for sheet in sheets}
        | documents_leading_on(atlas),
        menus=menus,
        template_words={
            "menu": words("site.menu"),
            "not_found": words("site.not_found"),
            "search_label": words("site.search.page_title"),
            "search_placeholder": words("site.search.placeholder"),
            "cautions_label": words("site.cautions.label"),
            "cautions_short": words("site.cautions.short"),
            "cautions_more": words("site.cautions.more"),
            "version": words("site.cautions.version"),
            "new_version": words("site.offline.new_version"),
            "change_over": words("site.offline.change_over"),
        },
        # Filled in by the script: handed over with their braces.
        search_words={name: atlas.dataset.words[f"site.search.{name}"] for name in ("none", "one", "many", "failed")},
    )


def _travel(atlas: Atlas) -> str:
    title, description = (
        atlas.words(f"site.{atlas.dataset.region.travel}.{said}") for said in ("title", "description")
    )
    head = front_matter(title=title, description=description, hide=("navigation", "toc"))
    return f"{head}# {title}\n\n{figures.travel(atlas, here=atlas.travel_page)}\n"


def _quiz_pages(atlas: Atlas) -> list[GeneratedPage]:
    """Return the pages Practice and Progress, or none where the catalogue has no words for them."""
    if not figures.has_quiz(atlas):
        return []
    pages = []
    for name, src_uri, write in (("practice", PRACTICE, figures.practice), ("progress", PROGRESS, figures.progress)):
        title, description = atlas.words(f"quiz.{name}.title"), atlas.words(f"quiz.{name}.description")
        head = front_matter(title=title, description=description)
        pages.append(_page(atlas, src_uri, title, f"{head}# {title}\n\n{write(atlas, here=src_uri)}\n"))
    return pages


def _page(atlas: Atlas, src_uri: str, title: str, markdown: str, *, about: str | None = None) -> GeneratedPage:
    names = ""
    if about is not None:
        record = atlas.structures[about]
        names = " ".join(filter(None, (record.short, record.latin, record.name)))
    language = ENGLISH if language_of(title) == ENGLISH and about is None else None
    return GeneratedPage(src_uri=src_uri, title=title, markdown=markdown, names=names, language=language)


def _entry(page: GeneratedPage) -> dict[str, str] | str:
    # An index page carries its section's title already; without one of its own it becomes the section's page.
    return page.src_uri if page.src_uri.endswith("/index.md") else {page.title: page.src_uri}

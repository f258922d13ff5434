"""What the pages about blocks share: statements with their sources, tables that scroll, names of nerves and events."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from html import escape, unescape

from generator.block.report import percent
from generator.measure.height import in_cm
from generator.measure.text import capital
from generator.pages.atlas import Atlas, GeneratedPage, address, front_matter, plain
from generator.pages.facts import rests_on, said

BLOCK_LEVELS = "block-levels.md"
BRANCHES = "branches.md"
COVERAGE = "coverage.md"
CASES = "cases/index.md"
VARIANTS = "variants.md"
TESTING = "testing.md"
STAYS = "stays.md"
CUFF = "cuff.md"
INCOMPLETE = "incomplete.md"
LOOK_ALIKES = "look-alikes.md"
COMPLICATIONS = "complications.md"

LINK = re.compile(r"\[((?:\\.|[^\]\\])*)\]\(([^)]*)\)")
ESCAPED = re.compile(r"\\([\\`*_\[\]<>])")


def begin(atlas: Atlas, page: str, *, hide: Iterable[str] = ()) -> str:
    """Return front matter, heading, description and caution of a page, from ``teach.<page>.*``."""
    words = atlas.words
    title, description = words(f"teach.{page}.title"), words(f"teach.{page}.description")
    caution = f"{words(f'teach.{page}.caution')}\n{{ .ww-source }}\n"
    return front_matter(title=title, description=description, hide=hide) + f"# {title}\n\n{description}\n\n{caution}"


def page_of(atlas: Atlas, src_uri: str, title: str, markdown: str) -> GeneratedPage:
    """Return a page; blank lines at its end are cut."""
    return GeneratedPage(src_uri=src_uri, title=title, markdown=markdown.rstrip() + "\n")


def statement(atlas: Atlas, record, *, here: str, fallback=None, says: str | None = None) -> str:
    """Return a statement with what it rests on, as Markdown."""
    text = says if says is not None else record.says
    shown = text if text.endswith((".", "?", ":")) else f"{text}."
    source = rests_on(atlas, record, here=here, fallback=fallback)
    if not source:
        return said(atlas, text, shown)
    return f"{said(atlas, text, capital(shown))} <span class='ww-source'>{source}.</span>"


def statements(atlas: Atlas, records: Iterable, *, here: str, fallback=None) -> str:
    """Return a list of statements, each with what it rests on."""
    return "\n".join(f"- {statement(atlas, one, here=here, fallback=fallback)}" for one in records)


def nerve_title(atlas: Atlas, nerve: str) -> str:
    """Return a nerve's name with a capital."""
    return atlas.title(nerve)


def nerve_names(atlas: Atlas, nerves: Iterable[str]) -> str:
    """Return the names of nerves, joined, or the word for none."""
    names = [atlas.structures[nerve].name for nerve in nerves]
    return atlas.words("teach.and").join(names) if names else atlas.words("teach.none")


def of_100(atlas: Atlas, chance: float) -> str:
    """Return "87 of 100"; only certainty is 100."""
    return atlas.words("teach.of_100", percent=percent(chance, atlas.dataset.words))


def height(atlas: Atlas, z_mm: float) -> str:
    """Return a height above the crease, or a distance beyond it, in words."""
    if z_mm < 0:
        return atlas.words("teach.beyond", cm=in_cm(-z_mm))
    return atlas.words("site.height.short", cm=in_cm(z_mm))


def html_of(markdown: str) -> str:
    """Return the little Markdown that facts use (links, escapes, spans) as HTML, with addresses of the built site."""

    def link(found: re.Match) -> str:
        target = re.sub(r"\.md(?=#|$)", ".html", found[2])
        return f'<a href="{escape(target, quote=True)}">{found[1]}</a>'

    return ESCAPED.sub(lambda found: escape(found[1]), LINK.sub(link, markdown))


def table(label: str, headings: Sequence[str], rows: Iterable[Sequence[str]], *, numbers: Iterable[int] = ()) -> str:
    """Return a table as HTML that scrolls by itself on a narrow screen.

    Args:
        label: What the table is, for who cannot see it.
        headings: Column headings, plain text.
        rows: Cells as the Markdown of ``html_of``; the first of each row is its heading.
        numbers: Columns set flush right. A column that says nothing in any row is left out.
    """
    rows = [list(row) for row in rows]
    told = [at == 0 or any(row[at] for row in rows) for at in range(len(headings))]
    flush = {sum(told[:at]) for at in numbers if told[at]}
    headings = [heading for heading, kept in zip(headings, told, strict=True) if kept]
    rows = [[cell for cell, kept in zip(row, told, strict=True) if kept] for row in rows]
    head = "".join(f'<th scope="col">{escape(heading)}</th>' for heading in headings)
    body = []
    for first, *cells in rows:
        drawn = "".join(
            f'<td class="{"t-number" if column in flush else "t-wide" if len(cell) > 60 else ""}">{html_of(cell)}</td>'
            for column, cell in enumerate(cells, start=1)
        ).replace(' class=""', "")
        body.append(f'<tr><th scope="row">{html_of(first)}</th>{drawn}</tr>')
    return (
        f'<div class="t-scroll" tabindex="0" role="region" aria-label="{escape(label, quote=True)}">'
        f'<table class="t-table"><thead>'
        f"<tr>{head}</tr></thead><tbody>{''.join(body)}</tbody></table></div>\n"
    )


def details(summary: str, html: str) -> str:
    """Return a part that opens."""
    return f"<details class='ww-more'><summary>{escape(summary)}</summary>{html.strip()}</details>\n"


def block(html: str) -> str:
    """Return HTML that Markdown leaves alone: one line."""
    return " ".join(html.splitlines()) + "\n"


def link_to(page: str, label: str, *, here: str) -> str:
    """Return a Markdown link to another generated page."""
    return f"[{plain(label)}]({address(page, here=here)})"


def source_cell(atlas: Atlas, record, *, here: str, fallback=None) -> str:
    """Return what a record rests on, with the rows of the number sheets and its note, for a cell."""
    parts = [rests_on(atlas, record, here=here, fallback=fallback)]
    if record.note is not None:
        parts.append(said(atlas, record.note))
    return "; ".join(part for part in parts if part)


def short_label(atlas: Atlas, source_key: str) -> str:
    """Return a study's name for a chart: "Bezerra 1986", or its journal and year where no author is known."""
    source = atlas.dataset.sources[source_key]
    names = [author.family or author.literal for author in source.author if author.literal != "others"]
    who = unescape(names[0]) if names else source.container_title or atlas.words("teach.study")
    return f"{who} {source.issued}" if source.issued is not None else who


def variant_words(atlas: Atlas, id_: str, *, here: str) -> str:
    """Return that a variant changes what stands before, in how many limbs, with a link to it."""
    return atlas.words(
        "teach.testing.variant",
        variant=link_to(f"{VARIANTS}#{id_}", atlas.words(f"teach.variant.{id_}"), here=here),
        percent=f"{100 * atlas.dataset.parts['branches'].variants[id_].prevalence:g}",
    )

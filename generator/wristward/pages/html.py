"""HTML inside pages: facts' little Markdown as HTML, tables that scroll, parts that open, one line that Markdown leaves."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from html import escape

from wristward.pages.markdown import as_built

LINK = re.compile(r"\[((?:\\.|[^\]\\])*)\]\(([^)]*)\)")
ESCAPED = re.compile(r"\\([\\`*_{}\[\]<>])")


def html_of(markdown: str) -> str:
    """Return the little Markdown that facts use (links, escapes, spans) as HTML, with addresses of the built site."""

    def link(found: re.Match[str]) -> str:
        return f'<a href="{escape(as_built(found[2]), quote=True)}">{found[1]}</a>'

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


def one_line(html: str) -> str:
    """Return HTML that Markdown leaves alone: one line."""
    return " ".join(html.splitlines()) + "\n"


def drawn_block(svg: str) -> str:
    """Return a drawing as a block by itself: a bare svg counts as running text, in which Markdown would still read signs."""
    return one_line(f'<div class="t-drawn">{svg}</div>')

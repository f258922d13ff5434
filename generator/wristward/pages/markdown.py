"""Markdown as pages are written in it: escapes, addresses, tables, the block in front. It knows no host."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterable

SIGNS = re.compile(r"([\\`*_{}\[\]>])")
BROKEN = re.compile(r"\s*[\r\n\f\v\x85\u2028\u2029]\s*")
BEGINS = re.compile(r"[#+=~:!?-]|\d+\.\s")
"""What makes a line a heading, a list, a remark or a definition where it begins with it."""


def address(page: str, *, here: str) -> str:
    """Return the relative address of one page from another, both as ``src_uri``; an anchor may follow a ``#``."""
    return posixpath.relpath(page, posixpath.dirname(here) or ".")


def built(page: str, *, here: str) -> str:
    """Return the relative address that one page has from another when both are built."""
    return as_built(address(page, here=here))


def as_built(link: str) -> str:
    """Return the address of a page's file as that of the page that is built from it, an anchor kept; any other as it is."""
    return re.sub(r"\.md(?=#|$)", ".html", link)


def plain(text: str) -> str:
    """Return text that Markdown leaves as it is, wherever it stands: one line in which nothing acts.

    Every text of the data that reaches a page as Markdown goes through here, and what reaches it as HTML through
    ``html.escape``.
    """
    line = BROKEN.sub(" ", text).strip()
    # Markdown has no escape of "<" and "&", nor of all that a line may begin with.
    written = SIGNS.sub(r"\\\1", line.replace("&", "&amp;").replace("<", "&lt;"))
    return f"&#{ord(written[0])};{written[1:]}" if BEGINS.match(line) else written


def table(headings: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """Return a Markdown table; a bar within a cell is escaped."""
    headings = list(headings)
    lines = [_row(headings), _row(["---"] * len(headings))]
    lines.extend(_row(row) for row in rows)
    return "\n".join(lines)


def definitions(pairs: Iterable[tuple[str, str]]) -> str:
    """Return a two-column table without headings to read, for what is true of one thing."""
    lines = ["| | |", "| --- | --- |"]
    lines.extend(_row([f"**{term}**", text]) for term, text in pairs)
    return "\n".join(lines)


def front_matter(*, hide: Iterable[str] = (), **values: str) -> str:
    """Return the block that carries a page's title and description, and which menus it does without."""
    lines = [f"{key}: {_quoted(value)}" for key, value in values.items()]
    lines += ["hide:", *(f"  - {menu}" for menu in hide)] if hide else []
    return "---\n" + "\n".join(lines) + "\n---\n\n"


def _quoted(value: str) -> str:
    return '"' + value.replace("\\", "\\\\").replace('"', '\\"').replace("\n", " ") + '"'


def _row(cells: Iterable[str]) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"

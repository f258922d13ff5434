"""Facts and sources as readers see them: each fact with what it rests on and how far to trust it."""

from __future__ import annotations

from collections.abc import Iterable

from wristward.data.records.record import Sourced
from wristward.data.records.source import SourceRecord
from wristward.data.records.structure import Fact
from wristward.data.words.languages import ENGLISH
from wristward.data.words.phrase import language_of
from wristward.pages.atlas import SOURCES, Atlas
from wristward.pages.markdown import address, definitions, front_matter, plain


def fact_list(atlas: Atlas, facts: Iterable[Fact], *, here: str, fallback: Sourced) -> str:
    """Return a list of facts, each with its range, its source and its confidence.

    Args:
        atlas: Names and words.
        facts: Of a structure.
        here: The page it stands on.
        fallback: The record around them, whose source counts where a fact names none.
    """
    return "\n".join(f"- {_fact(atlas, fact, here=here, fallback=fallback)}" for fact in facts)


def said(atlas: Atlas, text: str, shown: str | None = None) -> str:
    """Return a text of the data as Markdown, marked as English where the page around it is not.

    Args:
        atlas: The language of the page.
        text: As the data has it, or as its translation says it.
        shown: What is written of it; by default all.
    """
    written = plain(text if shown is None else shown)
    if atlas.dataset.language == ENGLISH or language_of(text) == atlas.dataset.language:
        return written
    return f"<span lang='{ENGLISH}'>{written}</span>"


def rests_on(atlas: Atlas, record: Sourced, *, here: str, fallback: Sourced | None = None) -> str:
    """Return "Bae and An 2021; confidence 2 of 3; abstract read" with a link to the source, or "" without one."""
    key = record.source or (fallback.source if fallback is not None else None)
    if key is None:
        return ""
    confidence = record.confidence
    seen = record.seen
    if record.source is None and fallback is not None:
        confidence = confidence if confidence is not None else fallback.confidence
        seen = seen or fallback.seen
    seen = seen or atlas.dataset.sources[key].seen
    parts = [f"[{plain(short_name(atlas, atlas.dataset.sources[key]))}]({address(SOURCES, here=here)}#{key})"]
    if confidence is not None:
        parts.append(atlas.words("site.facts.confidence", level=confidence))
    if seen is not None:
        parts.append(atlas.words(f"site.facts.seen_{seen}"))
    return "; ".join(parts)


def short_name(atlas: Atlas, source: SourceRecord) -> str:
    """Return "Bae and others 2021", or the title of what has no author."""
    names = [author.shown for author in source.author]
    if not names:
        return source.title or source.what
    who = names[0]
    if len(names) == 2 and names[1] != "others":
        who = atlas.words("site.facts.two_authors", first=names[0], second=names[1])
    elif len(names) > 1:
        who = atlas.words("site.facts.more_authors", first=names[0])
    return f"{who} {source.issued}" if source.issued is not None else who


def short_label(atlas: Atlas, source_key: str) -> str:
    """Return a study's name for a chart: "Bezerra 1986", or its journal and year where no author is known."""
    source = atlas.dataset.sources[source_key]
    names = [author.shown for author in source.author if author.literal != "others"]
    who = names[0] if names else source.container_title or atlas.words("teach.study")
    return f"{who} {source.issued}" if source.issued is not None else who


def sources_page(atlas: Atlas) -> str:
    """Return the bibliography, each entry with how it was read and which pages rest on it."""
    words = atlas.words
    parts = [
        front_matter(title=words("site.sources.title"), description=words("site.sources.description")),
        f"# {words('site.sources.title')}\n\n{words('site.sources.description')}\n",
    ]
    users = _users(atlas)
    for key, source in sorted(atlas.dataset.sources.items(), key=lambda item: (not item[1].published, item[0])):
        rows = [(words("site.sources.what"), said(atlas, source.what))]
        seen = f"{source.seen}_read" if source.seen is not None else "not_applicable" if not source.published else None
        if seen is not None:
            rows.append((words("site.facts.source"), words(f"site.sources.{seen}")))
        pages = users.get(key, [])
        used = atlas.links(pages, here=SOURCES) if pages else words("site.sources.none")
        rows.append((words("site.sources.used_by"), used))
        if source.note is not None:
            rows.append((words("site.sources.note"), said(atlas, source.note)))
        parts.append(
            f"## {plain(short_name(atlas, source))} {{ #{key} }}\n\n{_citation(source)}\n\n{definitions(rows)}\n"
        )
    return "\n".join(parts)


def _fact(atlas: Atlas, fact: Fact, *, here: str, fallback: Sourced) -> str:
    says = said(atlas, fact.says)
    if fact.z_mm is not None:
        says = f"{says} <span class='ww-source'>{atlas.heights.between(*fact.z_mm)}.</span>"
    source = rests_on(atlas, fact, here=here, fallback=fallback)
    return f"{says} <span class='ww-source'>{source}.</span>" if source else says


def _citation(source: SourceRecord) -> str:
    """Write the entry from the fields that are there; nothing is made up for those that are not."""
    authors = ", ".join(
        author.literal or " ".join(filter(None, (author.family, author.given))) for author in source.author
    )
    volume, page = (plain(one) if one is not None else None for one in (source.volume, source.page))
    where = " ".join(filter(None, (f"*{plain(source.container_title)}*" if source.container_title else None, volume)))
    if page is not None:
        where = f"{where}:{page}" if where else page
    identifiers = [f"{name} {plain(value)}" for name in ("DOI", "PMID") if (value := getattr(source, name)) is not None]
    pieces = [
        plain(authors) if authors else None,
        str(source.issued) if source.issued is not None else None,
        plain(source.title) if source.title is not None else None,
        where or None,
        plain(source.publisher) if source.publisher is not None else None,
        *identifiers,
        f"<{source.URL}>" if source.URL is not None else None,
    ]
    return ". ".join(piece.rstrip(".") for piece in pieces if piece is not None) + "."


def _users(atlas: Atlas) -> dict[str, list[str]]:
    """Return for each source the structures with a page that state a fact from it, in the catalogue's order."""
    users: dict[str, list[str]] = {}
    for structure_id, record in atlas.structures.items():
        if atlas.page_of(structure_id) is None:
            continue
        for key in {fact.source or record.source for fact in record.facts} - {None}:
            users.setdefault(key, []).append(structure_id)
    return users

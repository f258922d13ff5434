"""The pages that list: one for each kind of structure, the relations, the search."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from wristward.pages.atlas import RELATIONS, Atlas
from wristward.pages.facts import rests_on, said
from wristward.pages.markdown import front_matter, plain, table


def kind_index(atlas: Atlas, kind: str, *, here: str) -> str:
    """Return the list of every structure of a kind; muscles by group, parts under their whole."""
    words = atlas.words
    title, description = words(f"site.kinds.{kind}.title"), words(f"site.kinds.{kind}.description")
    parts = [front_matter(title=title, description=description), f"# {title}\n\n{description}\n"]
    if kind == "muscle":
        for compartment, members in _by_compartment(atlas).items():
            heading = words(f"site.compartments.{compartment}")
            parts.append(f"## {heading}\n\n{_tree(atlas, members, here=here)}\n")
    else:
        parts.append(_tree(atlas, atlas.of_kind(kind), here=here) + "\n")
    return "\n".join(parts)


def relations_page(atlas: Atlas) -> str:
    """Return the facts that are evaluated on the sections, with range and source."""
    words = atlas.words
    title, description = words("site.relations.title"), words("site.relations.description")
    rows = [
        [
            said(atlas, relation.says),
            atlas.heights.between(*relation.z_mm),
            rests_on(atlas, relation, here=RELATIONS),
        ]
        for relation in atlas.dataset.relations
    ]
    headings = [words(f"site.relations.table_{column}") for column in ("fact", "range", "source")]
    recalled = sum(relation.seen == "memory" for relation in atlas.dataset.relations)
    count = words("site.relations.count", count=len(rows), published=len(rows) - recalled, recalled=recalled)
    return (
        front_matter(title=title, description=description)
        + f"# {title}\n\n{description}\n\n{count}\n\n{table(headings, rows)}\n"
    )


def search_page(atlas: Atlas) -> str:
    """Return the page that shows what a search has found; its field is filled from the address."""
    words = atlas.words
    title = words("site.search.page_title")
    return (
        front_matter(title=title, description=words("site.search.page_lead"))
        + f"# {title}\n\n{words('site.search.page_lead')}\n\n"
        + '<form class="ww-search" role="search" data-search="no">'
        + f'<label class="ww-hidden" for="ww-search-page">{escape(title)}</label>'
        + '<input id="ww-search-page" class="ww-search__input" type="search" name="q" autocomplete="off" '
        + f'spellcheck="false" placeholder="{escape(words("site.search.placeholder"))}">'
        + '<div class="ww-search__results"></div>'
        + f"<noscript><p>{escape(words('site.search.needs_script'))}</p></noscript></form>\n"
    )


def _by_compartment(atlas: Atlas) -> dict[str, list[str]]:
    """Return muscles by group in the catalogue's order; a whole without a group stands with its first part."""
    found: dict[str, list[str]] = {}
    for muscle in atlas.of_kind("muscle"):
        record = atlas.structures[muscle]
        compartment = record.compartment
        if compartment is None and record.parts:
            compartment = atlas.structures[record.parts[0]].compartment
        if compartment is not None:
            found.setdefault(compartment, []).append(muscle)
    return found


def _tree(atlas: Atlas, members: list[str], *, here: str) -> str:
    """Return a list in which a part or branch stands under what it belongs to, where that is in the list."""
    listed = set(members)
    children: dict[str | None, list[str]] = {}
    for member in members:
        parent = atlas.structures[member].part_of
        children.setdefault(parent if parent in listed else None, []).append(member)

    def lines(parent: str | None, depth: int) -> Iterator[str]:
        for member in children.get(parent, ()):
            latin = atlas.structures[member].latin
            note = f", *{plain(latin)}*" if latin is not None else ""
            yield f"{'    ' * depth}- {atlas.link(member, here=here, label=atlas.title(member))}{note}"
            yield from lines(member, depth + 1)

    return "\n".join(lines(None, 0))

"""What the pages about blocks share: statements with their sources, tables that scroll, names of nerves and events."""

from __future__ import annotations

from collections.abc import Iterable

from wristward.block.report import percent
from wristward.data.records.branch import FindingRecord
from wristward.data.records.record import Sourced
from wristward.data.records.scenario import CuffRecord, LimitCaveat
from wristward.data.records.teaching import SaidRecord
from wristward.measure.text import capital, height_words, short_height
from wristward.pages.atlas import Atlas, GeneratedPage
from wristward.pages.facts import rests_on, said
from wristward.pages.markdown import address, front_matter, plain

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

MOST_OF_HANDS = 0.999
"""No share of drawn hands is told as certain."""

Saying = SaidRecord | FindingRecord | CuffRecord | LimitCaveat
"""A record that says something in a sentence."""


def begin(atlas: Atlas, page: str, *, hide: Iterable[str] = ()) -> str:
    """Return front matter, heading, description and caution of a page, from ``teach.<page>.*``."""
    words = atlas.words
    title, description = words(f"teach.{page}.title"), words(f"teach.{page}.description")
    caution = f"{words(f'teach.{page}.caution')}\n{{ .ww-source }}\n"
    return front_matter(title=title, description=description, hide=hide) + f"# {title}\n\n{description}\n\n{caution}"


def page_of(atlas: Atlas, src_uri: str, title: str, markdown: str) -> GeneratedPage:
    """Return a page; blank lines at its end are cut."""
    return GeneratedPage(src_uri=src_uri, title=title, markdown=markdown.rstrip() + "\n")


def statement(atlas: Atlas, record: Saying, *, here: str, fallback: Sourced | None = None) -> str:
    """Return a statement of the data with what it rests on, as Markdown."""
    return stated(atlas, record.says, record, here=here, fallback=fallback)


def stated(atlas: Atlas, text: str, record: Sourced, *, here: str, fallback: Sourced | None = None) -> str:
    """Return a text with what the record it is taken from rests on, as Markdown."""
    shown = text if text.endswith((".", "?", ":")) else f"{text}."
    source = rests_on(atlas, record, here=here, fallback=fallback)
    if not source:
        return said(atlas, text, shown)
    return f"{said(atlas, text, capital(shown))} <span class='ww-source'>{source}.</span>"


def statements(atlas: Atlas, records: Iterable[Saying], *, here: str, fallback: Sourced | None = None) -> str:
    """Return a list of statements, each with what it rests on."""
    return "\n".join(f"- {statement(atlas, one, here=here, fallback=fallback)}" for one in records)


def nerve_title(atlas: Atlas, nerve: str) -> str:
    """Return a nerve's name with a capital, as Markdown."""
    return plain(atlas.title(nerve))


def nerve_names(atlas: Atlas, nerves: Iterable[str]) -> str:
    """Return the names of nerves as Markdown, joined, or the word for none."""
    names = [plain(atlas.structures[nerve].name) for nerve in nerves]
    return atlas.words("teach.and").join(names) if names else atlas.words("teach.none")


def of_100(atlas: Atlas, chance: float) -> str:
    """Return "87 of 100"; only certainty is 100."""
    return atlas.words("teach.of_100", percent=percent(chance, atlas.dataset.words))


def of_hands(atlas: Atlas, share: float) -> str:
    """Return "87 of 100" of hands; where all hands of the model are alike "over 99 of 100", since they are drawn."""
    return of_100(atlas, min(share, MOST_OF_HANDS))


def height(atlas: Atlas, z_mm: float) -> str:
    """Return a height above the crease, or a distance beyond it, in words."""
    words = atlas.dataset.words
    return height_words(z_mm, words) if z_mm < 0 else short_height(z_mm, words)


def link_to(page: str, label: str, *, here: str) -> str:
    """Return a Markdown link to another generated page."""
    return f"[{plain(label)}]({address(page, here=here)})"


def source_cell(atlas: Atlas, record: Sourced, *, here: str, fallback: Sourced | None = None) -> str:
    """Return what a record rests on, with the rows of the number sheets and its note, for a cell."""
    parts = [rests_on(atlas, record, here=here, fallback=fallback)]
    if record.note is not None:
        parts.append(said(atlas, record.note))
    return "; ".join(part for part in parts if part)


def variant_words(atlas: Atlas, id_: str, *, here: str) -> str:
    """Return that a variant changes what stands before, in how many limbs, with a link to it."""
    return atlas.words(
        "teach.testing.variant",
        variant=link_to(f"{VARIANTS}#{id_}", atlas.words(f"teach.variant.{id_}"), here=here),
        percent=f"{100 * atlas.dataset.branches.variants[id_].prevalence:g}",
    )

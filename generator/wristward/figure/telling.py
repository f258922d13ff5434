"""A section in words: one paragraph and one table row per structure, from the same measures as the command line.

``browser/section/telling.js`` writes the same sentences while the reader slides; a test compares the two.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape

from wristward.data.kinds import AS_TOLD
from wristward.figure.drawing import title_of
from wristward.figure.legend import Entry, Legend
from wristward.measure.measures import StructureMeasure
from wristward.section.section import Section

TOUCH_MM = 0.75
"""Two outlines nearer than this are told as touching; the drawing leaves about 0.5 mm for a septum."""

SKIN_MM = 0.5
"""What is nearer to the skin than this lies on it."""

COLUMNS = ("structure", "tissue", "depth", "way", "nearest", "partner")


def depth_words(depth_mm: float, words: Mapping[str, str]) -> str:
    """Return a depth in whole millimetres: "12 mm deep"."""
    if depth_mm < SKIN_MM:
        return words["figure.depth.skin"]
    return words["figure.depth.mm"].format(mm=round(depth_mm))


def gap_words(gap_mm: float, name: str, words: Mapping[str, str]) -> str:
    """Return how far another structure is: "touches …" or "3 mm from …"."""
    if gap_mm < TOUCH_MM:
        return words["figure.gap.touches"].format(name=name)
    return words["figure.gap.mm"].format(mm=round(gap_mm), name=name)


def tissue_words(measure: StructureMeasure, entry: Entry, words: Mapping[str, str]) -> str:
    """Return what is cut: "muscle", "its tendon", "nerve"."""
    if measure.tissue == "tendon" and entry.kind == "muscle":
        return words["figure.tissue.its_tendon"]
    return words[f"figure.kind.{measure.tissue}"]


def table_row(measure: StructureMeasure, legend: Legend, words: Mapping[str, str]) -> tuple[str, ...]:
    """Return the cells of one structure, in the order of ``COLUMNS``; "" where there is nothing to say."""
    entry = legend[measure.id]
    partner = ""
    if measure.partner is not None and measure.partner_gap_mm is not None:
        partner = gap_words(measure.partner_gap_mm, legend[measure.partner].name, words)
    return (
        entry.name,
        tissue_words(measure, entry, words),
        str(round(measure.depth_mm)),
        words[f"figure.way.{legend.directions.eighths[measure.eighth]}"],
        "; ".join(gap_words(one.gap_mm, legend[one.id].name, words) for one in measure.neighbours),
        partner,
    )


def paragraph(section: Section, measures: Iterable[StructureMeasure], legend: Legend, words: Mapping[str, str]) -> str:
    """Return the section as one paragraph: height, convention, size, nerves and arteries with depth and direction."""
    told = list(measures)
    xs, ys = zip(*section.skin_mm, strict=True)
    sentences = [
        f"{title_of(section, words)}.",
        words[f"figure.convention.{section.side}"],
        words["figure.words.size"].format(width=round(max(xs) - min(xs)), height=round(max(ys) - min(ys))),
    ]
    for kind in ("nerve", "artery"):
        members = sorted((m for m in told if m.tissue == kind), key=lambda m: legend[m.id].name)
        if members:
            items = "; ".join(
                words["figure.words.one"].format(
                    name=legend[m.id].name,
                    way=words[f"figure.way.{legend.directions.eighths[m.eighth]}"],
                    depth=depth_words(m.depth_mm, words),
                )
                for m in members
            )
            sentences.append(words[f"figure.words.{kind}s"].format(list=items))
    sentences.append(words["figure.words.model"])
    return " ".join(sentences)


def table_rows(measures: Iterable[StructureMeasure], legend: Legend) -> list[StructureMeasure]:
    """Return the measures in the table's order: by kind of tissue, then by name."""
    return sorted(measures, key=lambda m: (AS_TOLD.index(m.tissue), legend[m.id].name))


def table_html(
    measures: Iterable[StructureMeasure],
    legend: Legend,
    words: Mapping[str, str],
    *,
    pages: Mapping[str, str] | None = None,
) -> str:
    """Return the table; ``pages`` are addresses of the structures' own pages, seen from this one."""
    links = pages or {}
    heads = "".join(f'<th scope="col">{escape(words[f"figure.table.{column}"])}</th>' for column in COLUMNS)
    body = []
    for measure in table_rows(measures, legend):
        name, *cells = (escape(cell) for cell in table_row(measure, legend, words))
        if measure.id in links:
            name = f'<a href="{escape(links[measure.id], quote=True)}">{name}</a>'
        if legend[measure.id].also_latin:
            name += f' <i class="w-latin" lang="la">{escape(legend[measure.id].also_latin)}</i>'
        body.append(f'<tr><th scope="row">{name}</th>{"".join(f"<td>{cell}</td>" for cell in cells)}</tr>')
    return (
        f'<table class="w-table"><caption>{escape(words["figure.table.caption"])}</caption>'
        f"<thead><tr>{heads}</tr></thead><tbody>{''.join(body)}</tbody></table>"
    )

"""The pages Cuff, When it is incomplete, Look-alikes and Complications."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from wristward.block.blocks import block_model
from wristward.block.chance import chances
from wristward.block.coverage_report import cover_of
from wristward.data.dataset import Dataset
from wristward.data.records.teaching import ComputedRecord, LookAlikeRecord
from wristward.figure.crop import Added, draw_crop
from wristward.figure.legend import legend_of
from wristward.figure.telling import depth_words, gap_words
from wristward.measure.cut import cut_of
from wristward.measure.measures import gap_mm
from wristward.measure.text import height_words
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.common import (
    CUFF,
    INCOMPLETE,
    LOOK_ALIKES,
    begin,
    of_100,
    statement,
    statements,
    variant_words,
)
from wristward.pages.facts import rests_on, said
from wristward.pages.html import one_line, table
from wristward.pages.markdown import plain


def cuff_page(atlas: Atlas) -> str:
    """Return the page on the cuff: what lies under it by site, and where studies differ."""
    words, teaching = atlas.words, atlas.dataset.teaching
    file, branches = atlas.dataset.territories, atlas.dataset.branches
    parts = [begin(atlas, "cuff")]
    for site, cuff in file.cuffs.items():
        parts.append(f"## {words(f'teach.cuff.site.{site}')}\n\n{statement(atlas, cuff, here=CUFF)}\n")
        if cuff.territories:
            under = cover_of(atlas.dataset, cuff.territories, covered_at_least=1.0)
            rows = [[atlas.link(one.nerve, here=CUFF), of_100(atlas, one.needed_in)] for one in under.nerves]
            headings = [words("teach.coverage.table.nerve"), words("teach.cuff.needed")]
            parts.append(one_line(table(words(f"teach.cuff.site.{site}"), headings, rows, numbers=(1,))))
            records = [file.territories[one] for one in cuff.territories]
            sources = "; ".join(dict.fromkeys(rests_on(atlas, one, here=CUFF) for one in records))
            parts.append(f"{words('teach.cuff.skin')} <span class='ww-source'>{sources}.</span>\n")
        if cuff.nerves_above:
            parts.append(words("teach.cuff.above") + "\n")
            parts.append("\n".join(f"- {words(f'teach.above.{nerve}')}" for nerve in cuff.nerves_above) + "\n")
    findings = [branches.findings[id_] for id_ in teaching.cuff.findings]
    rows = [
        [
            said(atlas, one.says),
            str(one.n) if one.n is not None else words("teach.not_stated"),
            rests_on(atlas, one, here=CUFF) + (f"; {said(atlas, one.note)}" if one.note is not None else ""),
        ]
        for one in findings
    ]
    headings = [words(f"teach.cuff.table.{one}") for one in ("finding", "n", "source")]
    parts.append(
        f"## {words('teach.cuff.differ')}\n\n{one_line(table(words('teach.cuff.differ'), headings, rows, numbers=(1,)))}"
    )
    parts.append(f"{statements(atlas, teaching.cuff.says, here=CUFF, fallback=teaching.cuff)}\n")
    rows = [
        [
            plain(words(f"quiz.operation.{id_}")),
            words(f"teach.cuff.short.{record.cuff.site}"),
            words("teach.cuff.minutes", minutes=f"{record.cuff.minutes:g}") if record.cuff.minutes > 0 else "",
        ]
        for id_, record in atlas.dataset.operations.operations.items()
    ]
    headings = [words("teach.cuff.table.operation"), words("teach.cuff.title"), words("teach.cuff.table.time")]
    parts.append(
        f"## {words('teach.cuff.list')}\n\n{one_line(table(words('teach.cuff.list'), headings, rows, numbers=(2,)))}"
    )
    return "\n".join(parts)


def incomplete_page(atlas: Atlas) -> str:
    """Return the page on how a block turns out incomplete."""
    words, branches = atlas.words, atlas.dataset.branches
    parts = [begin(atlas, "incomplete")]
    for reason in atlas.dataset.teaching.reasons:
        parts.append(f"## {words(f'teach.reason.{reason.id}')}\n")
        parts.append(f"{statements(atlas, reason.says, here=INCOMPLETE, fallback=reason)}")
        for asked in reason.computed:
            parts.append(f"- {_computed(atlas, asked)}")
        for id_ in reason.findings:
            parts.append(f"- {statement(atlas, branches.findings[id_], here=INCOMPLETE)}")
        parts += _variant_lines(atlas, reason.variants, here=INCOMPLETE)
        parts.append("")
    return "\n".join(parts)


def computed_share(dataset: Dataset, asked: ComputedRecord) -> float:
    """Return the chance that a record of teaching.yaml asks for, of arms that have the event, by take-off."""
    model = block_model(dataset)
    found = chances(model, model.blocks[asked.nerve], reading="take_off", z_mm=[asked.z_mm], volume_ml=asked.volume_ml)
    caught = float(found.caught[asked.event][0])
    return caught if asked.asks == "caught" else 1 - caught


def _computed(atlas: Atlas, asked: ComputedRecord) -> str:
    return atlas.words(
        f"teach.incomplete.{asked.asks}",
        nerve=plain(atlas.structures[asked.nerve].name),
        where=height_words(asked.z_mm, atlas.dataset.words),
        ml=f"{asked.volume_ml:g}",
        event=atlas.words(f"block.event.{asked.event}"),
        share=of_100(atlas, computed_share(atlas.dataset, asked)),
    )


def _variant_lines(atlas: Atlas, variants: Iterable[str], *, here: str) -> list[str]:
    return [f"- {variant_words(atlas, id_, here=here)}" for id_ in variants]


def look_alikes_page(atlas: Atlas) -> str:
    """Return the page on structures that are taken for one another, each with its piece of a section."""
    words = atlas.words
    parts = [begin(atlas, "look_alikes")]
    for record in atlas.dataset.teaching.look_alikes:
        title = words(f"teach.look_alike.{record.id}")
        parts.append(f"## {title}\n\n{one_line(_picture(atlas, record, title))}")
        parts.append(statements(atlas, record.says, here=LOOK_ALIKES, fallback=record))
        parts += _variant_lines(atlas, record.variants, here=LOOK_ALIKES)
        parts.append("")
    return "\n".join(parts)


def _picture(atlas: Atlas, record: LookAlikeRecord, title: str) -> str:
    section = atlas.sections[round(record.z_mm)]
    legend, words = legend_of(atlas.dataset), atlas.dataset.words
    added = []
    for shape in record.added:
        at = cut_of(section, shape.at).centre_mm
        centre = (at[0] + shape.offset_mm[0], at[1] + shape.offset_mm[1])
        added.append(Added(centre_mm=centre, width_mm=shape.size_mm[0], height_mm=shape.size_mm[1]))
    svg = draw_crop(
        section,
        legend,
        words,
        figure_id=f"l-{record.id.replace('_', '-')}",
        structures=record.structures,
        half_width_mm=record.half_width_mm,
        title=title,
        added=added,
    )
    first = record.structures[0]
    items = []
    for structure in record.structures:
        measured = atlas.measured(structure, round(record.z_mm))
        told = f"{atlas.structures[structure].name}, {depth_words(measured.depth_mm, words)}"
        if structure != first:
            told += ", " + gap_words(gap_mm(section, structure, first), atlas.structures[first].name, words)
        items.append(f"<li>{escape(told)}</li>")
    items += [f"<li>{escape(atlas.words(f'teach.added.{shape.label}'))}</li>" for shape in record.added]
    where = atlas.words("teach.look_alikes.where", where=height_words(record.z_mm, words))
    return f'<figure class="t-crop">{svg}<figcaption>{where}<ol>{"".join(items)}</ol></figcaption></figure>'


def complications_page(atlas: Atlas) -> str:
    """Return the page of headings on complications; what to do stands in guidance, not here."""
    words = atlas.words
    heads = atlas.dataset.teaching.signposts
    return (
        begin(atlas, "complications")
        + f"\n{words('teach.complications.read')}\n\n"
        + "\n".join(f"- {words(f'teach.signpost.{one}')}" for one in heads)
        + f"\n\n## {words('teach.complications.where_title')}\n\n{words('teach.complications.where')}\n"
    )

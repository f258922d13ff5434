"""The page of one nerve, vessel or muscle: course, presence, depth and gap along the arm, company, facts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wristward.data.records.structure import Beside, CourseRun, Supply
from wristward.measure.text import short_height
from wristward.pages import figures
from wristward.pages.atlas import Atlas
from wristward.pages.facts import fact_list, rests_on, said
from wristward.pages.markdown import address, definitions, front_matter, plain, table

FEW = 3
"""Levels that do not say how a structure runs from its beginning to its end."""


def structure_page(atlas: Atlas, structure_id: str) -> str:
    """Return the page about a structure as Markdown.

    Args:
        atlas: Names, words and sections.
        structure_id: A structure with a page of its own.
    """
    here = atlas.own_page(structure_id)
    record = atlas.structures[structure_id]
    words = atlas.words
    title = atlas.title(structure_id)
    parts = [front_matter(title=title, description=_description(atlas, structure_id)), f"# {plain(title)}\n"]
    parts.append(_glance(atlas, structure_id, here=here))
    cut = atlas.cut_at(structure_id)
    if cut:
        parts.append(f"## {words('site.structure.where_cut')}\n")
        parts.append(figures.structure_figure(atlas, structure_id, z_mm=_middle(atlas, cut), here=here))
    course = _course(atlas, structure_id, here=here)
    if course:
        parts.append(f"## {words('site.structure.course')}\n\n{course}\n")
    if cut and not record.is_group:
        charts = figures.structure_charts(atlas, structure_id, here=here, z_mm=_middle(atlas, cut))
        parts.append(f"## {words('site.structure.along')}\n\n{charts}\n")
        parts.append(f"## {words('site.structure.at_levels')}\n\n{_levels(atlas, structure_id, here=here)}\n")
        parts.append(f"{words('site.structure.drawn_note')}\n{{ .ww-source }}\n")
    facts = fact_list(atlas, record.facts, here=here, fallback=record) or words("site.structure.no_facts")
    parts.append(f"## {words('site.structure.facts')}\n\n{facts}\n")
    if record.kind == "nerve":
        parts.append(figures.quiz(atlas, here=here, topic=structure_id))
    return "\n".join(parts)


def _description(atlas: Atlas, structure_id: str) -> str:
    return f"{atlas.title(structure_id)}, {atlas.heights.between(*atlas.ends(structure_id))}."


def _middle(atlas: Atlas, cut: list[int]) -> int:
    """Return the level nearest the middle of what is cut; the middle itself where levels lie only toward its ends."""
    middle, reach = (cut[0] + cut[-1]) / 2, (cut[0] - cut[-1]) / 4
    levels = [z_mm for z_mm in map(round, atlas.levels) if z_mm in cut and abs(z_mm - middle) <= reach]
    return min(levels or cut, key=lambda z_mm: (abs(z_mm - middle), z_mm))


def _glance(atlas: Atlas, structure_id: str, *, here: str) -> str:
    record = atlas.structures[structure_id]
    words = atlas.words
    rows = []
    if record.latin is not None:
        rows.append(("latin", f"*{plain(record.latin)}*"))
    if record.short is not None:
        rows.append(("short", plain(record.short)))
    rows.append(("presence", _presence(atlas, structure_id)))
    rows.extend(_muscle_rows(atlas, structure_id, here=here) if record.kind == "muscle" else ())
    if record.kind != "muscle":
        rows.extend(_running_rows(atlas, structure_id, here=here))
    source = rests_on(atlas, record, here=here)
    table_ = definitions((words(f"site.structure.{key}"), text) for key, text in rows)
    return (
        f"{table_}\n\n{words('site.facts.drawn_from', source=source)}\n{{ .ww-source }}\n" if source else table_ + "\n"
    )


def _presence(atlas: Atlas, structure_id: str) -> str:
    record = atlas.structures[structure_id]
    ends = atlas.heights.between(*atlas.ends(structure_id))
    beyond = (record.goes_on.proximal, record.goes_on.distal)
    which = {(True, True): "both", (True, False): "proximal", (False, True): "distal"}.get(beyond)
    return ends if which is None else f"{ends}. {atlas.words(f'site.structure.beyond_{which}')}"


def _muscle_rows(atlas: Atlas, structure_id: str, *, here: str) -> Iterator[tuple[str, str]]:
    record = atlas.structures[structure_id]
    if record.belly is not None:
        yield "belly", atlas.heights.between(record.belly.from_z_mm, record.belly.to_z_mm)
    if record.compartment is not None:
        yield "compartment", atlas.words(f"site.compartments.{record.compartment}")
    if record.supply:
        yield "supply", ", ".join(_supply(atlas, supply, here=here) for supply in record.supply)
    if record.actions is not None:
        yield "actions", said(atlas, record.actions.says)
    if record.part_of is not None:
        yield "part_of", atlas.link(record.part_of, here=here)
    if record.parts:
        yield "parts", atlas.links(record.parts, here=here)
    tendons = _members(atlas, structure_id, kind="tendon")
    if tendons:
        yield "tendons", ", ".join(plain(atlas.structures[tendon].name) for tendon in tendons)


def _supply(atlas: Atlas, supply: Supply, *, here: str) -> str:
    link = atlas.link(supply.nerve, here=here)
    return (
        link if supply.share == 1 else atlas.words("site.structure.share", name=link, percent=round(100 * supply.share))
    )


def _running_rows(atlas: Atlas, structure_id: str, *, here: str) -> Iterator[tuple[str, str]]:
    record = atlas.structures[structure_id]
    if record.part_of is not None:
        yield "branch_of", atlas.link(record.part_of, here=here)
    branches = _members(atlas, structure_id, kind=record.kind)
    if branches:
        yield "branches", atlas.links(branches, here=here)
    if record.kind == "nerve":
        muscles = [
            muscle
            for muscle in atlas.of_kind("muscle")
            if any(supply.nerve == structure_id for supply in atlas.structures[muscle].supply)
            and not _stands_under_a_whole(atlas, muscle, structure_id)
        ]
        yield "supplies", atlas.links(muscles, here=here) or atlas.words("site.structure.no_supplies")
    if record.partner is not None:
        yield "partner", atlas.link(record.partner, here=here)


def _stands_under_a_whole(atlas: Atlas, muscle: str, nerve: str) -> bool:
    """Say whether the muscle is a part of one that the same nerve supplies and that is listed already."""
    whole = atlas.structures[muscle].part_of
    return whole is not None and any(supply.nerve == nerve for supply in atlas.structures[whole].supply)


def _members(atlas: Atlas, structure_id: str, *, kind: str) -> list[str]:
    return [other for other in atlas.of_kind(kind) if atlas.structures[other].part_of == structure_id]


def _course(atlas: Atlas, structure_id: str, *, here: str) -> str:
    record = atlas.structures[structure_id]
    words = atlas.words
    runs = record.course
    lines = [f"- {atlas.heights.between(run.from_z_mm, run.to_z_mm)}: {_run(atlas, run, here=here)}" for run in runs]
    beside = record.beside
    if beside and not runs:
        lines.append("- " + words("site.structure.course_none", structures=_company(atlas, beside, here=here)))
    if len(runs) > 1:
        lines.append(f"\n{words('site.structure.course_gaps')}")
    return "\n".join(lines)


def _company(atlas: Atlas, beside: Iterable[Beside], *, here: str) -> str:
    return atlas.links(dict.fromkeys(one.structure for one in beside), here=here)


def _run(atlas: Atlas, run: CourseRun, *, here: str) -> str:
    words = atlas.words
    if run.seam is not None:
        first, second = (atlas.link(side, here=here) for side in run.seam)
        return words("site.structure.course_seam", first=first, second=second)
    if run.in_ == "subcutaneous":
        return words("site.structure.course_subcutaneous")
    if run.in_ is not None:
        return words("site.structure.course_in", structure=atlas.link(run.in_, here=here))
    if run.on is None:
        return words("site.structure.course_free")
    structure = atlas.link(run.on, here=here)
    if run.side is None:
        return words("site.structure.course_on", structure=structure)
    side = words(f"site.structure.sides.{run.side}")
    return words("site.structure.course_on_side", side=side, structure=structure)


def _levels(atlas: Atlas, structure_id: str, *, here: str) -> str:
    """Return the table of what is measured at each level that cuts the structure, and at its ends where few do."""
    words = atlas.words
    partner = atlas.structures[structure_id].partner
    headings = [words("site.structure.table.level"), words("site.structure.table.depth")]
    headings.append(words("site.structure.table.bearing"))
    if partner is not None:
        headings.append(words("site.structure.table.gap", partner=plain(atlas.structures[partner].name)))
    if atlas.structures[structure_id].kind == "muscle":
        headings.append(words("site.structure.table.area"))
    headings.append(words("site.structure.table.neighbours"))
    heights: list[float] = [z_mm for z_mm in atlas.levels if atlas.measure(structure_id, round(z_mm)) is not None]
    if len(heights) < FEW:
        cut = atlas.cut_at(structure_id)
        heights = sorted({*heights, cut[0], cut[-1]}, reverse=True)
    return table(headings, [_level_row(atlas, structure_id, z_mm, partner=partner, here=here) for z_mm in heights])


def _level_row(atlas: Atlas, structure_id: str, z_mm: float, *, partner: str | None, here: str) -> list[str]:
    words = atlas.words
    measured = atlas.measured(structure_id, round(z_mm))
    height = short_height(z_mm, atlas.dataset.words)
    row = [f"[{height}]({address(atlas.height_page(z_mm), here=here)})"]
    row.append(words("site.structure.depth", mm=round(measured.depth_mm)))
    row.append(plain(figures.bearing_words(atlas, measured.bearing_deg)))
    if partner is not None:
        gap = measured.partner_gap_mm
        row.append("–" if gap is None else words("site.structure.depth", mm=f"{gap:.1f}"))
    if atlas.structures[structure_id].kind == "muscle":
        row.append(words("site.structure.area", mm2=round(measured.area_mm2)))
    row.append(atlas.links((near.id for near in measured.neighbours), here=here))
    return row

"""The worked cases: from the operation to nerves, levels, what is seen there, volumes, movement and cuff."""

from __future__ import annotations

from typing import Any

from wristward.block.blocks import READINGS, block_model
from wristward.block.chance import chances
from wristward.block.coverage_report import cover_of, coverage_report
from wristward.block.report import spared_finding
from wristward.data.dataset import Dataset
from wristward.data.records.scenario import OperationRecord
from wristward.data.records.teaching import CaseRecord
from wristward.figure import telling as told
from wristward.figure.hand import hand_style
from wristward.figure.legend import legend_of
from wristward.measure.measures import StructureMeasure
from wristward.measure.text import height_words, in_cm
from wristward.pages import figures
from wristward.pages.atlas import Atlas, GeneratedPage
from wristward.pages.blocks.common import (
    CASES,
    COVERAGE,
    CUFF,
    STAYS,
    begin,
    link_to,
    nerve_names,
    of_100,
    of_hands,
    page_of,
    statement,
    statements,
)
from wristward.pages.blocks.coverage import operation_cover
from wristward.pages.blocks.dose import dose_text
from wristward.pages.blocks.signs import sign_rows, sign_table
from wristward.pages.html import one_line
from wristward.pages.markdown import front_matter, plain


def case_pages(atlas: Atlas) -> list[GeneratedPage]:
    """Return the list of cases and a page for each."""
    words, cases = atlas.words, atlas.dataset.teaching.cases
    lines = [f"- {link_to(address_of(case), _name(atlas, case), here=CASES)}: {_story(atlas, case)}" for case in cases]
    index = begin(atlas, "cases") + "\n" + "\n".join(lines) + "\n"
    pages = [page_of(atlas, CASES, words("teach.cases.title"), index)]
    for case in cases:
        pages.append(page_of(atlas, address_of(case), _name(atlas, case), case_page(atlas, case)))
    return pages


def address_of(case: CaseRecord) -> str:
    """Return the address of a case's page."""
    return f"cases/{case.operation}.md"


def case_page(atlas: Atlas, case: CaseRecord) -> str:
    """Return the page of one case."""
    words, here = atlas.words, address_of(case)
    record = atlas.dataset.operations.operations[case.operation]
    title, story = _name(atlas, case), _story(atlas, case)
    parts = [
        front_matter(title=title, description=story),
        f"# {title}\n\n{story}\n\n{words('teach.cases.caution')}\n{{ .ww-source }}\n",
        f"{statements(atlas, case.says, here=here, fallback=case)}\n",
        f"## {words('teach.cases.nerves')}\n",
        one_line(hand_style(atlas.dataset.hand_map)),
        operation_cover(atlas, case.operation, here=here),
        f"{_plan(atlas, case.operation, record)}\n",
        f"{words('teach.cases.coverage', link=link_to(COVERAGE, words('teach.coverage.title'), here=here))}\n",
        f"## {words('teach.cases.levels')}\n",
    ]
    for (nerve, z_mm), volume_ml in places_of(record).items():
        parts.append(_place(atlas, nerve, round(z_mm), volume_ml, here=here))
    dose_title = words("teach.cases.dose", kg=f"{record.person_kg:g}")
    parts.append(f"## {dose_title}\n\n{dose_text(atlas, case.operation, here=here)}")
    parts.append(f"## {words('teach.cases.moves')}\n\n{_moves(atlas, record, here=here)}")
    parts.append(f"## {words('teach.cuff.title')}\n\n{_cuff(atlas, record, here=here)}")
    return "\n".join(parts)


def places_of(record: OperationRecord) -> dict[tuple[str, float], float]:
    """Return the volume put at each nerve and level, mL; two injections at one place wet the nerve together."""
    found: dict[tuple[str, float], float] = {}
    for one in record.injections:
        if one.level_mm is None:
            continue
        found[one.nerve, one.level_mm] = found.get((one.nerve, one.level_mm), 0.0) + one.volume_ml
    return found


def _name(atlas: Atlas, case: CaseRecord) -> str:
    return atlas.words(f"quiz.operation.{case.operation}")


def _story(atlas: Atlas, case: CaseRecord) -> str:
    record = atlas.dataset.operations.operations[case.operation]
    return atlas.words(f"teach.case.{case.operation}", kg=f"{record.person_kg:g}", minutes=f"{record.cuff.minutes:g}")


def _plan(atlas: Atlas, operation: str, record: OperationRecord) -> str:
    """Say what the story blocks, what it leaves out and what it adds to the need."""
    words = atlas.words
    layers = coverage_report(atlas.dataset, operation).layers
    shares = {one.nerve: one.needed_in for one in layers["all"].nerves}
    under = [one.nerve for one in layers.get("with_cuff", layers["all"]).nerves]
    blocked = list(dict.fromkeys(one.nerve for one in record.injections))
    left = [nerve for nerve in shares if nerve not in blocked]
    awake = [nerve for nerve in under if nerve not in shares and nerve not in blocked]
    extra = [nerve for nerve in blocked if nerve not in under]
    lines = [words("teach.cases.blocks", nerves=nerve_names(atlas, blocked))]
    if left:
        told_ = atlas.words("teach.and").join(
            words(
                "teach.coverage.left_out",
                nerve=plain(atlas.structures[nerve].name),
                share=of_hands(atlas, shares[nerve]),
            )
            for nerve in left
        )
        lines.append(words("teach.cases.left", nerves=told_))
    if awake:
        lines.append(words("teach.cases.awake", nerves=nerve_names(atlas, awake)))
    if extra:
        lines.append(words("teach.cases.extra", nerves=nerve_names(atlas, extra)))
    return "\n".join(f"- {line}" for line in lines)


def _place(atlas: Atlas, nerve: str, z_mm: int, volume_ml: float, *, here: str) -> str:
    words = atlas.words
    where = height_words(z_mm, atlas.dataset.words)
    parts = [f"### {words('teach.cases.place', nerve=plain(atlas.title(nerve)), where=where, ml=f'{volume_ml:g}')}\n"]
    measured = atlas.measure(nerve, z_mm)
    if measured is None:
        parts.append(words("teach.cases.not_cut", nerve=plain(atlas.structures[nerve].name)) + "\n")
    else:
        parts.append(figures.structure_figure(atlas, nerve, z_mm=z_mm, here=here))
        parts.append(f"{plain(seen_words(atlas, measured))}\n")
    parts.append(f"{_chances(atlas, nerve, z_mm, volume_ml)}\n")
    return "\n".join(parts)


def seen_words(atlas: Atlas, measured: StructureMeasure) -> str:
    """Return what lies round a structure, computed from the section's measures."""
    words, legend = atlas.dataset.words, legend_of(atlas.dataset)
    near = "; ".join(told.gap_words(one.gap_mm, legend[one.id].name, words) for one in measured.neighbours)
    text = atlas.words(
        "teach.cases.see",
        name=atlas.structures[measured.id].name,
        depth=told.depth_words(measured.depth_mm, words),
        way=words[f"figure.way.{legend.directions.eighths[measured.eighth]}"],
        layer=atlas.words(f"teach.place.{measured.layer}"),
        near=near,
    )
    if measured.partner is not None and measured.partner_gap_mm is not None:
        gap = told.gap_words(measured.partner_gap_mm, legend[measured.partner].name, words)
        text += " " + atlas.words("teach.cases.partner", gap=gap)
    return plain(text)


def place_chances(dataset: Dataset, nerve: str, *, z_mm: float, volume_ml: float) -> dict[str, dict[str, Any]] | None:
    """Return the chances of a block at one level under each reading, or None where the model has no such block."""
    model = block_model(dataset)
    if nerve not in model.blocks:
        return None
    found: dict[str, dict[str, Any]] = {}
    for reading in READINGS:
        one = chances(model, model.blocks[nerve], reading=reading, z_mm=[z_mm], volume_ml=volume_ml)
        found[reading] = {
            "wanted": float(one.wanted[0]),
            "spared": float(one.spared[0]),
            "both": float(one.both[0]),
            "caught": {event: float(values[0]) for event, values in one.caught.items()},
        }
    return found


def _chances(atlas: Atlas, nerve: str, z_mm: int, volume_ml: float) -> str:
    words = atlas.words
    found = place_chances(atlas.dataset, nerve, z_mm=z_mm, volume_ml=volume_ml)
    if found is None:
        return words("teach.cases.no_window", nerve=plain(atlas.structures[nerve].name))
    block_ = block_model(atlas.dataset).blocks[nerve]
    lines = []
    for event in (*block_.wanted, *block_.apart):
        share = of_100(atlas, found["take_off"]["caught"][event])
        lines.append(words("teach.cases.caught", event=words(f"block.event.{event}"), share=share))
    if block_.unwanted:
        shares = {reading: of_100(atlas, found[reading]["spared"]) for reading in READINGS}
        lines.append(words("teach.cases.spared", **shares))
        shares = {reading: of_100(atlas, found[reading]["both"]) for reading in READINGS}
        lines.append(words("teach.cases.both", **shares))
    spread = block_model(atlas.dataset).spread
    lines.append(words("teach.cases.assumed", ml=f"{volume_ml:g}", cm=in_cm(spread.mean_length_mm(volume_ml))))
    return "\n".join(f"- {line}" for line in lines)


def _moves(atlas: Atlas, record: OperationRecord, *, here: str) -> str:
    words, teaching = atlas.words, atlas.dataset.teaching
    parts = []
    for key in ("lost", "remain"):
        rows = [
            row
            for (nerve, z_mm), volume_ml in places_of(record).items()
            if nerve in teaching.nerves
            for row in sign_rows(
                atlas, nerve, teaching.nerves[nerve].signs[key], here=here, z_mm=z_mm, volume_ml=volume_ml
            )
        ]
        heading = words(f"teach.signs.{key}")
        if rows:
            parts.append(f"**{heading}**\n\n{sign_table(atlas, heading, rows)}")
        else:
            parts.append(f"**{heading}** {words('teach.signs.nothing')}\n")
    finding = spared_finding(atlas.dataset)
    if finding is not None:
        parts.append(f"{statement(atlas, finding, here=here)}\n")
    parts.append(words("teach.cases.stays", link=link_to(STAYS, words("teach.stays.title"), here=here)) + "\n")
    return "\n".join(parts)


def _cuff(atlas: Atlas, record: OperationRecord, *, here: str) -> str:
    words = atlas.words
    site = record.cuff.site
    lines = [words(f"teach.cuff_site.{site}", minutes=f"{record.cuff.minutes:g}") + "."]
    cuff = atlas.dataset.territories.cuffs.get(site) if site != "none" else None
    if cuff is not None:
        lines.append(statement(atlas, cuff, here=here))
        if cuff.territories:
            under = cover_of(atlas.dataset, cuff.territories, covered_at_least=1.0)
            nerves = nerve_names(atlas, [one.nerve for one in under.nerves])
            lines.append(words("teach.cuff.under", nerves=nerves))
        if cuff.nerves_above:
            names = words("teach.and").join(words(f"teach.above.{nerve}") for nerve in cuff.nerves_above)
            lines.append(words("teach.cuff.over", nerves=names))
    lines.append(words("teach.cases.cuff_more", link=link_to(CUFF, words("teach.cuff.title"), here=here)))
    return "\n".join(f"- {line}" for line in lines) + "\n"

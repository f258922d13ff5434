"""The pages Testing a block and What stays, what goes: skin least shared, movements lost and kept, and their chances."""

from __future__ import annotations

from collections.abc import Iterable

from wristward.block.blocks import READINGS, block_model
from wristward.block.chance import chances
from wristward.block.coverage_report import territory_name
from wristward.block.report import spared_words, window_report
from wristward.block.skin_alone import skin_alone
from wristward.data.dataset import Dataset
from wristward.measure.text import capital, height_words
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.common import (
    BRANCHES,
    STAYS,
    TESTING,
    begin,
    link_to,
    nerve_title,
    of_100,
    statement,
    statements,
    variant_words,
)
from wristward.pages.facts import rests_on, said
from wristward.pages.html import one_line, table
from wristward.pages.markdown import plain

MOST_PATCHES = 3


def testing_page(atlas: Atlas) -> str:
    """Return the page on how each nerve's block is tested."""
    words, teaching = atlas.words, atlas.dataset.teaching
    ml = atlas.dataset.branches.spread.default_ml
    parts = [begin(atlas, "testing"), words("teach.testing.read", ml=f"{ml:g}") + "\n"]
    for nerve, record in teaching.nerves.items():
        parts.append(f"## {nerve_title(atlas, nerve)}\n\n### {words('teach.testing.skin')}\n")
        parts.append(one_line(_skin(atlas, nerve)))
        parts.append(f"### {words('teach.testing.movement')}\n")
        z_mm = best_level_mm(atlas.dataset, nerve, volume_ml=ml)
        if record.remain:
            parts.append(
                words("teach.testing.level", where=height_words(z_mm, atlas.dataset.words), ml=f"{ml:g}") + "\n"
            )
        for key, signs in record.signs.items():
            rows = list(sign_rows(atlas, nerve, signs, here=TESTING, z_mm=z_mm, volume_ml=ml))
            if rows:
                label = words(f"teach.signs.{key}")
                named = words("teach.labelled", what=label, nerve=atlas.structures[nerve].name)
                parts.append(f"**{label}**\n\n{sign_table(atlas, named, rows)}")
                parts.append(_caveats(atlas, signs))
        parts.append(f"{statements(atlas, record.notes, here=TESTING, fallback=record)}\n")
    return "\n".join(parts)


def best_level_mm(dataset: Dataset, nerve: str, *, volume_ml: float) -> float:
    """Return the level at which a block most often does what it should, by parting, mm."""
    report = window_report(dataset, nerve=nerve, volume_ml=volume_ml, reading="parting")
    best_mm: float = report.windows["parting"].best_mm
    return best_mm


def spared_share(
    dataset: Dataset, nerve: str, event: str, *, reading: str, z_mm: float, volume_ml: float
) -> float | None:
    """Return how many arms keep an event above the wetted stretch of a nerve, or None where the model has no block."""
    model = block_model(dataset)
    if nerve not in model.blocks or event not in model.blocks[nerve].unwanted:
        return None
    found = chances(model, model.blocks[nerve], reading=reading, z_mm=[z_mm], volume_ml=volume_ml)
    return 1 - float(found.caught[event][0])


def sign_rows(
    atlas: Atlas, nerve: str, signs: Iterable[str], *, here: str, z_mm: float, volume_ml: float
) -> Iterable[list[str]]:
    """Yield a table row for each sign: muscle, what to ask, chance spared under both readings, source."""
    records = atlas.dataset.teaching.signs
    for id_ in signs:
        record = records[id_]
        name = plain(capital(record.name))
        if record.muscle is not None:
            name = atlas.link(record.muscle, here=here, label=capital(record.name))
        shares = []
        for reading in READINGS:
            share = None
            if record.branch is not None:
                share = spared_share(
                    atlas.dataset, nerve, record.branch, reading=reading, z_mm=z_mm, volume_ml=volume_ml
                )
            shares.append("" if share is None else of_100(atlas, share))
        yield [name, said(atlas, record.says), *shares, rests_on(atlas, record, here=here)]


def sign_table(atlas: Atlas, label: str, rows: Iterable[list[str]]) -> str:
    """Return rows of ``sign_rows`` as a table."""
    headings = [atlas.words(f"teach.signs.table.{one}") for one in ("muscle", "ask", "take_off", "parting", "source")]
    return one_line(table(label, headings, rows, numbers=(2, 3)))


def _caveats(atlas: Atlas, signs: Iterable[str]) -> str:
    lines = []
    for id_ in signs:
        record = atlas.dataset.teaching.signs[id_]
        name = plain(capital(record.name))
        lines += [f"- **{name}.** {statement(atlas, one, here=TESTING, fallback=record)}" for one in record.caveats]
        lines += [f"- **{name}.** {variant_words(atlas, variant, here=TESTING)}" for variant in record.variants]
    return "\n".join(lines) + "\n"


def _skin(atlas: Atlas, nerve: str) -> str:
    words, file = atlas.words, atlas.dataset.territories
    rows = []
    for one in skin_alone(file, nerve)[:MOST_PATCHES]:
        above = words("teach.and").join(words(f"block.event.{event}") for event in one.by)
        rows.append(
            [
                plain(territory_name(atlas.dataset.words, one.territory)),
                of_100(atlas, one.alone),
                of_100(atlas, one.served),
                above,
                rests_on(atlas, file.territories[one.territory], here=TESTING),
            ]
        )
    headings = [words(f"teach.testing.table.{one}") for one in ("patch", "alone", "served", "above", "source")]
    return table(words("teach.testing.skin_of", nerve=atlas.structures[nerve].name), headings, rows, numbers=(1, 2))


def stays_page(atlas: Atlas) -> str:
    """Return the page on what a block takes and what it leaves, nerve by nerve."""
    words, teaching, branches = atlas.words, atlas.dataset.teaching, atlas.dataset.branches
    ml = branches.spread.default_ml
    parts = [begin(atlas, "stays"), f"{statements(atlas, teaching.stays, here=STAYS)}\n"]
    findings = [branches.findings[id_] for id_ in teaching.stays_findings]
    parts.append(f"{statements(atlas, findings, here=STAYS)}\n")
    for nerve in branches.blocks:
        parts.append(f"## {nerve_title(atlas, nerve)}\n")
        report = window_report(atlas.dataset, nerve=nerve, volume_ml=ml, reading="parting")
        parts.append(f"{plain(report.sentence)}\n{{ .t-repeat }}\n")
        parts.append(one_line(_goes(atlas, nerve)))
        if branches.blocks[nerve].unwanted:
            parts.append(f"### {words('teach.stays.spared')}\n")
            z_mm = report.windows["parting"].best_mm
            parts.append(
                words("teach.testing.level", where=height_words(z_mm, atlas.dataset.words), ml=f"{ml:g}") + "\n"
            )
            parts.append(one_line(_stays(atlas, nerve, z_mm, ml)))
            spared = spared_words(atlas.dataset)
            parts += [] if spared is None else [f"{plain(spared)}\n"]
        else:
            parts.append(words("teach.stays.no_muscle") + "\n")
    parts.append(words("teach.stays.more", link=link_to(BRANCHES, words("teach.branches.title"), here=STAYS)) + "\n")
    return "\n".join(parts)


def _goes(atlas: Atlas, nerve: str) -> str:
    """Return what a nerve serves in the usual hand, with its share: skin, and what lies deep."""
    words, file = atlas.words, atlas.dataset.territories
    rows = []
    for id_, record in file.territories.items():
        share = sum(part.share for part in record.supply if part.nerve == nerve)
        if share >= file.patch_at_least:
            by = [part.by for part in record.supply if part.nerve == nerve and part.by is not None]
            rows.append(
                [
                    plain(territory_name(atlas.dataset.words, id_)),
                    words(f"teach.kind.{record.kind}"),
                    f"{round(100 * share)} %",
                    words("teach.and").join(words(f"block.event.{event}") for event in by),
                    rests_on(atlas, record, here=STAYS),
                ]
            )
    headings = [words(f"teach.stays.table.{one}") for one in ("goes", "kind", "share", "above", "source")]
    label = words("teach.stays.goes", nerve=atlas.structures[nerve].name)
    return table(label, headings, rows, numbers=(2,)) if rows else words("teach.stays.nothing")


def _stays(atlas: Atlas, nerve: str, z_mm: float, volume_ml: float) -> str:
    words, branches = atlas.words, atlas.dataset.branches
    rows = []
    for event in branches.blocks[nerve].unwanted:
        record = branches.branches[event]
        muscles = atlas.links(record.muscles, here=STAYS) or words("teach.stays.by_branch")
        found = (
            spared_share(atlas.dataset, nerve, event, reading=one, z_mm=z_mm, volume_ml=volume_ml) for one in READINGS
        )
        shares = [of_100(atlas, share) for share in found if share is not None]
        name = words(f"block.event.{event}")
        rows.append([plain(capital(name)), muscles, *shares, rests_on(atlas, record, here=STAYS)])
    headings = [words(f"teach.stays.table.{one}") for one in ("branch", "muscles", "take_off", "parting", "source")]
    label = words("teach.labelled", what=words("teach.stays.spared"), nerve=atlas.structures[nerve].name)
    return table(label, headings, rows, numbers=(2, 3))

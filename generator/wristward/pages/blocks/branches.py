"""The pages Branches and Variants: every study beside the pooled value, and what variants change."""

from __future__ import annotations

from collections.abc import Sequence

from wristward.data.records.branch import AsPublished, BranchRecord, StudyRecord, VariantRecord
from wristward.figure.branch_dots import FROM_MM, Dot, Row, draw_branch_dots
from wristward.figure.share_dots import draw_share_dots
from wristward.measure.text import capital, in_cm
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.common import (
    BRANCHES,
    VARIANTS,
    begin,
    height,
    link_to,
    nerve_title,
    of_100,
    source_cell,
    stated,
)
from wristward.pages.facts import said, short_label
from wristward.pages.html import details, drawn_block, one_line, table
from wristward.pages.markdown import plain


def branches_page(atlas: Atlas) -> str:
    """Return the page on where branches leave, pierce and cross, nerve by nerve."""
    file = atlas.dataset.branches
    words = atlas.words
    example = {one.event: in_cm(one.mean_z_mm) for one in (file.branches[id_] for id_ in file.example)}
    parts = [begin(atlas, "branches"), f"## {words('teach.branches.three_title')}\n"]
    parts.append(words("teach.branches.three") + "\n")
    if example:
        parts.append(words("teach.branches.three_example", **example) + "\n")
    parts.append(f"## {words('teach.branches.read_title')}\n\n{words('teach.branches.read')}\n")
    for nerve in dict.fromkeys(record.parent for record in file.branches.values()):
        parts.append(_nerve(atlas, nerve))
    return "\n".join(parts)


def _nerve(atlas: Atlas, nerve: str) -> str:
    words = atlas.words
    records = {id_: one for id_, one in atlas.dataset.branches.branches.items() if one.parent == nerve}
    ordered = sorted(records.items(), key=lambda item: (-item[1].mean_z_mm, item[0]))
    drawn = [(id_, record) for id_, record in ordered if record.mean_z_mm <= FROM_MM]
    title = atlas.title(nerve)
    parts = [f"## {nerve_title(atlas, nerve)}\n"]
    if drawn:
        svg = draw_branch_dots(
            [_row(atlas, id_, record) for id_, record in drawn],
            atlas.dataset.words,
            title=words("teach.branches.chart", nerve=title),
            top_mm=float(atlas.dataset.region.reference_length_mm),
            chart_id=f"b-{nerve.replace('_', '-')}",
        )
        parts.append(drawn_block(svg))
    for id_, record in ordered:
        if record.mean_z_mm > FROM_MM:
            name = words(f"block.event.{id_}")
            parts.append(words("teach.branches.beyond", name=name, cm=in_cm(record.mean_z_mm)) + "\n")
    parts.append(one_line(_pooled(atlas, ordered, title)))
    differ = [(id_, record, record.disagreement) for id_, record in ordered if record.disagreement is not None]
    if differ:
        lines = [
            f"- **{plain(capital(words(f'block.event.{id_}')))}.** {stated(atlas, why, record, here=BRANCHES)}"
            for id_, record, why in differ
        ]
        parts.append(f"**{words('teach.branches.differ')}**\n\n" + "\n".join(lines) + "\n")
    parts.append(one_line(_studies(atlas, ordered, title)))
    return "\n".join(parts)


def _row(atlas: Atlas, id_: str, record: BranchRecord) -> Row:
    dots = [
        Dot(
            name=f"{number} {short_label(atlas, study.source)}",
            mean_mm=study.z_mm,
            sd_mm=study.sd_mm,
            range_mm=study.range_mm,
        )
        for number, study in enumerate(record.studies, start=1)
        if study.z_mm is not None or study.range_mm is not None
    ]
    return Row(
        name=capital(atlas.words(f"block.event.{id_}")),
        prevalence=of_100(atlas, record.prevalence),
        mean_mm=record.mean_z_mm,
        sd_mm=record.sd_mm,
        low_mm=record.min_z_mm,
        high_mm=record.max_z_mm,
        dots=dots,
    )


def _pooled(atlas: Atlas, ordered: Sequence[tuple[str, BranchRecord]], title: str) -> str:
    words = atlas.words
    rows = [
        [
            plain(capital(words(f"block.event.{id_}"))),
            words(f"teach.event.{record.event}"),
            in_cm(record.mean_z_mm),
            in_cm(record.sd_mm),
            words("teach.span", low=in_cm(record.min_z_mm), high=in_cm(record.max_z_mm)),
            of_100(atlas, record.prevalence),
            said(atlas, record.pooled, capital(record.pooled)),
            source_cell(atlas, record, here=BRANCHES),
        ]
        for id_, record in ordered
    ]
    columns = ("event", "kind", "mean", "sd", "range", "prevalence", "pooled", "source")
    label = words("teach.branches.pooled_of", nerve=title)
    return table(label, [words(f"teach.branches.table.{one}") for one in columns], rows, numbers=(2, 3, 4, 5))


def _studies(atlas: Atlas, ordered: Sequence[tuple[str, BranchRecord]], title: str) -> str:
    words = atlas.words
    rows = []
    for id_, record in ordered:
        for number, study in enumerate(record.studies, start=1):
            rows.append(
                [
                    f"{plain(capital(words(f'block.event.{id_}')))}, {number}",
                    _published(atlas, study.published),
                    _converted(atlas, study),
                    str(study.n) if study.n is not None else words("teach.not_stated"),
                    words(f"teach.of.{study.of}"),
                    words(f"teach.method.{study.method}") if study.method else words("teach.not_stated"),
                    _said(atlas, study),
                    source_cell(atlas, study, here=BRANCHES, fallback=record),
                ]
            )
    columns = ("study", "published", "converted", "n", "of", "method", "says", "source")
    label = words("teach.branches.studies_of", nerve=title)
    headings = [words(f"teach.branches.table.{one}") for one in columns]
    return details(label, table(label, headings, rows, numbers=(3,)))


def _published(atlas: Atlas, published: AsPublished | None) -> str:
    words = atlas.words
    if published is None:
        return words("teach.not_stated")
    unit = words(f"teach.unit.{published.unit}")
    parts = []
    if published.value is not None:
        parts.append(f"{published.value:g}" + (f" ({published.sd:g})" if published.sd is not None else ""))
    if published.range is not None:
        parts.append(words("teach.span", low=f"{published.range[0]:g}", high=f"{published.range[1]:g}"))
    text = f"{', '.join(parts)} {unit}"
    if published.landmark is not None and published.to is not None:
        mark = atlas.dataset.region.landmarks[published.landmark].name
        text += " " + words(f"teach.from.{published.to}", landmark=mark)
    return plain(text)


def _converted(atlas: Atlas, study: StudyRecord) -> str:
    parts = []
    if study.z_mm is not None:
        parts.append(height(atlas, study.z_mm) + (f" ({in_cm(study.sd_mm)})" if study.sd_mm is not None else ""))
    if study.range_mm is not None:
        parts.append(atlas.words("teach.span", low=in_cm(study.range_mm[0]), high=in_cm(study.range_mm[1])))
    if study.prevalence is not None:
        parts.append(atlas.words("teach.branches.present", share=of_100(atlas, study.prevalence)))
    return "; ".join(parts) or atlas.words("teach.not_stated")


def _said(atlas: Atlas, study: StudyRecord) -> str:
    told = [
        said(atlas, text, capital(text))
        for text in (study.says, study.conversion, study.population)
        if text is not None
    ]
    return ". ".join(told)


def variants_page(atlas: Atlas) -> str:
    """Return the page on variants: how often, what changes, and every study."""
    words = atlas.words
    parts = [begin(atlas, "variants"), words("teach.variants.read") + "\n", *_drawn_arms(atlas)]
    for id_, record in atlas.dataset.branches.variants.items():
        parts.append(f"## {words(f'teach.variant.{id_}')} {{ #{id_} }}\n")
        parts.append(drawn_block(_bars(atlas, id_, record)))
        interval = (
            words("teach.variants.interval", low=f"{100 * record.interval[0]:g}", high=f"{100 * record.interval[1]:g}")
            if record.interval is not None
            else ""
        )
        share = words("teach.variants.prevalence", percent=f"{100 * record.prevalence:g}", interval=interval)
        parts.append(f"{stated(atlas, share, record, here=VARIANTS)}\n")
        changed = record.model_copy(
            update={"source": record.changes_source, "confidence": None, "seen": None, "note": None}
        )
        parts.append(f"**{words('teach.variants.changes')}** {stated(atlas, record.changes, changed, here=VARIANTS)}\n")
        if record.note is not None:
            parts.append(f"{said(atlas, record.note, capital(record.note))}.\n")
        nerves = atlas.links(record.nerves, here=VARIANTS)
        parts.append(f"{words('teach.variants.nerves', nerves=nerves)}\n")
        for name in sorted(atlas.arms):
            if id_ in atlas.dataset.region.arms[name].variants:
                parts.append(f"{_arm_link(atlas, name, words('arms.variants.link'))}\n")
        parts.append(one_line(_variant_studies(atlas, id_, record)))
    return "\n".join(parts)


def _drawn_arms(atlas: Atlas) -> list[str]:
    """Return the list of arms that can be looked at, those without a share on this page too."""
    if not atlas.arms:
        return []
    words = atlas.words
    lines = [
        f"- {_arm_link(atlas, name, capital(words(f'client.arms.name.{name}')))}: {plain(words(f'arms.differs.{name}'))}"
        for name in sorted(atlas.arms)
    ]
    return [f"## {words('arms.variants.heading')}\n\n{words('arms.variants.lead')}\n", "\n".join(lines) + "\n"]


def _arm_link(atlas: Atlas, name: str, label: str) -> str:
    """Return a link that opens "Elbow to wrist" with an arm, at the height where it differs most plainly."""
    z_mm = atlas.dataset.region.arms[name].z_mm
    own = sorted(atlas.arms[name].own)
    height_mm = own[len(own) // 2] if z_mm is None else round(z_mm)
    return link_to(f"{atlas.travel_page}?arm={name}&z={height_mm}", label, here=VARIANTS)


def _bars(atlas: Atlas, id_: str, record: VariantRecord) -> str:
    return draw_share_dots(
        [(short_label(atlas, one.source), one.prevalence) for one in record.studies if one.prevalence is not None],
        prevalence=record.prevalence,
        interval=record.interval,
        title=atlas.words("teach.variants.chart", variant=atlas.words(f"teach.variant.{id_}")),
    )


def _variant_studies(atlas: Atlas, id_: str, record: VariantRecord) -> str:
    words = atlas.words
    rows = []
    for study in record.studies:
        found = words("teach.not_stated")
        if study.prevalence is not None:
            found = words("teach.variants.percent", percent=f"{100 * study.prevalence:g}")
        rows.append(
            [
                plain(short_label(atlas, study.source)),
                found,
                str(study.n) if study.n is not None else words("teach.not_stated"),
                words(f"teach.of.{study.of}"),
                words(f"teach.method.{study.method}") if study.method else words("teach.not_stated"),
                _said(atlas, study),
                source_cell(atlas, study, here=VARIANTS, fallback=record),
            ]
        )
    columns = ("study", "share", "n", "of", "method", "says", "source")
    label = words("teach.variants.studies_of", variant=words(f"teach.variant.{id_}"))
    return table(label, [words(f"teach.branches.table.{one}") for one in columns], rows, numbers=(1, 2))

"""The dose arithmetic of a worked case: percent times ten times volume, beside every printed limit."""

from __future__ import annotations

from collections.abc import Callable

from wristward.block.dose import DoseSum, DrugSum, LimitLine, dose_sum
from wristward.data.records.scenario import DrugsFile, OperationRecord
from wristward.measure.text import capital
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.common import statement
from wristward.pages.facts import rests_on, said
from wristward.pages.html import one_line, table
from wristward.pages.markdown import plain


def dose_text(atlas: Atlas, operation: str, *, here: str) -> str:
    """Return sums, limits and the caveat for an operation of the scenario that has injections."""
    words, drugs = atlas.words, atlas.dataset.drugs
    record = atlas.dataset.operations.operations[operation]
    sums = dose_sum(record, drugs)
    if sums is None:
        return ""
    parts = [words("teach.dose.rule", factor=f"{drugs.mg_per_ml_per_percent:g}") + "\n"]
    for drug in sums.drugs:
        parts.append(f"### {plain(capital(drug.name))}\n")
        parts.append(f"{_sum(atlas, record, drug, drugs)}\n{{ .t-sum }}\n")
        if drug.with_adrenaline:
            parts.append(words("teach.dose.adrenaline", ug=f"{drugs.adrenaline_ug_per_ml:g}") + "\n")
        parts.append(f"{_disagree(atlas, drug, sums.person_kg)}\n")
        parts.append(one_line(_limits(atlas, drug, sums.person_kg, here=here)))
    if len(sums.drugs) > 1:
        parts.append(f"{_mixed(atlas, sums)}\n{{ .t-sum }}\n")
    parts.append(f"{statement(atlas, drugs.caveat, here=here)}\n")
    parts.append(words("teach.dose.everything") + "\n")
    return "\n".join(parts)


def _sum(atlas: Atlas, record: OperationRecord, drug: DrugSum, drugs: DrugsFile) -> str:
    used = [one for one in record.injections if one.drug == drug.drug]
    lines = [
        atlas.words(
            "teach.dose.part",
            nerve=plain(atlas.title(one.nerve)),
            percent=f"{one.percent:g}",
            factor=f"{drugs.mg_per_ml_per_percent:g}",
            ml=f"{one.volume_ml:g}",
            mg=f"{mg:g}",
        )
        for one, mg in zip(used, drug.parts_mg, strict=True)
    ]
    if len(lines) > 1:
        lines.append(
            atlas.words("teach.dose.total", sum=" + ".join(f"{mg:g}" for mg in drug.parts_mg), mg=f"{drug.total_mg:g}")
        )
    return "<br>".join(lines)


def _disagree(atlas: Atlas, drug: DrugSum, person_kg: float) -> str:
    limits = sorted(line.limit_mg for line in drug.lines if line.applies and line.limit_mg is not None)
    low, high = limits[0], limits[-1]
    key = "teach.dose.agree" if low == high else "teach.dose.disagree"
    return atlas.words(key, low=f"{low:g}", high=f"{high:g}", kg=f"{person_kg:g}", mg=f"{drug.total_mg:g}")


def _limits(atlas: Atlas, drug: DrugSum, person_kg: float, *, here: str) -> str:
    words = atlas.words
    records = {one.id: one for one in atlas.dataset.drugs.drugs[drug.drug].limits}
    rows = []
    for line in sorted(drug.lines, key=lambda one: not one.applies):
        note = f"; {said(atlas, line.note)}" if line.note is not None else ""
        rows.append(
            [
                said(atlas, line.label),
                words(f"teach.dose.{'with' if line.adrenaline else 'plain'}"),
                _printed(atlas, line),
                words("teach.dose.mg", mg=f"{line.limit_mg:g}") if line.limit_mg is not None else words("teach.none"),
                _share(atlas, line),
                rests_on(atlas, records[line.id], here=here) + note,
            ]
        )
    columns = ("label", "adrenaline", "printed", "person", "share", "source")
    headings = [words(f"teach.dose.table.{one}", kg=f"{person_kg:g}") for one in columns]
    return table(words("teach.dose.limits_of", drug=drug.name), headings, rows, numbers=(2, 3, 4))


def _printed(atlas: Atlas, line: LimitLine) -> str:
    words, parts = atlas.words, []
    if line.mg_per_kg is not None:
        low = f"{line.mg_per_kg_low:g}–" if line.mg_per_kg_low is not None else ""
        parts.append(words("teach.dose.mg_per_kg", value=f"{low}{line.mg_per_kg:g}"))
    if line.mg is not None:
        low = f"{line.mg_low:g}–" if line.mg_low is not None else ""
        parts.append(words("teach.dose.mg", mg=f"{low}{line.mg:g}"))
    if line.mg_per_day is not None:
        parts.append(words("teach.dose.mg_per_day", mg=f"{line.mg_per_day:g}"))
    if line.use is not None:
        parts.append(said(atlas, line.use))
    return ", ".join(parts)


def _share(atlas: Atlas, line: LimitLine) -> str:
    if not line.applies:
        return atlas.words("teach.dose.other")
    return atlas.words("teach.none") if line.share is None else as_percent(line.share)


def as_percent(share: float) -> str:
    """Return a share of a limit in whole percent."""
    return f"{round(100 * share)} %"


def _mixed(atlas: Atlas, sums: DoseSum) -> str:
    def fractions(pick: Callable[[list[float]], float]) -> str:
        found = [
            pick([line.share for line in drug.lines if line.applies and line.share is not None]) for drug in sums.drugs
        ]
        return " + ".join(as_percent(share) for share in found)

    return atlas.words(
        "teach.dose.mixed",
        strict=fractions(max),
        strictest=as_percent(sums.strictest),
        generous=fractions(min),
        most_generous=as_percent(sums.most_generous),
    )

"""Sums of a made-up list beside what labels print. Fixed numbers in, arithmetic out; nothing takes a patient's numbers.

mg = percent x 10 x mL      (1 % is 1 g in 100 mL)
fraction = mg / limit, with the lower of mg/kg x kg and the absolute limit; fractions add up when drugs are mixed
"""

from __future__ import annotations

from dataclasses import dataclass

from wristward.data.records.scenario import DrugsFile, LimitRecord, OperationRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitLine:
    """One printed limit beside the sum of its drug."""

    id: str
    label: str
    source: str
    seen: str | None
    adrenaline: bool
    applies: bool
    """Whether it is printed for what the story uses: with or without adrenaline."""

    mg_per_kg: float | None
    mg_per_kg_low: float | None
    mg: float | None
    mg_low: float | None
    mg_per_day: float | None
    use: str | None
    note: str | None
    limit_mg: float | None
    """The lower of mg/kg for the made-up person and the absolute limit, mg; None where neither is printed."""

    share: float | None
    """Sum as a share of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrugSum:
    """All injections of one drug."""

    drug: str
    name: str
    parts_mg: tuple[float, ...]
    total_mg: float
    with_adrenaline: bool
    lines: tuple[LimitLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseSum:
    """The sums of a story."""

    person_kg: float
    drugs: tuple[DrugSum, ...]
    strictest: float
    """Shares added up over the drugs, each by the lowest printed limit that applies."""

    most_generous: float
    """The same by the highest."""


def dose_mg(*, percent: float, volume_ml: float, mg_per_ml_per_percent: float) -> float:
    """Return the amount in a volume, mg."""
    return percent * mg_per_ml_per_percent * volume_ml


def dose_sum(operation: OperationRecord, drugs_file: DrugsFile) -> DoseSum | None:
    """Return the sums of an operation's injections beside every printed limit, or None where it has none.

    Args:
        operation: Record of operations.yaml.
        drugs_file: Record of drugs.yaml.

    Raises:
        ValueError: If there are injections but no weight of the made-up person.
    """
    if not operation.injections:
        return None
    person_kg = operation.person_kg
    if person_kg is None:
        raise ValueError("injections need the weight of the made-up person")
    sums = [
        _drug_sum(drug, operation, drugs_file, person_kg=person_kg)
        for drug in dict.fromkeys(injection.drug for injection in operation.injections)
    ]
    shares = [[line.share for line in found.lines if line.applies and line.share is not None] for found in sums]
    return DoseSum(
        person_kg=person_kg,
        drugs=tuple(sums),
        strictest=sum(max(found) for found in shares if found),
        most_generous=sum(min(found) for found in shares if found),
    )


def _drug_sum(drug: str, operation: OperationRecord, drugs_file: DrugsFile, *, person_kg: float) -> DrugSum:
    record = drugs_file.drugs[drug]
    used = [injection for injection in operation.injections if injection.drug == drug]
    parts = tuple(
        dose_mg(
            percent=injection.percent,
            volume_ml=injection.volume_ml,
            mg_per_ml_per_percent=drugs_file.mg_per_ml_per_percent,
        )
        for injection in used
    )
    # One plain injection among others makes the plain limit the one to stand beside.
    adrenaline = all(injection.with_adrenaline for injection in used)
    total = sum(parts)
    lines = tuple(_line(limit, total_mg=total, person_kg=person_kg, adrenaline=adrenaline) for limit in record.limits)
    return DrugSum(drug=drug, name=record.name, parts_mg=parts, total_mg=total, with_adrenaline=adrenaline, lines=lines)


def _line(limit: LimitRecord, *, total_mg: float, person_kg: float, adrenaline: bool) -> LimitLine:
    by_weight = limit.mg_per_kg * person_kg if limit.mg_per_kg is not None else None
    both = [value for value in (by_weight, limit.mg) if value is not None]
    least = min(both) if both else None
    return LimitLine(
        id=limit.id,
        label=limit.label,
        source=limit.source,
        seen=limit.seen,
        adrenaline=limit.adrenaline,
        applies=limit.adrenaline == adrenaline,
        mg_per_kg=limit.mg_per_kg,
        mg_per_kg_low=limit.mg_per_kg_low,
        mg=limit.mg,
        mg_low=limit.mg_low,
        mg_per_day=limit.mg_per_day,
        use=limit.use,
        note=limit.note,
        limit_mg=least,
        share=total_mg / least if least is not None else None,
    )

"""Hold solved sections to the facts of relations.yaml, and say where each fails, at its line of that file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wristward.data.dataset import Dataset
from wristward.data.records.relation import RelationRecord
from wristward.errors import Problem
from wristward.measure.directions import Directions
from wristward.measure.relations import Verdict, evaluate
from wristward.section.section import Section


@dataclass(frozen=True, slots=True, kw_only=True)
class Failure:
    """One fact that does not hold everywhere it is stated."""

    relation_id: str
    says: str
    z_ranges_mm: tuple[tuple[float, float], ...]
    """Stretches at which it fails, lowest first, each [lowest, highest], mm."""

    asked: int
    """Heights at which it was asked."""

    worst: Verdict
    """The verdict at ``worst_z_mm``: the middle of the longest stretch."""

    worst_z_mm: float


def check_relations(dataset: Dataset, sections: Mapping[int, Section]) -> list[Problem]:
    """Return a problem for each relation that fails somewhere, in file order.

    Args:
        dataset: Checked data; its relations and their places are used.
        sections: Height (mm) to solved section of the reference arm; every height within a relation's
            range is asked, except its transitions.

    Returns:
        Problems such as "relations.yaml:12:5: relation 'x' fails at z 75–80 mm (6 of 101): …".
    """
    problems, ways = [], Directions.of(dataset.region.frame)
    for relation in dataset.relations:
        mark = dataset.where("relation", relation.id)
        failure = find_failure(relation, sections, ways)
        if failure is not None:
            problems.append(Problem(mark.file, mark.line, mark.col, describe(failure)))
    return problems


def check_arm(dataset: Dataset, name: str, own: Mapping[int, Section], drawn: Mapping[int, Section]) -> list[Problem]:
    """Return a problem for each relation that an arm breaks without lifting it.

    Args:
        dataset: Data of the drawn arm.
        name: An arm of ``dataset.arms``.
        own: Height (mm) to the sections in which the arm differs from the drawn one.
        drawn: The drawn arm's sections, which hold elsewhere and have been asked already.

    Returns:
        Problems at the arm's own file, in its relations' order.
    """
    arm, home = dataset.arms[name], dataset.where("arm", name)
    stated = {relation.id: relation for relation in dataset.relations}
    every, ways = {**drawn, **own}, Directions.of(dataset.region.frame)
    problems = []
    for relation in arm.relations:
        known = relation.id in stated
        if known and not asked_heights(relation, own):
            continue
        failure = find_failure(relation, own if known else every, ways)
        if failure is not None and known:
            first = dataset.where("relation", relation.id)
            text = f"in this arm {describe(failure)} (stated at {first.file}:{first.line}; an arm may lift it with a reason)"
            problems.append(home.problem(text))
        elif failure is not None:
            problems.append(arm.where("relation", relation.id).problem(describe(failure)))
    return problems


def held_though_lifted(
    dataset: Dataset, name: str, own: Mapping[int, Section], drawn: Mapping[int, Section]
) -> list[str]:
    """Return the relations that an arm lifts although its sections keep them: lifted in words only, or for nothing."""
    every, ways = {**drawn, **own}, Directions.of(dataset.region.frame)
    lifts = dataset.region.arms[name].lifts
    return [one.id for one in dataset.relations if one.id in lifts and find_failure(one, every, ways) is None]


def find_failure(relation: RelationRecord, sections: Mapping[int, Section], ways: Directions) -> Failure | None:
    """Ask a relation at every height it is stated for; return None if it holds at all of them.

    A relation that no section was solved for fails too: it was not checked.
    """
    heights = asked_heights(relation, sections)
    if not heights:
        return Failure(
            relation_id=relation.id,
            says=relation.says,
            z_ranges_mm=(relation.z_mm,),
            asked=0,
            worst=Verdict(False, None, "no section was solved there"),
            worst_z_mm=relation.z_mm[0],
        )
    verdicts = {z: evaluate(relation, sections[z], ways) for z in heights}
    failing = [z for z in heights if not verdicts[z].holds]
    if not failing:
        return None
    stretches = _stretches(failing, heights)
    longest = max(stretches, key=len)
    middle = longest[len(longest) // 2]
    return Failure(
        relation_id=relation.id,
        says=relation.says,
        z_ranges_mm=tuple((stretch[0], stretch[-1]) for stretch in stretches),
        asked=len(heights),
        worst=verdicts[middle],
        worst_z_mm=middle,
    )


def asked_heights(relation: RelationRecord, sections: Mapping[int, Section]) -> list[int]:
    """Return the heights at which a relation is asked, lowest first: its range without its transitions."""
    low, high = relation.z_mm
    # The ends of a transition belong to the range beside it.
    return sorted(
        z for z in sections if low <= z <= high and not any(start < z < end for start, end in relation.transitions)
    )


def describe(failure: Failure) -> str:
    """Return the text of a failure's problem."""
    ranges = ", ".join(f"{low:g}" if low == high else f"{low:g}–{high:g}" for low, high in failure.z_ranges_mm)
    return (
        f"relation '{failure.relation_id}' fails at z {ranges} mm: at z {failure.worst_z_mm:g} "
        f"{failure.worst.detail}; it says: {failure.says}"
    )


def _stretches(failing: Sequence[int], heights: Sequence[int]) -> list[list[int]]:
    """Group failing heights that follow one another among those asked."""
    rank = {z: index for index, z in enumerate(heights)}
    stretches: list[list[int]] = []
    for z in failing:
        if stretches and rank[z] == rank[stretches[-1][-1]] + 1:
            stretches[-1].append(z)
        else:
            stretches.append([z])
    return stretches

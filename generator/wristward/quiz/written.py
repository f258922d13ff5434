"""Questions of quiz_items.yaml as items, held to the rules of the computed ones; a broken rule is told with its place."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wristward.data.dataset import Dataset
from wristward.data.records.quiz import WrittenItemRecord
from wristward.data.records.quiz_kinds import QuizKind, kinds_of
from wristward.errors import DataError
from wristward.quiz.item import Item, Option, make_item
from wristward.quiz.lint import broken_rules, unwanted_of
from wristward.quiz.on_section import LEAST_TARGET_MM, target_width_mm
from wristward.section.section import Section

WRITTEN = "written|"
"""Begins the fact of an item written by hand; its id follows."""


def written_items(dataset: Dataset, sections: Mapping[int, Section]) -> tuple[Item, ...]:
    """Return the items written by hand, in the order of their file.

    Raises:
        DataError: With a problem for each rule that one breaks, at the item's place.
    """
    if not dataset.has("quiz_items"):
        return ()
    made, problems, unwanted = [], [], unwanted_of(dataset.words)
    kinds = kinds_of(dataset.region.asked_stretches())
    for id_, record in dataset.quiz_items.items.items():
        item = _item(id_, record, kinds[record.kind])
        mark = dataset.where("quiz_item", id_)
        broken = [says for _, says in broken_rules(item, unwanted)] + list(_not_shown(record, sections))
        problems += [mark.problem(f"item '{id_}' breaks a rule of quizzes: {says}") for says in broken]
        made.append(item)
    if problems:
        raise DataError(problems)
    return tuple(made)


def written_id(item: Item) -> str | None:
    """Return the author's id of an item written by hand, or None for one that is computed."""
    return item.fact.removeprefix(WRITTEN) if item.fact.startswith(WRITTEN) else None


def _item(id_: str, record: WrittenItemRecord, row: QuizKind) -> Item:
    return make_item(
        kind=record.kind,
        row=row,
        form=record.form,
        fact=f"{WRITTEN}{id_}",
        topics=record.topics,
        stem=record.stem,
        options=tuple(
            Option(text=one.text, right=one.right or record.form == "order", why=one.why) for one in record.options
        ),
        z_mm=record.z_mm,
        shows_section=record.shows_section,
        target=record.target,
        marks=record.marks,
        why=record.why,
        sources=(record.source,),
        confidence=record.confidence,
    )


def _not_shown(record: WrittenItemRecord, sections: Mapping[int, Section]) -> Iterator[str]:
    """Yield what an item asks of its section and the section does not hold."""
    if not record.shows_section or record.z_mm is None:
        return
    section = sections.get(record.z_mm)
    if section is None:
        yield f"no section is solved at z {record.z_mm} mm"
        return
    for name in dict.fromkeys(filter(None, (record.target, *record.marks))):
        solved = section.find(name)
        if solved is None:
            yield f"'{name}' is not cut at z {record.z_mm} mm"
        elif record.form == "tap" and name == record.target and target_width_mm(solved) < LEAST_TARGET_MM:
            yield f"'{name}' is {target_width_mm(solved):.1f} mm wide at z {record.z_mm} mm (allowed: {LEAST_TARGET_MM} or more)"

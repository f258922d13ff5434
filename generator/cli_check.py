"""The command ``check``: the data, every section, every relation at every millimetre of its range, every question."""

from __future__ import annotations

import sys

from generator.cli_data import read_data, solve_data
from generator.errors import DataError
from generator.measure.check import check_relations
from generator.quiz.bank import make_bank


def check(options) -> int:
    """Print what an overlay changes, what does not hold and how much does.

    Returns:
        0 if every relation holds at every height it is stated for.

    Raises:
        DataError: With the data's problems, with a problem for each relation that fails somewhere, or for each rule
            that a question written by hand breaks.
    """
    dataset = read_data(options)
    print(f"data: {_counted(dataset)}", flush=True)
    if dataset.overrides:
        print(f"overridden: {len(dataset.overrides)} {'place' if len(dataset.overrides) == 1 else 'places'}")
        for override in dataset.overrides:
            print(f"  {override}", flush=True)
    sections = solve_data(dataset, options)
    warnings = _warnings(sections)
    for text in warnings:
        print(f"warning: {text}", file=sys.stderr)
    print(f"sections: {len(sections)} solved, {len(warnings)} kinds of warning", flush=True)
    problems = check_relations(dataset, sections)
    if problems:
        raise DataError(problems)
    asked = sum(_heights_asked(relation, sections) for relation in dataset.relations)
    print(f"relations: all {len(dataset.relations)} hold, at {asked} heights together", flush=True)
    bank = make_bank(dataset, sections)
    print(f"questions: {len(bank.items)}, and {len(bank.refused)} refused by a rule ('quiz --json' names them)")
    return 0


def _counted(dataset) -> str:
    return (
        f"{len(dataset.levels)} levels, {len(dataset.structures)} structures, {len(dataset.relations)} relations, "
        f"{len(dataset.sources)} sources"
    )


def _heights_asked(relation, sections) -> int:
    from generator.measure.check import asked_heights

    return len(asked_heights(relation, sections))


def _warnings(sections) -> list[str]:
    """Return each kind of warning once, with the stretch of heights it covers, most widespread first.

    The solver puts the height first or last; what is left is the kind.
    """
    found: dict[str, list[float]] = {}
    for z_mm, section in sections.items():
        for text in section.warnings:
            found.setdefault(_without_numbers(text), []).append(z_mm)
    return [
        f"{kind} (z {min(heights):g} to {max(heights):g} mm, {len(heights)} sections)"
        for kind, heights in sorted(found.items(), key=lambda item: (-len(item[1]), item[0]))
    ]


def _without_numbers(text: str) -> str:
    return " ".join("…" if any(letter.isdigit() for letter in word) else word for word in text.split())

"""The command ``check``: the data, every section, every relation at every millimetre of its range, every question.

An arm that is drawn otherwise is asked at the heights that it changes; elsewhere the drawn arm has answered.
"""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Iterator, Mapping

from wristward.cli.data import read_data, solve_arms_data, solve_data
from wristward.cli.errors import CommandError
from wristward.data.dataset import Dataset
from wristward.errors import DataError, Problem, one_of
from wristward.measure.check import asked_heights, check_arm, check_relations, held_though_lifted
from wristward.quiz.bank import make_bank
from wristward.section.section import Section


def check(options: Namespace) -> int:
    """Print what an overlay changes, what does not hold and how much does, for every arm or for one.

    Returns:
        0 if every relation holds at every height it is stated for.

    Raises:
        CommandError: If there is no such arm.
        DataError: With the data's problems, with a problem for each relation that fails somewhere, or for each rule
            that a question written by hand breaks.
    """
    dataset = read_data(options, every_language=True, arms=None)
    if options.arm is not None and options.arm not in dataset.region.arms:
        raise CommandError(f"--arm is '{options.arm}' (allowed: {one_of(dataset.region.arms)})")
    print(f"data: {_counted(dataset)}", flush=True)
    if dataset.overrides:
        print(f"overridden: {len(dataset.overrides)} {'place' if len(dataset.overrides) == 1 else 'places'}")
        for override in dataset.overrides:
            print(f"  {override}", flush=True)
    for line in _languages(dataset):
        print(line, flush=True)
    sections = solve_data(dataset, options)
    warned = _warnings(sections)
    # An arm of another size is the drawn one, scaled: whatever holds in the one holds in the other.
    drawn = options.arm is None or options.arm not in dataset.arms
    problems = []
    if drawn:
        for kind, where in warned.items():
            print(f"warning: {kind} {where}", file=sys.stderr)
        print(f"sections: {len(sections)} solved, {len(warned)} kinds of warning", flush=True)
        problems += check_relations(dataset, sections)
        if not problems:
            asked = sum(len(asked_heights(relation, sections)) for relation in dataset.relations)
            print(f"relations: all {len(dataset.relations)} hold, at {asked} heights together", flush=True)
    names = [name for name in dataset.arms if options.arm in (None, name)]
    for name, own in solve_arms_data(dataset, names, options).items():
        problems += _check_arm(dataset, name, own, sections, warned)
    if problems:
        raise DataError(problems)
    if drawn:
        bank = make_bank(dataset, sections)
        print(f"questions: {len(bank.items)}, and {len(bank.refused)} refused by a rule ('quiz --json' names them)")
    return 0


def _check_arm(
    dataset: Dataset,
    name: str,
    own: Mapping[int, Section],
    sections: Mapping[int, Section],
    warned: Mapping[str, str],
) -> list[Problem]:
    """Print how an arm fares in what it changes, and return its problems."""
    new = {kind: where for kind, where in _warnings(own).items() if kind not in warned}
    for kind, where in new.items():
        print(f"warning: arm {name}: {kind} {where}", file=sys.stderr)
    for relation in held_though_lifted(dataset, name, own, sections):
        print(f"warning: arm {name}: '{relation}' is lifted, though the drawing keeps it", file=sys.stderr)
    problems = check_arm(dataset, name, own, sections)
    if not problems:
        lifted, relations = dataset.region.arms[name].lifts, dataset.arms[name].relations
        print(
            f"arm {name}: {len(own)} sections of its own, {len(new)} kinds of warning of its own; "
            f"{len(lifted)} of {len(dataset.relations)} relations lifted, "
            f"the other {len(dataset.relations) - len(lifted)} hold, "
            f"and {len(relations) - len(dataset.relations) + len(lifted)} of its own",
            flush=True,
        )
    return problems


def _counted(dataset: Dataset) -> str:
    return (
        f"{len(dataset.levels)} levels, {len(dataset.knots)} knots, {len(dataset.structures)} structures, "
        f"{len(dataset.relations)} relations, {len(dataset.sources)} sources"
    )


def _languages(dataset: Dataset) -> Iterator[str]:
    """Yield how many words each language has; those that its own lacks are listed, file by file."""
    for language, missing in sorted(dataset.fallbacks.items()):
        count = sum(kind == "word" for kind, _ in dataset.places)
        rest = f", {len(missing)} in English" if missing else ""
        yield f"language {language}: {count - len(missing)} of {count} words{rest}"
        if language != dataset.language:
            continue
        by_file: dict[str, list[str]] = {}
        for key in missing:
            by_file.setdefault(dataset.where("word", key).file, []).append(key)
        for file, keys in by_file.items():
            yield f"  {file}: {len(keys)}"
            yield from (f"    {key}" for key in keys)


def _warnings(sections: Mapping[int, Section]) -> dict[str, str]:
    """Return each kind of warning with the stretch of heights it covers, most widespread first.

    The solver puts the height first or last; what is left is the kind.
    """
    found: dict[str, list[float]] = {}
    for z_mm, section in sections.items():
        for text in section.warnings:
            found.setdefault(_without_numbers(text), []).append(z_mm)
    return {
        kind: f"(z {min(heights):g} to {max(heights):g} mm, {len(heights)} sections)"
        for kind, heights in sorted(found.items(), key=lambda item: (-len(item[1]), item[0]))
    }


def _without_numbers(text: str) -> str:
    return " ".join("…" if any(letter.isdigit() for letter in word) else word for word in text.split())

"""The command ``section``: one section in words, or as JSON with its outlines."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Container, Iterator, Sequence
from dataclasses import asdict
from typing import Any

from wristward.cli.data import print_json, read_data, solved_data
from wristward.cli.errors import CommandError
from wristward.data.dataset import Dataset
from wristward.data.records.region import Frame
from wristward.errors import one_of
from wristward.measure.arm import as_in_arm
from wristward.measure.measures import StructureMeasure, measure_section
from wristward.measure.text import height_words
from wristward.section.section import Section

LEAST_WIDTH = 7
"""Of the column of kinds, letters."""

OUTLINE_DIGITS = 3
"""Micrometres: finer than any tissue boundary, and the same text on every machine."""


def print_section(options: Namespace) -> int:
    """Solve and print one section.

    Raises:
        CommandError: If the arm or the height is not there.
        DataError: If the data is wrong.
    """
    dataset = read_data(options, arms=[options.arm])
    if options.arm not in dataset.region.arms:
        raise CommandError(f"--arm is '{options.arm}' (allowed: {one_of(dataset.region.arms)})")
    dataset = dataset.of_arm(options.arm)
    solved = solved_data(dataset, options)
    arm = solved.forearm.arms[options.arm]
    top_mm = solved.forearm.top_z_mm * arm.length_scale
    if not 0 <= options.z_mm <= top_mm:
        raise CommandError(f"--z-mm is {options.z_mm:g} (allowed in the {arm.name} arm: 0 to {top_mm:g})")
    section = solved.section_at(options.z_mm / arm.length_scale)
    section = as_in_arm(section, arm=arm, side=options.side)
    partners = {id_: record.partner for id_, record in dataset.structures.items() if record.partner is not None}
    measures = measure_section(section, partners=partners)
    if options.json:
        print_json(_plain(section, measures, dataset.region.frame))
    else:
        print("\n".join(_lines(dataset, section, measures)))
    return 0


def _plain(section: Section, measures: Sequence[StructureMeasure], frame: Frame) -> dict[str, Any]:
    """Return what the JSON holds: the section's own fields, and with each structure what was measured on it."""
    structures, ways = [], frame.eighths()
    for solved, measure in zip(section.structures, measures, strict=True):
        structure = {key: _rounded(value) for key, value in asdict(solved).items()}
        structures.append(structure | _measured(measure, frame, ways, besides=structure))
    return {
        "z_mm": _rounded(section.z_mm),
        "side": section.side,
        "arm": section.arm,
        "pose": section.pose,
        "frame": f"{frame.units}; x {frame.x.plus} on a {frame.arm} arm, y {frame.y.plus}; seen from {frame.seen_from}",
        "skin_mm": _rounded(section.skin_mm),
        "fascia_mm": _rounded(section.fascia_mm),
        "structures": structures,
        "warnings": list(section.warnings),
    }


def _measured(
    measure: StructureMeasure, frame: Frame, ways: Sequence[str], *, besides: Container[str]
) -> dict[str, Any]:
    """Return what was measured on a structure, in the region's words; without what stands in ``besides``."""

    def named(plain: dict[str, Any]) -> dict[str, Any]:
        names = {"straight_depth_mm": f"{frame.y.plus}_depth_mm", "eighth": "direction"}
        return {names.get(key, key): ways[value] if key == "eighth" else value for key, value in plain.items()}

    plain = named({key: value for key, value in asdict(measure).items() if key not in besides})
    return plain | {"neighbours": [named(one) for one in plain["neighbours"]]}


def _rounded(value: object) -> object:
    if isinstance(value, float):
        return round(value, OUTLINE_DIGITS) + 0.0
    if isinstance(value, tuple | list):
        return [_rounded(one) for one in value]
    return value


def _lines(dataset: Dataset, section: Section, measures: Sequence[StructureMeasure]) -> Iterator[str]:
    """Yield the section in words: a heading, a line for each structure, then the warnings."""
    ways = dataset.region.frame.eighths()
    words, names = dataset.words, {id_: record.name for id_, record in dataset.structures.items()}
    yield words["site.command.heading"].format(
        height=height_words(section.z_mm, words),
        side=words[f"figure.side.{section.side}"],
        arm=words[f"figure.arm.{section.arm}"],
    )
    width = max(len(names[measure.id]) for measure in measures)
    kinds = {measure.kind: words[f"figure.kind.{measure.kind}"] for measure in measures}
    wide = max(LEAST_WIDTH, *(len(kind) for kind in kinds.values()))
    for measure in sorted(measures, key=lambda one: (one.kind, names[one.id])):
        near = ", ".join(f"{names[other.id]} {other.gap_mm:g}" for other in measure.neighbours)
        way = words[f"figure.way.{ways[measure.eighth]}"]
        yield f"{names[measure.id]:{width}}  {kinds[measure.kind]:{wide}} {measure.depth_mm:5.1f} mm  {way:13} {near}"
    yield words["site.command.legend"]
    for text in section.warnings:
        yield f"warning: {text}"

"""The command ``section``: one section in words, or as JSON with its outlines."""

from __future__ import annotations

from dataclasses import asdict, replace

from generator.anatomy.forearm import Forearm
from generator.cli import CommandError
from generator.cli_data import print_json, read_data
from generator.errors import one_of
from generator.measure.height import in_cm
from generator.measure.measures import measure_section
from generator.section.model import Point, Section
from generator.section.solve import solve_section

OUTLINE_DIGITS = 3
"""Micrometres: finer than any tissue boundary, and the same text on every machine."""


def print_section(options) -> int:
    """Solve and print one section.

    Raises:
        CommandError: If the arm or the height is not there.
        DataError: If the data is wrong.
    """
    dataset = read_data(options)
    forearm = Forearm.from_dataset(dataset)
    if options.arm not in forearm.arms:
        raise CommandError(f"--arm is '{options.arm}' (allowed: {one_of(forearm.arms)})")
    arm = forearm.arms[options.arm]
    top_mm = forearm.top_z_mm * arm.length_scale
    if not 0 <= options.z_mm <= top_mm:
        raise CommandError(f"--z-mm is {options.z_mm:g} (allowed in the {arm.name} arm: 0 to {top_mm:g})")
    section = solve_section(forearm, z_mm=options.z_mm / arm.length_scale)
    section = as_in_arm(section, arm=arm, side=options.side)
    partners = {id_: record.partner for id_, record in dataset.structures.items() if getattr(record, "partner", None)}
    measures = measure_section(section, partners=partners)
    if options.json:
        print_json(_plain(section, measures))
    else:
        print("\n".join(_lines(dataset, section, measures)))
    return 0


def as_in_arm(section: Section, *, arm, side: str) -> Section:
    """Return a section of the mean right arm as it is in a reference arm of another size, or in the left one.

    Args:
        section: Section of the mean right arm.
        arm: ``Arm`` with ``name``, ``length_scale`` for z and ``girth_scale`` for x and y.
        side: "right" or "left"; a left arm is the mirror image, its rings turned anticlockwise again.
    """
    girth, sign = arm.girth_scale, -1.0 if side == "left" else 1.0

    def point(given: Point) -> Point:
        # Adding zero turns -0.0 into 0.0.
        return (given[0] * girth * sign + 0.0, given[1] * girth)

    def ring(given):
        moved = tuple(point(one) for one in given)
        return moved[::-1] if sign < 0 else moved

    def area(given: float | None) -> float | None:
        return None if given is None else given * girth**2

    return replace(
        section,
        z_mm=section.z_mm * arm.length_scale,
        side=side,
        arm=arm.name,
        skin_mm=ring(section.skin_mm),
        fascia_mm=ring(section.fascia_mm),
        structures=tuple(
            replace(
                solved,
                ring_mm=ring(solved.ring_mm),
                centre_mm=point(solved.centre_mm),
                area_mm2=area(solved.area_mm2),
                authored_area_mm2=area(solved.authored_area_mm2),
                target_area_mm2=area(solved.target_area_mm2),
            )
            for solved in section.structures
        ),
    )


def _plain(section: Section, measures) -> dict:
    """Return what the JSON holds: the section's own fields, and with each structure what was measured on it."""
    structures = []
    for solved, measure in zip(section.structures, measures, strict=True):
        structure = {key: _rounded(value) for key, value in asdict(solved).items()}
        measured = {key: value for key, value in asdict(measure).items() if key not in structure}
        structures.append(structure | measured)
    return {
        "z_mm": _rounded(section.z_mm),
        "side": section.side,
        "arm": section.arm,
        "pose": section.pose,
        "frame": "mm; x ulnar on a right arm, y volar; seen from the hand toward the elbow",
        "skin_mm": _rounded(section.skin_mm),
        "fascia_mm": _rounded(section.fascia_mm),
        "structures": structures,
        "warnings": list(section.warnings),
    }


def _rounded(value):
    if isinstance(value, float):
        return round(value, OUTLINE_DIGITS) + 0.0
    if isinstance(value, tuple | list):
        return [_rounded(one) for one in value]
    return value


def _lines(dataset, section: Section, measures):
    """Yield the section in words: a heading, a line for each structure, then the warnings."""
    words, names = dataset.words, {id_: record.name for id_, record in dataset.structures.items()}
    yield words["site.command.heading"].format(cm=in_cm(section.z_mm), side=section.side, arm=section.arm)
    width = max(len(names[measure.id]) for measure in measures)
    for measure in sorted(measures, key=lambda one: (one.kind, names[one.id])):
        near = ", ".join(f"{names[other.id]} {other.gap_mm:g}" for other in measure.neighbours)
        way = words[f"figure.way.{measure.direction}"]
        yield f"{names[measure.id]:{width}}  {measure.kind:7} {measure.depth_mm:5.1f} mm  {way:13} {near}"
    yield words["site.command.legend"]
    for text in section.warnings:
        yield f"warning: {text}"

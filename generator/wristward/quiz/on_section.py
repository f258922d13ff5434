"""What the questions asked of one solved section share: which sections, which structures of them, and which others.

A structure is asked for only where the data says, with a confidence of 2 or more, that it runs there: inside a run of
its course, or inside its belly. Between runs it is in transition, and what is only drawn is never keyed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from wristward.data.dataset import Dataset
from wristward.data.records.structure import Span
from wristward.measure import rings
from wristward.measure.measures import centre_distance_mm
from wristward.quiz.item import BAND_MM, LEAST_CONFIDENCE, level_topic
from wristward.section.section import Section, Solved

LEAST_TARGET_MM = 1.5
DISTRACTORS = 3


def asked_sections(sections: Mapping[int, Section]) -> Iterator[tuple[int, Section]]:
    """Yield (lowest mm of the band, section) of every band, the section in its middle, from the wrist up."""
    for band in range(0, max(sections) + 1, BAND_MM):
        z_mm = min(band + BAND_MM // 2, max(sections))
        if z_mm in sections:
            yield band, sections[z_mm]


def known_on(dataset: Dataset, section: Section) -> Iterator[tuple[Solved, Span]]:
    """Yield each structure of a section with the record that says with confidence that it runs there."""
    for solved in section.structures:
        basis = _basis(dataset, solved, section.z_mm)
        if basis is not None:
            yield solved, basis


def _basis(dataset: Dataset, solved: Solved, z_mm: float) -> Span | None:
    record = dataset.structures[solved.id]
    runs: Sequence[Span] = record.course or (() if record.belly is None else (record.belly,))
    if solved.kind == "muscle" and (solved.tissue != "muscle" or record.part_of is not None):
        return None
    for run in runs:
        if run.to_z_mm <= z_mm <= run.from_z_mm and run.confidence >= LEAST_CONFIDENCE:
            return run
    return None


def target_width_mm(solved: Solved) -> float:
    """Return how wide a structure is where it is widest: twice the depth of its centre, mm."""
    return 2 * rings.depth_inside_mm(solved.centre_mm, solved.ring_mm)


def nearest(section: Section, solved: Solved, others: list[Solved]) -> list[Solved]:
    """Return others by the distance of their centres, without the structure itself, its parts and what it is part of."""

    def kin(s: Solved) -> bool:
        return s.id == solved.id or solved.id in (s.part_of,) or s.id == solved.part_of

    free = [s for s in others if not kin(s)]
    return sorted(free, key=lambda s: (round(centre_distance_mm(section, solved.id, s.id), 1), s.id))


def topics_at(structure_id: str, z_mm: float) -> tuple[str, str]:
    """Return the topics of what is asked about a structure at a height."""
    return (structure_id, level_topic(z_mm))

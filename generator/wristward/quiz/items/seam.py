"""Say between which two neighbours a nerve or vessel runs."""

from __future__ import annotations

from collections.abc import Iterator

from wristward.measure.measures import centre_distance_mm, gap_mm
from wristward.quiz.given import Given
from wristward.quiz.item import BAND_MM, LEAST_CONFIDENCE, Item, make_item, one_best
from wristward.quiz.on_section import DISTRACTORS, topics_at
from wristward.section.section import Section, Solved

CLEAR_MM = 2.0
STEP_MM = 20


def items(given: Given) -> Iterator[Item]:
    """Yield each sourced seam every few centimetres of its run, where two others can be offered."""
    wording = given.wording
    for structure_id, record in given.dataset.structures.items():
        for run in record.course:
            if run.seam is None or run.confidence < LEAST_CONFIDENCE:
                continue
            for z_mm in range(int(run.to_z_mm) + 2, int(run.from_z_mm) - 1, STEP_MM):
                section = given.sections.get(z_mm)
                own = section.find(structure_id) if section is not None else None
                if section is None or own is None:
                    continue
                wrong = _other_seams(section, own, run.seam)
                if len(wrong) < 2:
                    continue
                key, name = wording.names(run.seam), wording.name(structure_id)
                yield make_item(
                    kind="seam",
                    form="choice",
                    fact=f"{structure_id}@{z_mm // BAND_MM * BAND_MM}",
                    topics=topics_at(structure_id, z_mm),
                    stem=wording.say("stem.seam", name=name, height=wording.height(z_mm)),
                    options=one_best(
                        key,
                        wording.say("why.seam_right", name=name, seam=key),
                        ((wording.names(pair), wording.say("why.seam_wrong", name=name)) for pair in wrong),
                    ),
                    z_mm=z_mm,
                    target=structure_id,
                    why=wording.say("why.seam_right", name=name, seam=key),
                    sources=(run.source,),
                    confidence=run.confidence,
                )


def _other_seams(section: Section, own: Solved, seam: tuple[str, ...]) -> list[tuple[str, str]]:
    """Return seams between one wall of the right seam and another muscle that the structure keeps clear of."""
    found = []
    muscles = [s for s in section.structures if s.kind == "muscle" and s.id not in seam and s.part_of not in seam]
    for other in sorted(muscles, key=lambda s: (centre_distance_mm(section, own.id, s.id), s.id)):
        if gap_mm(section, own.id, other.id) < CLEAR_MM:
            continue
        for wall in seam:
            if section.find(wall) is not None and gap_mm(section, wall, other.id) < CLEAR_MM:
                found.append((wall, other.id))
                break
    return found[:DISTRACTORS]

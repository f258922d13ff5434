"""Find a nerve or an artery among round structures close together, drawn alike and told apart by number alone."""

from __future__ import annotations

from collections.abc import Iterator

from wristward.data.kinds import ROUND
from wristward.measure.measures import bearing_deg, centre_distance_mm
from wristward.quiz.given import Given
from wristward.quiz.item import Item, make_item, one_best
from wristward.quiz.on_section import DISTRACTORS, asked_sections, known_on, nearest, topics_at
from wristward.section.section import Section, Solved

ASKED = ("nerve", "artery")
REACH_MM = 30.0


def items(given: Given) -> Iterator[Item]:
    """Yield the question which of four round structures close together is this one."""
    wording = given.wording
    for band, section in asked_sections(given.sections):
        for solved, basis in known_on(given.dataset, section):
            near = _near(section, solved)
            if len(near) < 2 or not any(s.kind != solved.kind for s in near):
                continue
            # Numbered around the section, so that the number says nothing about the answer.
            marks = sorted([solved, *near], key=lambda s: (round(bearing_deg(section, s.id)), s.id))
            name = wording.name(solved.id)
            yield make_item(
                kind="look_alike",
                form="choice",
                fact=f"{solved.id}@{band}",
                topics=topics_at(solved.id, section.z_mm),
                stem=wording.say("stem.look_alike", name=name, height=wording.height(section.z_mm)),
                options=one_best(
                    str(marks.index(solved) + 1),
                    wording.say("why.name_right", name=name),
                    ((str(marks.index(s) + 1), wording.say("why.look_alike", name=wording.name(s.id))) for s in near),
                ),
                z_mm=int(section.z_mm),
                shows_section=True,
                target=solved.id,
                marks=tuple(s.id for s in marks),
                why=wording.say("why.tap", name=name),
                sources=(basis.source,),
                confidence=basis.confidence,
            )


def _near(section: Section, solved: Solved) -> list[Solved]:
    if solved.kind not in ASKED:
        return []
    others = [
        s
        for s in section.structures
        if (s.kind in ROUND or s.tissue in ROUND) and centre_distance_mm(section, solved.id, s.id) < REACH_MM
    ]
    return nearest(section, solved, others)[:DISTRACTORS]

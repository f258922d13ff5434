"""Name the structure that carries the number 1, among its neighbours of the same kind."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, degrees

from wristward.measure import rings
from wristward.quiz.given import Given
from wristward.quiz.item import LENGTH_RATIO, Item, make_item, one_best
from wristward.quiz.on_section import DISTRACTORS, asked_sections, known_on, nearest, topics_at
from wristward.quiz.wording import Wording
from wristward.section.section import Section, Solved


def items(given: Given) -> Iterator[Item]:
    """Yield a number for each structure that is known to run at a height and has others to be taken for."""
    wording, structures = given.wording, given.dataset.structures
    # What is placed beside another only (the companion veins) has no name a reader could tell from its twin's.
    apart = {id_ for id_, record in structures.items() if record.diameter_mm is not None}
    for band, section in asked_sections(given.sections):
        for solved, basis in known_on(given.dataset, section):
            near = _others(section, solved, wording, apart)
            if len(near) < 2:
                continue
            key = wording.name(solved.id)
            yield make_item(
                kind="name",
                form="choice",
                fact=f"{solved.id}@{band}",
                topics=topics_at(solved.id, section.z_mm),
                stem=wording.say("stem.name", height=wording.height(section.z_mm)),
                options=one_best(
                    key,
                    wording.say("why.name_right", name=key),
                    ((wording.name(s.id), _elsewhere(section, solved, s, wording)) for s in near),
                ),
                z_mm=int(section.z_mm),
                shows_section=True,
                target=solved.id,
                marks=(solved.id,),
                why=wording.say("why.name_right", name=key),
                sources=(basis.source,),
                confidence=basis.confidence,
            )


def _others(section: Section, solved: Solved, wording: Wording, apart: set[str]) -> list[Solved]:
    others = [s for s in section.structures if (s.kind, s.tissue) == (solved.kind, solved.tissue) and s.id not in apart]
    near = nearest(section, solved, others)
    # Under the skin or under the fascia: the line of the number shows which, and the other kind would be ruled out.
    under = _is_deep(section, solved)
    near.sort(key=lambda s: _is_deep(section, s) != under)
    return _as_long(wording.name(solved.id), near, wording)


def _is_deep(section: Section, solved: Solved) -> bool:
    return rings.depth_inside_mm(solved.centre_mm, section.fascia_mm) > 0


def _as_long(key: str, near: list[Solved], wording: Wording) -> list[Solved]:
    """Return the nearest distractors, one of them not so short that the key's length would tell it."""
    first = near[:DISTRACTORS]
    for other in near:
        if any(LENGTH_RATIO * len(wording.name(s.id)) >= len(key) for s in first):
            break
        if LENGTH_RATIO * len(wording.name(other.id)) >= len(key):
            first = [*first[:-1], other]
    return first


def _elsewhere(section: Section, solved: Solved, other: Solved, wording: Wording) -> str:
    (ax, ay), (bx, by) = solved.centre_mm, other.centre_mm
    way = wording.directions.of_bearing(degrees(atan2(by - ay, bx - ax)))
    return wording.say("why.name_wrong", name=wording.name(other.id), way=wording.say(f"way.{way}"))

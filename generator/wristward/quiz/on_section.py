"""Items asked of one solved section: tap, name, look-alikes, height, side of a neighbour, seam.

A structure is asked for only where the data says, with a confidence of 2 or more, that it runs there: inside a run of
its course, or inside its belly. Between runs it is in transition, and what is only drawn is never keyed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import atan2, degrees

from wristward.data.kinds import ROUND
from wristward.measure import rings
from wristward.measure.measures import bearing_deg, centre_distance_mm, direction_of, gap_mm
from wristward.quiz.item import BAND_MM, LEAST_CONFIDENCE, Item, Option, level_topic, make_item
from wristward.quiz.lint import LENGTH_RATIO
from wristward.quiz.wording import Wording
from wristward.section.section import Section, Solved

LEAST_TARGET_MM = 1.5
LOOK_ALIKE_REACH_MM = 30.0
DISTRACTORS = 3
SIDES = {"radial": (-1, 0), "ulnar": (1, 0), "volar": (0, 1), "dorsal": (0, -1)}
LEAST_OFFSET_MM = 1.0
"""A side is offered as wrong only where the model puts the structure this far over to the other side."""

SEAM_CLEAR_MM = 2.0
SEAM_STEP_MM = 20


def section_items(dataset, sections: Mapping[int, Section], wording: Wording) -> Iterator[Item]:
    """Yield every item that one section can be asked for, band by band from the wrist up."""
    for band in range(0, max(sections) + 1, BAND_MM):
        z_mm = min(band + BAND_MM // 2, max(sections))
        if z_mm not in sections:
            continue
        section = sections[z_mm]
        yield _height_item(section, wording, band)
        known = [(one, basis) for one in section.structures if (basis := _basis(dataset, one, z_mm)) is not None]
        # What is placed beside another only (the companion veins) has no name a reader could tell from its twin's.
        apart = {id_ for id_, record in dataset.structures.items() if record.diameter_mm is not None}
        for solved, basis in known:
            if target_width_mm(solved) >= LEAST_TARGET_MM:
                yield _tap(solved, basis, wording, z_mm, band)
            yield from _name(section, solved, basis, wording, band, apart)
            yield from _look_alike(section, solved, basis, wording, band)
    yield from _relations(dataset, sections, wording)
    yield from _seams(dataset, sections, wording)


def target_width_mm(solved: Solved) -> float:
    """Return how wide a structure is where it is widest: twice the depth of its centre, mm."""
    return 2 * rings.depth_inside_mm(solved.centre_mm, solved.ring_mm)


def _basis(dataset, solved: Solved, z_mm: float):
    """Return the record that says with confidence that the structure runs here, or None."""
    record = dataset.structures[solved.id]
    runs = record.course or (() if record.belly is None else (record.belly,))
    if solved.kind == "muscle" and (solved.tissue != "muscle" or record.part_of is not None):
        return None
    for run in runs:
        if run.to_z_mm <= z_mm <= run.from_z_mm and run.confidence >= LEAST_CONFIDENCE:
            return run
    return None


def _tap(solved: Solved, basis, wording: Wording, z_mm: int, band: int) -> Item:
    name = wording.name(solved.id)
    return make_item(
        kind="tap",
        form="tap",
        fact=f"{solved.id}@{band}",
        topics=_topics(solved.id, z_mm),
        stem=wording.say("stem.tap", name=name, height=wording.height(z_mm)),
        z_mm=z_mm,
        shows_section=True,
        target=solved.id,
        why=wording.say("why.tap", name=name),
        sources=(basis.source,),
        confidence=basis.confidence,
    )


def _name(section: Section, solved: Solved, basis, wording: Wording, band: int, apart: set[str]) -> Iterator[Item]:
    others = [s for s in section.structures if (s.kind, s.tissue) == (solved.kind, solved.tissue) and s.id not in apart]
    key = wording.name(solved.id)
    near = _nearest(section, solved, others)
    # Under the skin or under the fascia: the line of the number shows which, and the other kind would be ruled out.
    under = _is_deep(section, solved)
    near.sort(key=lambda s: _is_deep(section, s) != under)
    near = _as_long(key, near, wording)
    if len(near) < 2:
        return
    yield make_item(
        kind="name",
        form="choice",
        fact=f"{solved.id}@{band}",
        topics=_topics(solved.id, section.z_mm),
        stem=wording.say("stem.name", height=wording.height(section.z_mm)),
        options=_options(
            [(key, wording.say("why.name_right", name=key))],
            [(wording.name(s.id), _elsewhere(section, solved, s, wording)) for s in near],
        ),
        z_mm=int(section.z_mm),
        shows_section=True,
        target=solved.id,
        marks=(solved.id,),
        why=wording.say("why.name_right", name=key),
        sources=(basis.source,),
        confidence=basis.confidence,
    )


def _look_alike(section: Section, solved: Solved, basis, wording: Wording, band: int) -> Iterator[Item]:
    """Yield the question which of four round structures close together is this one."""
    if solved.kind not in ("nerve", "artery"):
        return
    others = [
        s
        for s in section.structures
        if (s.kind in ROUND or s.tissue in ROUND) and centre_distance_mm(section, solved.id, s.id) < LOOK_ALIKE_REACH_MM
    ]
    near = _nearest(section, solved, others)[:DISTRACTORS]
    if len(near) < 2 or not any(s.kind != solved.kind for s in near):
        return
    # Numbered around the section, so that the number says nothing about the answer.
    marks = sorted([solved, *near], key=lambda s: (round(bearing_deg(section, s.id)), s.id))
    name = wording.name(solved.id)
    yield make_item(
        kind="look_alike",
        form="choice",
        fact=f"{solved.id}@{band}",
        topics=_topics(solved.id, section.z_mm),
        stem=wording.say("stem.look_alike", name=name, height=wording.height(section.z_mm)),
        options=_options(
            [(str(marks.index(solved) + 1), wording.say("why.name_right", name=name))],
            [(str(marks.index(s) + 1), wording.say("why.look_alike", name=wording.name(s.id))) for s in near],
        ),
        z_mm=int(section.z_mm),
        shows_section=True,
        target=solved.id,
        marks=tuple(s.id for s in marks),
        why=wording.say("why.tap", name=name),
        sources=(basis.source,),
        confidence=basis.confidence,
    )


def _height_item(section: Section, wording: Wording, band: int) -> Item:
    return make_item(
        kind="height",
        form="height",
        fact=f"height@{band}",
        topics=("heights", level_topic(band)),
        stem=wording.say("stem.height"),
        z_mm=int(section.z_mm),
        shows_section=True,
        why=wording.say("why.height", height=wording.height(section.z_mm)),
        # The height of a section is the model's own by construction; nothing drawn is keyed.
        sources=("project_assumption",),
        confidence=3,
    )


def _relations(dataset, sections: Mapping[int, Section], wording: Wording) -> Iterator[Item]:
    for relation in dataset.relations:
        claim = relation.side
        if claim is None or relation.confidence < LEAST_CONFIDENCE or claim.toward not in SIDES:
            continue
        low, high = relation.z_mm
        for z_mm in range(int(low) + 2, int(high) - 1, BAND_MM):
            section = sections.get(z_mm)
            if section is None or any(a <= z_mm <= b for a, b in relation.transitions or ()):
                continue
            first, second = section.find(claim.structure), section.find(claim.of)
            if first is None or second is None:
                continue
            offset = [a - b for a, b in zip(first.centre_mm, second.centre_mm, strict=True)]
            lead = {way: offset[0] * x + offset[1] * y for way, (x, y) in SIDES.items()}
            wrong = [way for way in SIDES if way != claim.toward and lead[way] <= -LEAST_OFFSET_MM]
            if lead[claim.toward] < LEAST_OFFSET_MM or len(wrong) < 2:
                continue
            names = {"name": wording.name(claim.structure), "of": wording.name(claim.of)}
            yield make_item(
                kind="relation",
                form="choice",
                fact=f"{claim.structure}|{claim.of}@{z_mm // BAND_MM * BAND_MM}",
                topics=(*_topics(claim.structure, z_mm), claim.of),
                stem=wording.say("stem.relation", height=wording.height(z_mm), **names),
                options=_options(
                    [(wording.say(f"side.{claim.toward}"), wording.say("why.relation_right", says=relation.says))],
                    [(wording.say(f"side.{way}"), wording.say("why.relation_wrong", **names)) for way in wrong],
                ),
                z_mm=z_mm,
                target=claim.structure,
                why=relation.says,
                sources=(relation.source,),
                confidence=relation.confidence,
            )


def _seams(dataset, sections: Mapping[int, Section], wording: Wording) -> Iterator[Item]:
    for structure_id, record in dataset.structures.items():
        for run in record.course:
            if run.seam is None or run.confidence < LEAST_CONFIDENCE:
                continue
            for z_mm in range(int(run.to_z_mm) + 2, int(run.from_z_mm) - 1, SEAM_STEP_MM):
                section = sections.get(z_mm)
                if section is None or section.find(structure_id) is None:
                    continue
                wrong = _other_seams(section, structure_id, run.seam)
                if len(wrong) < 2:
                    continue
                key, name = wording.names(run.seam), wording.name(structure_id)
                yield make_item(
                    kind="seam",
                    form="choice",
                    fact=f"{structure_id}@{z_mm // BAND_MM * BAND_MM}",
                    topics=_topics(structure_id, z_mm),
                    stem=wording.say("stem.seam", name=name, height=wording.height(z_mm)),
                    options=_options(
                        [(key, wording.say("why.seam_right", name=name, seam=key))],
                        [(wording.names(pair), wording.say("why.seam_wrong", name=name)) for pair in wrong],
                    ),
                    z_mm=z_mm,
                    target=structure_id,
                    why=wording.say("why.seam_right", name=name, seam=key),
                    sources=(run.source,),
                    confidence=run.confidence,
                )


def _other_seams(section: Section, structure_id: str, seam) -> list[tuple[str, str]]:
    """Return seams between one wall of the right seam and another muscle that the structure keeps clear of."""
    own = section.find(structure_id)
    found = []
    muscles = [s for s in section.structures if s.kind == "muscle" and s.id not in seam and s.part_of not in seam]
    for other in sorted(muscles, key=lambda s: (centre_distance_mm(section, own.id, s.id), s.id)):
        if gap_mm(section, structure_id, other.id) < SEAM_CLEAR_MM:
            continue
        for wall in seam:
            if section.find(wall) is not None and gap_mm(section, wall, other.id) < SEAM_CLEAR_MM:
                found.append((wall, other.id))
                break
    return found[:DISTRACTORS]


def _nearest(section: Section, solved: Solved, others: list[Solved]) -> list[Solved]:
    def kin(s: Solved) -> bool:
        return s.id == solved.id or solved.id in (s.part_of,) or s.id == solved.part_of

    free = [s for s in others if not kin(s)]
    return sorted(free, key=lambda s: (round(centre_distance_mm(section, solved.id, s.id), 1), s.id))


def _as_long(key: str, near: list[Solved], wording: Wording) -> list[Solved]:
    """Return the nearest distractors, one of them not so short that the key's length would tell it."""
    first = near[:DISTRACTORS]
    for other in near:
        if any(LENGTH_RATIO * len(wording.name(s.id)) >= len(key) for s in first):
            break
        if LENGTH_RATIO * len(wording.name(other.id)) >= len(key):
            first = [*first[:-1], other]
    return first


def _is_deep(section: Section, solved: Solved) -> bool:
    return rings.depth_inside_mm(solved.centre_mm, section.fascia_mm) > 0


def _elsewhere(section: Section, solved: Solved, other: Solved, wording: Wording) -> str:
    (ax, ay), (bx, by) = solved.centre_mm, other.centre_mm
    way = direction_of(degrees(atan2(by - ay, bx - ax)) % 360)
    return wording.say("why.name_wrong", name=wording.name(other.id), way=wording.say(f"way.{way}"))


def _options(right: list[tuple[str, str]], wrong: list[tuple[str, str]]):
    return tuple(
        [Option(text=text, right=True, why=why) for text, why in right]
        + [Option(text=text, right=False, why=why) for text, why in wrong]
    )


def _topics(structure_id: str, z_mm: float) -> tuple[str, ...]:
    return (structure_id, level_topic(z_mm))

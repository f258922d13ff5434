"""Say on which side of a structure another one lies: what relations.yaml states and every section is held to."""

from __future__ import annotations

from collections.abc import Iterator

from wristward.data.records.relation_kinds import Side
from wristward.measure.directions import Directions
from wristward.quiz.given import Given
from wristward.quiz.item import BAND_MM, LEAST_CONFIDENCE, Item, make_item, one_best
from wristward.quiz.on_section import topics_at
from wristward.section.section import Section

LEAST_OFFSET_MM = 1.0
"""A side is offered as wrong only where the model puts the structure this far over to the other side."""


def items(given: Given) -> Iterator[Item]:
    """Yield each stated side at every band of its range, where the section has two sides that are clearly wrong."""
    wording = given.wording
    for relation in given.dataset.relations:
        claim = relation.side
        if claim is None or relation.confidence < LEAST_CONFIDENCE:
            continue
        low, high = relation.z_mm
        for z_mm in range(int(low) + 2, int(high) - 1, BAND_MM):
            section = given.sections.get(z_mm)
            if section is None or any(a <= z_mm <= b for a, b in relation.transitions or ()):
                continue
            wrong = _wrong_sides(section, claim, wording.directions)
            if len(wrong) < 2:
                continue
            names = {"name": wording.name(claim.structure), "of": wording.name(claim.of)}
            yield make_item(
                kind="relation",
                form="choice",
                fact=f"{claim.structure}|{claim.of}@{z_mm // BAND_MM * BAND_MM}",
                topics=(*topics_at(claim.structure, z_mm), claim.of),
                stem=wording.say("stem.relation", height=wording.height(z_mm), **names),
                options=one_best(
                    wording.say(f"side.{claim.toward}"),
                    wording.say("why.relation_right", says=relation.says),
                    ((wording.say(f"side.{way}"), wording.say("why.relation_wrong", **names)) for way in wrong),
                ),
                z_mm=z_mm,
                target=claim.structure,
                why=relation.says,
                sources=(relation.source,),
                confidence=relation.confidence,
            )


def _wrong_sides(section: Section, claim: Side, directions: Directions) -> list[str]:
    """Return the sides that are clearly wrong, or none where the stated one is not clearly right or one is not cut."""
    first, second = section.find(claim.structure), section.find(claim.of)
    if first is None or second is None:
        return []
    offset = [a - b for a, b in zip(first.centre_mm, second.centre_mm, strict=True)]
    x_plus, y_plus, x_minus, y_minus = directions.names
    lead = {}
    for way in (x_minus, x_plus, y_plus, y_minus):
        x, y = directions.vector(section, way)
        lead[way] = offset[0] * x + offset[1] * y
    if lead[claim.toward] < LEAST_OFFSET_MM:
        return []
    return [way for way in lead if way != claim.toward and lead[way] <= -LEAST_OFFSET_MM]

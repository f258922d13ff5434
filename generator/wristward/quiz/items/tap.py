"""Put the marker on a structure of the section."""

from __future__ import annotations

from collections.abc import Iterator

from wristward.quiz.given import Given
from wristward.quiz.item import Item, make_item
from wristward.quiz.on_section import LEAST_TARGET_MM, asked_sections, known_on, target_width_mm, topics_at


def items(given: Given) -> Iterator[Item]:
    """Yield a marker for each structure that is known to run at a height and wide enough to be hit."""
    wording = given.wording
    for band, section in asked_sections(given.sections):
        z_mm = int(section.z_mm)
        for solved, basis in known_on(given.dataset, section):
            if target_width_mm(solved) < LEAST_TARGET_MM:
                continue
            name = wording.name(solved.id)
            yield make_item(
                kind="tap",
                form="tap",
                fact=f"{solved.id}@{band}",
                topics=topics_at(solved.id, z_mm),
                stem=wording.say("stem.tap", name=name, height=wording.height(z_mm)),
                z_mm=z_mm,
                shows_section=True,
                target=solved.id,
                why=wording.say("why.tap", name=name),
                sources=(basis.source,),
                confidence=basis.confidence,
            )

"""Say how high above the wrist crease a section lies."""

from __future__ import annotations

from collections.abc import Iterator

from wristward.quiz.given import Given
from wristward.quiz.item import Item, level_topic, make_item
from wristward.quiz.on_section import asked_sections


def items(given: Given) -> Iterator[Item]:
    """Yield one section of each band."""
    wording = given.wording
    for band, section in asked_sections(given.sections):
        yield make_item(
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

"""Tell from place and shape alone what kind of structure it is: a kind that is added by a test and taken out again."""

from __future__ import annotations

from collections.abc import Iterator

from wristward.data.kinds import ROUND
from wristward.quiz.given import Given
from wristward.quiz.item import Item, make_item, one_best
from wristward.quiz.on_section import asked_sections, known_on, topics_at


def items(given: Given) -> Iterator[Item]:
    """Yield each round structure that is known to run at a height, drawn as all that are round."""
    wording = given.wording
    for band, section in asked_sections(given.sections):
        for solved, basis in known_on(given.dataset, section):
            if solved.tissue not in ROUND:
                continue
            why = wording.say("why.tissue", name=wording.name(solved.id))
            yield make_item(
                kind="tissue",
                form="choice",
                fact=f"{solved.id}@{band}",
                topics=topics_at(solved.id, section.z_mm),
                stem=wording.say("stem.tissue", height=wording.height(section.z_mm)),
                options=one_best(
                    wording.say(f"tissue.{solved.tissue}"),
                    why,
                    ((wording.say(f"tissue.{other}"), why) for other in ROUND if other != solved.tissue),
                ),
                z_mm=int(section.z_mm),
                shows_section=True,
                target=solved.id,
                marks=(solved.id,),
                why=why,
                sources=(basis.source,),
                confidence=basis.confidence,
            )

"""All items of a dataset, linted: what pages, the command and exports draw from."""

from __future__ import annotations

from collections.abc import Mapping

from generator.block.sampler import SEED
from generator.quiz.block_items import block_items
from generator.quiz.compose import compose, plain
from generator.quiz.lint import lint
from generator.quiz.model import Item
from generator.quiz.section_items import section_items
from generator.quiz.wording import Wording
from generator.section.model import Section


def all_items(dataset, sections: Mapping[int, Section], *, seed: int = SEED) -> tuple[Item, ...]:
    """Return every item that keeps the rules, sorted by id; what breaks a rule of wording is left out.

    Args:
        dataset: The checked data.
        sections: Right, mean-arm sections by whole mm.
        seed: Of the limbs that orders are judged on.
    """
    wording = Wording(dataset)
    made: dict[str, Item] = {}
    for item in (*section_items(dataset, sections, wording), *block_items(dataset, wording, seed=seed)):
        if item.id not in made and not lint([item]):
            made[item.id] = item
    return tuple(made[key] for key in sorted(made))


def quiz_report(dataset, sections: Mapping[int, Section], topic: str | None, count: int, seed: int) -> dict:
    """Return a quiz as JSON values, for ``quiz --topic ulnar --count 20 --seed 7 --json``.

    Raises:
        ValueError: If no item has this topic.
    """
    drawn = compose(all_items(dataset, sections), topic=topic, count=count, seed=seed)
    if not drawn:
        raise ValueError(f"no item has the topic '{topic}'")
    return {"topic": topic, "count": len(drawn), "seed": seed, "items": plain(drawn)}

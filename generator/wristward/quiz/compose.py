"""Which items a quiz holds, and in which order: decided by a seed, the same as in ``browser/quiz/compose.js``."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from wristward.quiz.item import Item
from wristward.quiz.random import Random


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One item as a quiz asks it."""

    item: Item
    side: str
    """Arm that is shown."""

    order: tuple[int, ...]
    """Places of ``item.options`` in the order they are shown."""


def under(topic: str, asked: str) -> bool:
    """Say whether a topic is the one asked for, or begins with it: "a_b" with "a"."""
    return topic == asked or topic.startswith(f"{asked}_")


def fits(item: Item, topic: str | None) -> bool:
    """Say whether an item belongs to a topic: an id, or the beginning of one, up to an underscore."""
    return topic is None or any(under(one, topic) for one in item.topics)


def compose(items: Iterable[Item], *, topic: str | None, count: int, seed: int) -> tuple[Asked, ...]:
    """Draw a quiz: kinds take turns, what is asked for comes once before it comes twice, and else chance decides.

    Nothing is asked of a nerve a second time, such as its level with another volume, while a kind still has a
    question about something else.

    Args:
        items: Where to draw from.
        topic: As for ``fits``; None for all.
        count: How many at most.
        seed: Whole number.
    """
    chance = Random(seed)
    by_kind: dict[str, list[Item]] = {}
    for item in sorted((one for one in items if fits(one, topic)), key=lambda one: one.id):
        by_kind.setdefault(item.kind, []).append(item)
    kinds = chance.shuffled(sorted(by_kind))
    # Places in line: which time its target is asked for, then its turn in the kind, then the kind's own turn.
    line: list[tuple[int, int, int, Item]] = []
    for turn, kind in enumerate(kinds):
        times: dict[str, int] = {}
        turns: dict[int, int] = {}
        for item in chance.shuffled(by_kind[kind]):
            target = item.target or item.id
            time = times[target] = times.get(target, -1) + 1
            place = turns[time] = turns.get(time, -1) + 1
            line.append((time, place, turn, item))
    line.sort(key=lambda one: one[:3])
    return tuple(_asked(item, chance) for *_, item in line[:count])


def _asked(item: Item, chance: Random) -> Asked:
    side = chance.choice(("right", "left"))
    order = chance.shuffled(range(len(item.options)))
    if item.row.in_order:
        order = sorted(order, key=lambda k: item.options[k].text)
    # A list to put in order must not begin in order.
    if item.form == "order" and order == sorted(order):
        order = order[::-1]
    return Asked(item=item, side=side, order=tuple(order))


def plain(asked: Sequence[Asked]) -> list[dict[str, Any]]:
    """Return a quiz as JSON values, for the command."""
    return [
        {
            "id": one.item.id,
            "kind": one.item.kind,
            "form": one.item.form,
            "stem": one.item.stem,
            "side": one.side,
            "z_mm": one.item.z_mm,
            "options": [
                {"text": one.item.options[k].text, "right": one.item.options[k].right, "why": one.item.options[k].why}
                for k in one.order
            ],
            "target": one.item.target,
            "why": one.item.why,
            "sources": list(one.item.sources),
            "confidence": one.item.confidence,
            "fact": one.item.fact,
        }
        for one in asked
    ]

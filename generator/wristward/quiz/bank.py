"""All items of a dataset, linted: what pages, the command and exports draw from, and what was refused."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from wristward.block.blocks import block_model
from wristward.block.sampler import SEED, draw_limbs
from wristward.quiz.compose import compose, plain
from wristward.quiz.item import Item
from wristward.quiz.items.block import block_items
from wristward.quiz.items.distance import distance_items
from wristward.quiz.items.hand import hand_items
from wristward.quiz.items.order import order_items
from wristward.quiz.items.section import section_items
from wristward.quiz.items.testing import testing_items
from wristward.quiz.items.wrist import wrist_items
from wristward.quiz.items.written import written_items
from wristward.quiz.lint import broken_rules
from wristward.quiz.wording import Wording, known_events
from wristward.section.section import Section

LIMBS = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """An item that breaks a rule and is not asked."""

    kind: str
    fact: str
    rule: str
    """Name of the first rule it breaks, one of ``lint.RULES``."""

    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bank:
    """The items of a dataset, and those that were refused."""

    items: tuple[Item, ...]
    refused: tuple[Refused, ...]


def make_bank(dataset, sections: Mapping[int, Section], *, seed: int = SEED) -> Bank:
    """Make every item and hold it against the rules; both lists are sorted.

    What is computed and breaks a rule is refused and counted; what is written by hand and breaks one is its author's
    mistake, answered with its place.

    Args:
        dataset: The checked data.
        sections: Right, mean-arm sections by whole mm.
        seed: Of the limbs that orders are judged on.

    Raises:
        DataError: With a problem for each rule that an item written by hand breaks.
    """
    return sift([*written_items(dataset, sections), *_candidates(dataset, sections, seed)])


def sift(candidates: Iterable[Item]) -> Bank:
    """Part what keeps the rules from what does not; of two items with one id the first is kept."""
    made: dict[str, Item] = {}
    refused = []
    for item in candidates:
        broken = broken_rules(item, made)
        if broken:
            rule, says = broken[0]
            refused.append(Refused(kind=item.kind, fact=item.fact, rule=rule, says=says))
        else:
            made[item.id] = item
    ordered = sorted(refused, key=lambda one: (one.rule, one.kind, one.fact))
    return Bank(items=tuple(made[key] for key in sorted(made)), refused=tuple(ordered))


def all_items(dataset, sections: Mapping[int, Section], *, seed: int = SEED) -> tuple[Item, ...]:
    """Return every item that keeps the rules, sorted by id; the arguments are those of ``make_bank``."""
    return make_bank(dataset, sections, seed=seed).items


def _candidates(dataset, sections: Mapping[int, Section], seed: int) -> Iterator[Item]:
    wording, limbs, known = Wording(dataset), None, []
    if dataset.has("branches"):
        limbs = draw_limbs(block_model(dataset), count=LIMBS, seed=seed)
        known = known_events(dataset, wording)
    yield from section_items(dataset, sections, wording)
    yield from block_items(dataset, wording)
    yield from order_items(dataset, wording, limbs, known)
    yield from distance_items(dataset, wording, limbs, known)
    yield from testing_items(dataset, wording)
    yield from hand_items(dataset, wording)
    yield from wrist_items(dataset, sections, wording)


def quiz_report(dataset, sections: Mapping[int, Section], topic: str | None, count: int, seed: int) -> dict:
    """Return a quiz as JSON values, for ``quiz --topic ulnar --count 20 --seed 7 --json``.

    It also says how many items each rule refused among all that were made, and which.

    Raises:
        ValueError: If no item has this topic.
    """
    bank = make_bank(dataset, sections)
    drawn = compose(bank.items, topic=topic, count=count, seed=seed)
    if not drawn:
        raise ValueError(f"no item has the topic '{topic}'")
    by_rule = Counter(one.rule for one in bank.refused)
    return {
        "topic": topic,
        "count": len(drawn),
        "seed": seed,
        "items": plain(drawn),
        "asked_from": len(bank.items),
        "refused": {
            "count": len(bank.refused),
            "by_rule": {rule: by_rule[rule] for rule in sorted(by_rule)},
            "items": [{"kind": one.kind, "fact": one.fact, "rule": one.rule, "says": one.says} for one in bank.refused],
        },
    }

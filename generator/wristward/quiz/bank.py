"""All items of a dataset, linted: what pages, the command and exports draw from, and what was refused."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from wristward.block.sampler import SEED
from wristward.data.dataset import Dataset
from wristward.data.records.quiz_kinds import QUIZ_KINDS
from wristward.quiz.compose import compose, plain
from wristward.quiz.given import Given, given_of
from wristward.quiz.item import Item
from wristward.quiz.lint import Rule, Unwanted, broken_rules, unwanted_of
from wristward.quiz.written import written_items
from wristward.section.section import Section


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """An item that breaks a rule and is not asked."""

    kind: str
    fact: str
    rule: Rule
    """The first that it breaks."""

    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Bank:
    """The items of a dataset, and those that were refused."""

    items: tuple[Item, ...]
    refused: tuple[Refused, ...]


def make_bank(dataset: Dataset, sections: Mapping[int, Section], *, seed: int = SEED) -> Bank:
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
    candidates = [*written_items(dataset, sections), *_candidates(given_of(dataset, sections, seed=seed))]
    return sift(candidates, unwanted_of(dataset.words))


def sift(candidates: Iterable[Item], unwanted: Unwanted) -> Bank:
    """Part what keeps the rules from what does not; of two items with one id the first is kept."""
    made: dict[str, Item] = {}
    refused = []
    for item in candidates:
        broken = broken_rules(item, unwanted, made)
        if broken:
            rule, says = broken[0]
            refused.append(Refused(kind=item.kind, fact=item.fact, rule=rule, says=says))
        else:
            made[item.id] = item
    ordered = sorted(refused, key=lambda one: (one.rule, one.kind, one.fact))
    return Bank(items=tuple(made[key] for key in sorted(made)), refused=tuple(ordered))


def all_items(dataset: Dataset, sections: Mapping[int, Section], *, seed: int = SEED) -> tuple[Item, ...]:
    """Return every item that keeps the rules, sorted by id; the arguments are those of ``make_bank``."""
    return make_bank(dataset, sections, seed=seed).items


def _candidates(given: Given) -> Iterator[Item]:
    """Yield what each kind asks: ``items`` of the file that is called like the kind."""
    for kind in QUIZ_KINDS:
        yield from import_module(f"wristward.quiz.items.{kind}").items(given)


def quiz_report(
    dataset: Dataset, sections: Mapping[int, Section], topic: str | None, count: int, seed: int
) -> dict[str, Any]:
    """Return a quiz as JSON values, for ``quiz --topic ID --count 20 --seed 7 --json``.

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

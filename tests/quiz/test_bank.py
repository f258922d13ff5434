"""How many facts are asked, and what is refused: nothing leaves the quizzes without being counted and named."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import get_args

from tests.quiz.test_lint import GOOD
from wristward.data.records.quiz_kinds import kinds_of
from wristward.quiz.bank import quiz_report, sift
from wristward.quiz.item import BAND_MM
from wristward.quiz.lint import Rule, Unwanted

KINDS = kinds_of(["wrist"])

REFUSED = Path(__file__).with_name("refused.json")

CEILINGS = {
    # A forearm of 26 cm holds this many bands of 10 mm, and heights nearer than that count as one fact.
    "height": 27,
    # Nothing is asked whose answer hangs on whether a branch counts where it takes off or where it parts from its trunk.
    # The wanted branches of median and ulnar nerve run beside it for centimetres, so three levels are left, for the
    # forearm's other branches over the eight volumes; levels nearer to one another than 10 mm count as one fact.
    "level": 3,
    # For the same reason, of what is caught or spared at a level.
    "caught": 39,
}
"""Kinds whose facts do not reach 40, with all the facts there are."""


def test_enough_facts(items):
    """At least 600 distinct facts are asked, and of each kind 40, or all there are."""
    counts = Counter(kind for kind, _ in {(item.kind, item.fact) for item in items})
    few = {kind: counts[kind] for kind in KINDS if counts[kind] < CEILINGS.get(kind, 40)}

    assert {} == few
    assert 600 <= sum(counts.values())


def test_heights_are_all_there_are(dataset, items):
    """A height is asked in every band of 10 mm from crease to crease, which is the ceiling of that kind."""
    bands = {item.z_mm // BAND_MM for item in items if item.kind == "height"}

    assert set(range(int(dataset.region.reference_length_mm) // BAND_MM + 1)) == bands
    assert CEILINGS["height"] == len(bands)


def test_refused_items_are_those_looked_at(bank):
    """What each rule refuses is what somebody looked at: by rule and kind, the facts without their heights.

    After a change of data or wording, look at what the command ``quiz --json`` names under "refused", mend the
    wording or the rule if it should be asked, and write the rest into refused.json.
    """
    found: dict[str, list[str]] = {}
    for one in bank.refused:
        subject = f"{one.kind} {one.fact.split('@')[0]}"
        if subject not in found.setdefault(one.rule, []):
            found[one.rule].append(subject)

    assert json.loads(REFUSED.read_text(encoding="utf-8")) == {rule: sorted(found[rule]) for rule in sorted(found)}


def test_nothing_is_lost_between_making_and_asking():
    """Each candidate is asked or refused under the name of a rule; of two with one fact the second is refused."""
    drawn, twice = replace(GOOD, confidence=1), replace(GOOD, stem="Which other one carries the number 1?")
    sifted = sift([drawn, GOOD, twice], Unwanted((), ()))

    assert (GOOD,) == sifted.items
    assert [("confidence", "median_nerve@50"), ("repeated", "median_nerve@50")] == [
        (one.rule, one.fact) for one in sifted.refused
    ]
    assert {one.rule for one in sifted.refused} <= set(get_args(Rule))


def test_the_command_says_what_was_refused(dataset, sections, bank):
    """The JSON of ``quiz`` counts what each rule refused, and names each item with the rule."""
    report = quiz_report(dataset, sections, "ulnar", 5, 7)
    by_rule = Counter(one.rule for one in bank.refused)

    assert (5, len(bank.items)) == (report["count"], report["asked_from"])
    assert (len(bank.refused), dict(by_rule)) == (report["refused"]["count"], report["refused"]["by_rule"])
    assert [(one.kind, one.fact, one.rule, one.says) for one in bank.refused] == [
        (one["kind"], one["fact"], one["rule"], one["says"]) for one in report["refused"]["items"]
    ]

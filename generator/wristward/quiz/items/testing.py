"""Test a block: the patch of skin and the movement that tell, and what a block at a level takes.

A patch is asked about only where one nerve has it to itself in most hands. What a block takes is asked only where both
readings put the chance at 0.1 or less, or 0.9 or more; the trunk's own skin and the hand's muscles go with any level.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Literal, NamedTuple

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.block.blocks import READINGS, Block, BlockModel, block_model
from wristward.block.chance import chances
from wristward.data.dataset import Dataset
from wristward.data.records.branch import VariantRecord
from wristward.data.records.scenario import TerritoriesFile
from wristward.data.records.teaching import SignRecord
from wristward.quiz.assumed import RARE, SURE, assumed
from wristward.quiz.given import Given
from wristward.quiz.hands import NOT_NEEDED, alone, tested
from wristward.quiz.item import BAND_MM, LEAST_CONFIDENCE, Item, Option, level_topic, make_item, one_best
from wristward.quiz.wording import Wording

DISTRACTORS = 3
MOST_TESTS = 6
LEAST_TESTS = 3
SAME_MM = 40
"""Where a block takes the same at the next level too, it is asked again only this far on."""


class _Test(NamedTuple):
    """What a block takes or leaves, and what that stands on."""

    what: Literal["feeling", "power"]
    name: str
    lost: bool
    source: str
    confidence: int


def items(given: Given) -> Iterator[Item]:
    """Yield patches, movements, variants and what a block takes, as far as the data goes."""
    dataset, wording = given.dataset, given.wording
    if dataset.has("territories"):
        yield from _patches(dataset.territories, wording)
    if dataset.has("teaching"):
        yield from _movements(dataset, wording)
    if dataset.has("branches"):
        yield from _variants(dataset.branches.variants, wording)
    if dataset.has("branches", "territories", "teaching"):
        yield from _after_block(dataset, wording)


def _patches(part: TerritoriesFile, wording: Wording) -> Iterator[Item]:
    """Yield, for each nerve, the patch of skin that shows whether it is caught: nobody else's in most hands."""
    skin = tested(part)
    for id_, shares in skin.items():
        nerve, record = alone(shares), part.territories[id_]
        if nerve is None:
            continue
        others = [other for other, own in skin.items() if own.get(nerve, 0.0) <= NOT_NEEDED]
        # Patches of the same part of the hand first: they are the plausible ones.
        others.sort(key=lambda other: (part.territories[other].part != record.part, other))
        if len(others) < 2:
            continue
        told = wording.say("why.testing_right", nerve=wording.name(nerve))
        yield make_item(
            kind="testing",
            form="choice",
            fact=f"{nerve}|{id_}",
            topics=(nerve,),
            stem=wording.say("stem.testing", nerve=wording.name(nerve)),
            options=one_best(
                wording.territory(id_),
                told,
                (
                    (
                        wording.territory(other),
                        wording.say("why.testing_wrong", nerves=wording.names(_most(skin[other]))),
                    )
                    for other in others[:DISTRACTORS]
                ),
            ),
            target=nerve,
            why=told,
            sources=(record.source,),
            confidence=record.confidence,
        )


def _most(shares: dict[str, float]) -> list[str]:
    return sorted(nerve for nerve, share in shares.items() if share > NOT_NEEDED)


def _movements(dataset: Dataset, wording: Wording) -> Iterator[Item]:
    """Yield which muscle a movement tests, and which nerve that muscle hangs on."""
    signs = dataset.teaching.signs
    parents = _parents(dataset)
    for id_, sign in signs.items():
        if sign.confidence < LEAST_CONFIDENCE:
            continue
        shared: dict[str, Any] = {"sources": (sign.source,), "confidence": sign.confidence}
        others = sorted((other for other in signs.values() if other.name != sign.name), key=lambda other: other.name)
        told = wording.say("why.movement", muscle=sign.name)
        yield make_item(
            kind="testing",
            form="choice",
            fact=f"muscle|{id_}",
            topics=sign.supply,
            stem=wording.say("stem.movement_muscle", says=sign.says),
            options=one_best(
                sign.name,
                told,
                (
                    (other.name, wording.say("why.movement_other", says=other.says))
                    for other in _alike(others, sign.name)
                ),
            ),
            target=sign.muscle or sign.supply[0],
            why=told,
            **shared,
        )
        # Where a muscle has two nerves there is no one best answer; a trunk and its own branch are both right.
        kin = {sign.supply[0], *parents.get(sign.supply[0], ())}
        kin |= {nerve for nerve, above in parents.items() if sign.supply[0] in above}
        wrong = sorted({nerve for other in signs.values() for nerve in other.supply} - kin)
        if len(sign.supply) != 1 or len(wrong) < 2:
            continue
        told = wording.say("why.movement_nerve", muscle=sign.name, nerve=wording.name(sign.supply[0]))
        yield make_item(
            kind="testing",
            form="choice",
            fact=f"nerve|{id_}",
            topics=sign.supply,
            stem=wording.say("stem.movement_nerve", says=sign.says),
            options=one_best(
                wording.name(sign.supply[0]),
                told,
                (
                    (wording.name(nerve), wording.say("why.nerve_other", muscles=_hang_on(signs, nerve, wording)))
                    for nerve in wrong[:DISTRACTORS]
                ),
            ),
            target=sign.supply[0],
            why=told,
            **shared,
        )


def _alike(others: Sequence[SignRecord], key: str) -> list[SignRecord]:
    """Return three movements, those of muscles of the same family (a shared first word) first."""
    return sorted(others, key=lambda one: (one.name.split()[0] != key.split()[0], one.name))[:DISTRACTORS]


def _hang_on(signs: Mapping[str, SignRecord], nerve: str, wording: Wording) -> str:
    return wording.say("and").join(one.name for one in signs.values() if nerve in one.supply)


def _parents(dataset: Dataset) -> dict[str, set[str]]:
    """Return the trunk of each nerve that branches.yaml has leave one."""
    found: dict[str, set[str]] = {}
    if dataset.has("branches"):
        for record in dataset.branches.branches.values():
            if record.branch is not None:
                found.setdefault(record.branch, set()).add(record.parent)
    return found


def _variants(variants: Mapping[str, VariantRecord], wording: Wording) -> Iterator[Item]:
    """Yield which variant changes a block so, among variants of the same nerves first."""
    named = {id_: one for id_, one in variants.items() if wording.has_variant(id_)}
    for id_, variant in named.items():
        if variant.confidence < LEAST_CONFIDENCE:
            continue
        others = [other for other in named if other != id_]
        others.sort(key=lambda other: (not set(named[other].nerves) & set(variant.nerves), other))
        yield make_item(
            kind="testing",
            form="choice",
            fact=f"variant|{id_}",
            topics=variant.nerves,
            stem=wording.say("stem.variant", says=variant.changes),
            options=one_best(
                wording.variant(id_),
                variant.changes,
                ((wording.variant(other), named[other].changes) for other in others[:DISTRACTORS]),
            ),
            target=variant.nerves[0],
            why=wording.say("why.variant", name=wording.variant(id_), percent=f"{100 * variant.prevalence:g}"),
            sources=tuple(sorted({variant.source, variant.changes_source})),
            confidence=variant.confidence,
        )


def _after_block(dataset: Dataset, wording: Wording) -> Iterator[Item]:
    """Yield what is lost after a block of a nerve at a level, at the volume the pages use."""
    model = block_model(dataset)
    heights = np.arange(BAND_MM, dataset.region.reference_length_mm, 2 * BAND_MM, dtype=float)
    for nerve, block in model.blocks.items():
        found = [chances(model, block, reading=r, z_mm=heights, volume_ml=model.default_ml).caught for r in READINGS]
        variants = _variant_shares(dataset, model, nerve, heights)
        last: dict[tuple[object, ...], float] = {}
        for k, z_mm in enumerate(heights):
            reached = {}
            for event in found[0]:
                values = [float(one[event][k]) for one in found]
                if max(values) <= RARE or min(values) >= SURE:
                    reached[event] = min(values) >= SURE
            doubtful = {id_ for id_, shares in variants.items() if shares[k] > RARE}
            tests = [*_signs(dataset, nerve, reached, doubtful), *_skin(dataset, nerve, reached, wording)]
            told = tuple(sorted((one.what, one.name, one.lost) for one in tests))
            made = _after_item(model, nerve, int(z_mm), tests, wording)
            if made is not None and z_mm - last.get(told, -SAME_MM) >= SAME_MM:
                last[told] = z_mm
                yield made


def _variant_shares(dataset: Dataset, model: BlockModel, nerve: str, heights: Floats) -> dict[str, Floats]:
    """Return, for each variant with an event, the share of limbs in which a block at each height meets it."""
    found = {}
    for id_, variant in dataset.branches.variants.items():
        events = tuple(one for one in variant.branches if one in model.events)
        if not events:
            continue
        block = Block(nerve=nerve, wanted=(), unwanted=events)
        met = chances(model, block, reading=READINGS[0], z_mm=heights, volume_ml=model.default_ml).caught
        found[id_] = np.max([model.events[one].prevalence * met[one] for one in events], axis=0)
    return found


def _signs(dataset: Dataset, nerve: str, reached: dict[str, bool], doubtful: set[str]) -> Iterator[_Test]:
    """Yield each movement the model can judge.

    Args:
        dataset: The checked data.
        nerve: The nerve that is blocked.
        reached: Whether each event that can be judged is reached.
        doubtful: Variants that the block meets in too many limbs for a movement they change to be told.
    """
    records = dataset.branches.branches
    for sign in dataset.teaching.signs.values():
        if sign.confidence < LEAST_CONFIDENCE or doubtful & set(sign.variants):
            continue
        if sign.branch is None:
            lost = sign.supply == (nerve,)
        elif sign.branch not in reached:
            continue
        else:
            lost = reached[sign.branch]
            # Reaching one branch to a muscle with several weakens it; a whole nerve that is reached takes it.
            if lost and records[sign.branch].branch not in sign.supply:
                continue
        if sign.branch is None or records[sign.branch].confidence >= LEAST_CONFIDENCE:
            yield _Test("power", sign.name, lost, sign.source, sign.confidence)


def _skin(dataset: Dataset, nerve: str, reached: dict[str, bool], wording: Wording) -> list[_Test]:
    """Yield the nerve's own patches: those behind a branch first, then one of the trunk and one of another nerve."""
    part = dataset.territories
    own: list[tuple[bool, _Test]] = []
    other: list[tuple[str, _Test]] = []
    for id_, shares in tested(part).items():
        record, served = part.territories[id_], alone(shares)
        events = {one.by for one in record.supply if one.nerve == nerve and one.by is not None}
        name = wording.territory(id_)
        if served is None or not events <= set(reached):
            continue
        if served == nerve:
            lost = all(reached[one] for one in events)
            own.append((not events, _Test("feeling", name, lost, record.source, record.confidence)))
        elif shares.get(nerve, 0.0) == 0.0:
            other.append((record.part, _Test("feeling", name, False, record.source, record.confidence)))
    nearest = [test for _, test in sorted(own, key=lambda one: one[0])]
    # One of another nerve from each part of the hand, two at most.
    firsts = dict(reversed(other))
    return [*nearest[:3], *[test for part, test in other if firsts[part] is test][:2]]


def _after_item(model: BlockModel, nerve: str, z_mm: int, tests: Sequence[_Test], wording: Wording) -> Item | None:
    tests = tests[:MOST_TESTS]
    if len(tests) < LEAST_TESTS or len({one.lost for one in tests}) < 2:
        return None
    stated = assumed(model, model.default_ml, wording)
    lost = [wording.say(f"test.{one.what}", name=one.name) for one in tests if one.lost]
    return make_item(
        kind="testing",
        form="many",
        fact=f"after|{nerve}@{z_mm}",
        topics=(nerve, level_topic(z_mm)),
        stem=wording.say("stem.after", nerve=wording.name(nerve), height=wording.height(z_mm), assumed=stated),
        options=tuple(
            Option(
                text=wording.say(f"test.{one.what}", name=one.name),
                right=one.lost,
                why=wording.say("why.lost" if one.lost else "why.kept"),
            )
            for one in tests
        ),
        z_mm=z_mm,
        target=nerve,
        why=wording.say("why.after", lost="; ".join(lost), assumed=stated),
        sources=tuple(sorted({one.source for one in tests} | {"project_assumption"})),
        confidence=min(one.confidence for one in tests),
    )

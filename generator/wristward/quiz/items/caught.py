"""Items on levels: where a branch is caught and a muscle group spared, and which branches a block catches.

What is caught is asked only where both readings put the chance at 0.1 or less, or 0.9 or more; a level only where the
readings' best levels lie within the scoring band.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from wristward.block.blocks import READINGS, Block, BlockModel, block_model
from wristward.block.chance import chances
from wristward.quiz.item import BAND_MM, Item, Option, level_topic, make_item
from wristward.quiz.scoring import CREDIT_STEP_MM, FULL, HEIGHT_HALF_MM
from wristward.quiz.wording import Wording, known_events

RARE, SURE = 0.1, 0.9
ASKED_ML = (2, 9)
"""Volumes that are asked about, mL: what lies outside is in the tables, and nobody blocks one nerve with it."""

LEAST_BEST = 0.5
"""A level item is asked only where the best level does what is wanted in half of all limbs at least."""

WIDEST_FULL_MM = 100
"""Where more of the forearm than this earns full marks, the question asks nothing."""


def block_items(dataset, wording: Wording) -> Iterator[Item]:
    """Yield the items on levels, or none where the data has no branches."""
    if not dataset.has("branches"):
        return
    model, records = block_model(dataset), dataset.branches.branches
    known, top_mm = known_events(dataset, wording), dataset.region.reference_length_mm
    yield from _levels(model, records, known, wording, top_mm=top_mm)
    yield from _caught(model, records, known, wording, top_mm=int(top_mm))


def asked_ml(model: BlockModel) -> list[float]:
    """Return the volumes that are asked about, mL."""
    return [one for one in model.volumes_ml if ASKED_ML[0] <= one <= ASKED_ML[1]]


def _from_default(model: BlockModel) -> list[float]:
    """Return the volumes, the one the pages use first, so that it stands where others would ask the same."""
    return sorted(asked_ml(model), key=lambda one: (abs(one - model.default_ml), one))


def assumed(model: BlockModel, volume_ml: float, wording: Wording) -> str:
    """Return the words for what is assumed of the bathed length."""
    length_mm, sd_mm = model.spread.mean_length_mm(volume_ml), model.spread.sd_mm
    return wording.say("assumption", ml=f"{volume_ml:g}", mm=f"{length_mm:g}", sd=f"{sd_mm:g}")


def _levels(model: BlockModel, records, known: list[str], wording: Wording, *, top_mm: float) -> Iterator[Item]:
    z_mm = np.arange(0, top_mm + 1, CREDIT_STEP_MM, dtype=float)
    for nerve, block in model.blocks.items():
        groups = [one for one in _groups(block, records) if set(one) <= set(known)]
        for wanted in (id_ for id_ in (*block.wanted, *block.apart) if id_ in known):
            for unwanted in groups:
                asked, told_mm = Block(nerve=nerve, wanted=(wanted,), unwanted=unwanted), []
                for volume_ml in _from_default(model):
                    both = [
                        chances(model, asked, reading=reading, z_mm=z_mm, volume_ml=volume_ml).both
                        for reading in READINGS
                    ]
                    best = [float(z_mm[int(np.argmax(one))]) for one in both]
                    if abs(best[0] - best[1]) > HEIGHT_HALF_MM or min(one.max() for one in both) < LEAST_BEST:
                        continue
                    credit = np.min([one / one.max() for one in both], axis=0)
                    credit = credit / credit.max()
                    best_mm = int(np.argmax(credit)) * CREDIT_STEP_MM
                    # Another volume whose best level lies within a band of one asked already is the same question.
                    if any(abs(best_mm - one) < BAND_MM for one in told_mm):
                        continue
                    if np.count_nonzero(credit >= FULL) * CREDIT_STEP_MM <= WIDEST_FULL_MM:
                        told_mm.append(best_mm)
                        yield _level_item(model, nerve, wanted, unwanted, volume_ml, credit, records, wording)


def _groups(block: Block, records) -> list[tuple[str, ...]]:
    """Return the sets of unwanted events that together spare a muscle group: a muscle with two branches needs both."""
    groups: list[set[str]] = []
    for id_ in (one for one in block.unwanted if records[one].muscles):
        joined, apart = {id_}, []
        for group in groups:
            muscles = {muscle for one in group for muscle in records[one].muscles}
            if muscles & set(records[id_].muscles):
                joined |= group
            else:
                apart.append(group)
        groups = [*apart, joined]
    return [tuple(one for one in block.unwanted if one in group) for group in groups]


def _level_item(model, nerve, wanted, unwanted, volume_ml, credit, records, wording: Wording) -> Item:
    best_mm = int(np.argmax(credit)) * CREDIT_STEP_MM
    muscles = dict.fromkeys(muscle for id_ in unwanted for muscle in records[id_].muscles)
    said = {"wanted": wording.event(wanted), "muscles": wording.names(muscles)}
    stated, used = assumed(model, volume_ml, wording), [records[id_] for id_ in (wanted, *unwanted)]
    return make_item(
        kind="level",
        form="height",
        fact=f"{nerve}|{wanted}|{'+'.join(unwanted)}|{volume_ml:g}",
        topics=(nerve,),
        stem=wording.say("stem.level", nerve=wording.name(nerve), assumed=stated, **said),
        z_mm=best_mm,
        target=nerve,
        credit=tuple(int(round(100 * float(one))) for one in credit),
        why=wording.say("why.level", height=wording.height(best_mm), assumed=stated, **said),
        sources=tuple(sorted({record.source for record in used} | {"project_assumption"})),
        confidence=min(record.confidence for record in used),
    )


def _caught(model: BlockModel, records, known: list[str], wording: Wording, *, top_mm: int) -> Iterator[Item]:
    heights = np.arange(BAND_MM, top_mm, BAND_MM, dtype=float)
    for nerve, block in model.blocks.items():
        told: set[tuple] = set()
        for volume_ml in _from_default(model):
            found = [chances(model, block, reading=r, z_mm=heights, volume_ml=volume_ml).caught for r in READINGS]
            for k, z_mm in enumerate(heights):
                judged = {}
                for id_ in (*block.wanted, *block.unwanted, *block.apart):
                    values = [float(one[id_][k]) for one in found]
                    if id_ in known and max(values) <= RARE:
                        judged[id_] = False
                    elif id_ in known and min(values) >= SURE:
                        judged[id_] = True
                # A larger volume that changes no answer is the same question again.
                same = (z_mm, *sorted(judged.items()))
                if len(judged) < 3 or len(set(judged.values())) < 2 or same in told:
                    continue
                told.add(same)
                yield _caught_item(model, nerve, int(z_mm), volume_ml, judged, records, wording)


def _caught_item(model, nerve, z_mm: int, volume_ml, judged, records, wording: Wording) -> Item:
    stated = assumed(model, volume_ml, wording)
    return make_item(
        kind="caught",
        form="many",
        fact=f"{nerve}@{z_mm}|{volume_ml:g}",
        topics=(nerve, level_topic(z_mm)),
        stem=wording.say("stem.caught", nerve=wording.name(nerve), height=wording.height(z_mm), assumed=stated),
        options=tuple(
            Option(
                text=wording.event(id_),
                right=right,
                why=wording.say("why.caught" if right else "why.spared", height=wording.height(records[id_].mean_z_mm)),
            )
            for id_, right in judged.items()
        ),
        z_mm=z_mm,
        target=nerve,
        why=wording.say("why.caught_all", assumed=stated),
        sources=tuple(sorted({records[id_].source for id_ in judged} | {"project_assumption"})),
        confidence=min(records[id_].confidence for id_ in judged),
    )

"""Choose the level at which a branch is most often caught and a muscle group spared.

It is asked only where the best levels of both readings lie within the scoring band.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.block.blocks import READINGS, Block, BlockModel, block_model
from wristward.block.chance import chances
from wristward.data.records.branch import BranchRecord
from wristward.quiz.assumed import asked_ml, assumed
from wristward.quiz.given import Given
from wristward.quiz.item import BAND_MM, Item, make_item
from wristward.quiz.scoring import CREDIT_STEP_MM, FULL, HEIGHT_HALF_MM
from wristward.quiz.wording import Wording

LEAST_BEST = 0.5
"""A level item is asked only where the best level does what is wanted in half of all limbs at least."""

WIDEST_FULL_MM = 100
"""Where more of the forearm than this earns full marks, the question asks nothing."""


def items(given: Given) -> Iterator[Item]:
    """Yield levels for each wanted branch and muscle group, or none where the data has no branches."""
    if not given.dataset.has("branches"):
        return
    model, records = block_model(given.dataset), given.dataset.branches.branches
    known, wording, top_mm = given.known, given.wording, given.dataset.region.reference_length_mm
    z_mm = np.arange(0, top_mm + 1, CREDIT_STEP_MM, dtype=float)
    for nerve, block in model.blocks.items():
        groups = [one for one in _groups(block, records) if set(one) <= set(known)]
        for wanted in (id_ for id_ in (*block.wanted, *block.apart) if id_ in known):
            for unwanted in groups:
                asked = Block(nerve=nerve, wanted=(wanted,), unwanted=unwanted)
                told_mm: list[int] = []
                for volume_ml in asked_ml(model):
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


def _groups(block: Block, records: Mapping[str, BranchRecord]) -> list[tuple[str, ...]]:
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


def _level_item(
    model: BlockModel,
    nerve: str,
    wanted: str,
    unwanted: tuple[str, ...],
    volume_ml: float,
    credit: Floats,
    records: Mapping[str, BranchRecord],
    wording: Wording,
) -> Item:
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

"""Say which branches a block at a level catches.

A branch is listed only where both readings put the chance at 0.1 or less, or 0.9 or more.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from wristward.block.blocks import READINGS, BlockModel, block_model
from wristward.block.chance import chances
from wristward.data.records.branch import BranchRecord
from wristward.quiz.assumed import RARE, SURE, asked_ml, assumed
from wristward.quiz.given import Given
from wristward.quiz.item import BAND_MM, Item, Option, level_topic, make_item
from wristward.quiz.wording import Wording


def items(given: Given) -> Iterator[Item]:
    """Yield each block at each band, or none where the data has no branches."""
    if not given.dataset.has("branches"):
        return
    model, records = block_model(given.dataset), given.dataset.branches.branches
    known, wording = given.known, given.wording
    heights = np.arange(BAND_MM, int(given.dataset.region.reference_length_mm), BAND_MM, dtype=float)
    for nerve, block in model.blocks.items():
        told: set[tuple[object, ...]] = set()
        for volume_ml in asked_ml(model):
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


def _caught_item(
    model: BlockModel,
    nerve: str,
    z_mm: int,
    volume_ml: float,
    judged: Mapping[str, bool],
    records: Mapping[str, BranchRecord],
    wording: Wording,
) -> Item:
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

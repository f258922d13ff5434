"""Put what happens along one trunk in order, from proximal to distal.

Events are ordered only with events of their own kind, and only where each pair keeps its order in nine limbs of ten.
Where the data says between which neighbours a trunk runs, stretch after stretch, the stretches are put in order too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

import numpy as np

from wristward.block.sampler import Limbs
from wristward.data.dataset import Dataset
from wristward.data.records.branch import BranchRecord
from wristward.data.records.structure import CourseRun
from wristward.quiz.given import Given
from wristward.quiz.item import LEAST_CONFIDENCE, Item, Option, make_item
from wristward.quiz.wording import Wording

SURE = 0.9
LEAST_EVENTS = 3
"""Few trunks have four events of one kind whose order holds; chance earns 0.28 of three, and 0.19 of four."""

STRETCHES = 4
"""Of more stretches than this, those four are asked at a time: a longer list is read, not known."""


def items(given: Given) -> Iterator[Item]:
    """Yield every order, of events only where the data has branches."""
    if given.limbs is not None:
        records = given.dataset.branches.branches
        yield from _events(records, given.wording, given.limbs, given.known)
    yield from _stretches(given.dataset, given.wording)


def _events(
    records: Mapping[str, BranchRecord], wording: Wording, limbs: Limbs, known: Sequence[str]
) -> Iterator[Item]:
    groups: dict[tuple[str, str], list[str]] = {}
    for id_ in known:
        groups.setdefault((records[id_].parent, records[id_].event), []).append(id_)
    for (nerve, _), ids in groups.items():
        ids = sorted(ids, key=lambda one: (-records[one].mean_z_mm, one))
        for size in range(LEAST_EVENTS, len(ids) + 1):
            for chosen in combinations(ids, size):
                if all(share_above(limbs, a, b) >= SURE for a, b in combinations(chosen, 2)):
                    used = [records[id_] for id_ in chosen]
                    yield _item(
                        wording,
                        trunk=nerve,
                        fact="|".join(chosen),
                        texts=[wording.event(id_) for id_ in chosen],
                        stem="order",
                        why="order_all",
                        sources=tuple(sorted({record.source for record in used})),
                        confidence=min(record.confidence for record in used),
                    )


def share_above(limbs: Limbs, upper: str, lower: str) -> float:
    """Return the share of limbs with both events in which the first lies proximal to the second."""
    both = limbs.present[upper] & limbs.present[lower]
    return float(np.mean(limbs.z_mm[upper][both] > limbs.z_mm[lower][both])) if both.any() else 0.0


def _stretches(dataset: Dataset, wording: Wording) -> Iterator[Item]:
    for structure_id, record in dataset.structures.items():
        runs = [run for run in record.course if run.confidence >= LEAST_CONFIDENCE]
        told = [(run, text) for run in runs if (text := _stretch(run, wording)) is not None]
        told = [one for one in told if sum(text == one[1] for _, text in told) == 1]
        told.sort(key=lambda one: -one[0].from_z_mm)
        for chosen in combinations(told, min(STRETCHES, max(len(told), LEAST_EVENTS))):
            yield _item(
                wording,
                trunk=structure_id,
                fact=f"{structure_id}|" + "|".join(f"{run.from_z_mm:g}" for run, _ in chosen),
                texts=[text for _, text in chosen],
                stem="order_stretches",
                why="order_stretches",
                sources=tuple(sorted({run.source for run, _ in chosen})),
                confidence=min(run.confidence for run, _ in chosen),
            )


def _stretch(run: CourseRun, wording: Wording) -> str | None:
    """Return where a trunk runs in words, or None where the data only says that it lies free."""
    if run.seam is not None:
        return wording.say("stretch.seam", names=wording.names(run.seam))
    if run.on is not None:
        return wording.say(
            f"stretch.on_{run.side}" if run.side is not None else "stretch.upon", name=wording.name(run.on)
        )
    return wording.say("stretch.subcutaneous") if run.in_ == "subcutaneous" else None


def _item(
    wording: Wording,
    *,
    trunk: str,
    fact: str,
    texts: Sequence[str],
    stem: str,
    why: str,
    sources: tuple[str, ...],
    confidence: int,
) -> Item:
    return make_item(
        kind="order",
        form="order",
        fact=fact,
        topics=(trunk,),
        stem=wording.say(f"stem.{stem}", nerve=wording.name(trunk)),
        options=tuple(
            Option(text=text, right=True, why=wording.say("why.order", place=k + 1)) for k, text in enumerate(texts)
        ),
        target=trunk,
        why=wording.say(f"why.{why}", order="; ".join(texts)),
        sources=sources,
        confidence=confidence,
    )

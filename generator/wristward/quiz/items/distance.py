"""Say how far it is, in bands: from the wrist crease to an event, a landmark or a muscle's last fibres, and from one
event of a trunk to another.

A band is as wide as two SDs at least, and the bands on offer lie half a band apart, so that no limb near the mean is
told it is wrong. No depth is asked: depths are drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from typing import Any

import numpy as np

from wristward.block.sampler import Limbs
from wristward.data.checks.quiz import HEIGHTS
from wristward.data.dataset import Dataset
from wristward.data.records.branch import BranchRecord
from wristward.quiz.given import Given
from wristward.quiz.item import LEAST_CONFIDENCE, Item, make_item, one_best
from wristward.quiz.items.order import SURE, share_above
from wristward.quiz.wording import Wording

DISTRACTORS = 3
LEAST_BAND_MM = 20
FIBRES_BAND_MM = 40
"""How far muscles reach is published without a spread; a band of 4 cm asks no more than the third of the forearm."""

LANDMARK_BAND_MM = 10
"""Bony landmarks that lie close together differ by millimetres; wider bands would all but the lowest be beside the point."""

LEAST_APART_MM = 20
LEAST_PREVALENCE = 0.8
"""What many limbs lack is not measured against: the way from it to another event would be that of a few."""

ROOM_MM = 10
"""An event nearer the elbow crease than this has no band beside it."""


def items(given: Given) -> Iterator[Item]:
    """Yield every distance, those of events only where the data has branches."""
    dataset, wording = given.dataset, given.wording
    top_mm = dataset.region.reference_length_mm
    if given.limbs is not None:
        records = dataset.branches.branches
        yield from _events(records, wording, given.known, top_mm=top_mm)
        yield from _between(records, wording, given.limbs, given.known, top_mm=top_mm)
    yield from _fibres(dataset, wording, top_mm=top_mm)
    yield from _landmarks(dataset, wording, top_mm=top_mm)


def _events(
    records: Mapping[str, BranchRecord], wording: Wording, known: Sequence[str], *, top_mm: float
) -> Iterator[Item]:
    for id_ in known:
        record = records[id_]
        event = wording.event(id_)
        if record.mean_z_mm > top_mm - ROOM_MM:
            continue
        made = _item(
            wording,
            fact=id_,
            topics=tuple(dict.fromkeys([record.parent, record.branch or record.parent])),
            stem=wording.say("stem.distance", nerve=wording.name(record.parent), event=event),
            why=("distance", {"event": event}),
            mean_mm=record.mean_z_mm,
            sd_mm=record.sd_mm,
            most_mm=top_mm,
            z_mm=int(record.mean_z_mm),
            target=record.parent,
            sources=tuple(sorted({record.source} | {study.source for study in record.studies})),
            confidence=record.confidence,
        )
        if made is not None:
            yield made


def _between(
    records: Mapping[str, BranchRecord], wording: Wording, limbs: Limbs, known: Sequence[str], *, top_mm: float
) -> Iterator[Item]:
    """Yield how far apart two neighbouring events of a trunk, or of one of its branches, lie."""
    trunks: dict[str, list[str]] = {}
    for id_ in known:
        for trunk in dict.fromkeys([records[id_].parent, records[id_].branch]):
            if trunk is not None:
                trunks.setdefault(trunk, []).append(id_)
    asked: set[tuple[str, str]] = set()
    for trunk, ids in trunks.items():
        ids.sort(key=lambda one: (-records[one].mean_z_mm, one))
        for upper, lower in combinations(ids, 2):
            apart_mm = records[upper].mean_z_mm - records[lower].mean_z_mm
            between = ids[ids.index(upper) + 1 : ids.index(lower)]
            # Where a third event lies well between the two, the two shorter ways are asked instead.
            if apart_mm < LEAST_APART_MM or (upper, lower) in asked or share_above(limbs, upper, lower) < SURE:
                continue
            if min(records[upper].prevalence, records[lower].prevalence) < LEAST_PREVALENCE:
                continue
            if any(_parts(records, upper, one) and _parts(records, one, lower) for one in between):
                continue
            asked.add((upper, lower))
            both = limbs.present[upper] & limbs.present[lower]
            used = (records[upper], records[lower])
            names = {"upper": wording.event(upper), "lower": wording.event(lower)}
            made = _item(
                wording,
                fact=f"{upper}|{lower}",
                topics=(trunk,),
                stem=wording.say("stem.apart", nerve=wording.name(trunk), **names),
                why=("apart", names),
                mean_mm=apart_mm,
                sd_mm=float(np.std(limbs.z_mm[upper][both] - limbs.z_mm[lower][both])),
                most_mm=top_mm,
                z_mm=int(used[1].mean_z_mm),
                target=trunk,
                sources=tuple(sorted({record.source for record in used} | {"project_assumption"})),
                confidence=min(record.confidence for record in used),
            )
            if made is not None:
                yield made


def _parts(records: Mapping[str, BranchRecord], upper: str, lower: str) -> bool:
    return records[upper].mean_z_mm - records[lower].mean_z_mm >= LEAST_APART_MM


def _fibres(dataset: Dataset, wording: Wording, *, top_mm: float) -> Iterator[Item]:
    """Yield where the last fibres of a muscle end, where that is published and not drawn."""
    for id_, record in dataset.structures.items():
        belly = record.belly
        if belly is None or belly.confidence < LEAST_CONFIDENCE or record.part_of is not None:
            continue
        if not FIBRES_BAND_MM / 2 <= belly.to_z_mm <= top_mm - FIBRES_BAND_MM / 2:
            continue
        name = wording.name(id_)
        made = _item(
            wording,
            fact=f"fibres|{id_}",
            topics=(id_,),
            stem=wording.say("stem.fibres", name=name),
            why=("fibres", {"name": name}),
            mean_mm=belly.to_z_mm,
            sd_mm=FIBRES_BAND_MM / 2,
            most_mm=top_mm,
            z_mm=int(belly.to_z_mm),
            target=id_,
            sources=(belly.source,),
            confidence=belly.confidence,
        )
        if made is not None:
            yield made


def _landmarks(dataset: Dataset, wording: Wording, *, top_mm: float) -> Iterator[Item]:
    """Yield where the bony and skin landmarks lie that are published, not inferred."""
    for id_, record in dataset.region.landmarks.items():
        if record.confidence < LEAST_CONFIDENCE or not 0 < record.z_mm <= top_mm - ROOM_MM:
            continue
        made = _item(
            wording,
            fact=f"landmark|{id_}",
            topics=(_topic(dataset, record.z_mm),),
            stem=wording.say("stem.landmark", name=record.name),
            why=("landmark", {"name": record.name}),
            mean_mm=record.z_mm,
            sd_mm=0,
            least_mm=LANDMARK_BAND_MM,
            most_mm=top_mm,
            z_mm=int(record.z_mm),
            target=None,
            sources=(record.source,),
            confidence=record.confidence,
        )
        if made is not None:
            yield made


def _topic(dataset: Dataset, z_mm: float) -> str:
    """Return the stretch that is asked about and holds a height, or the topic of heights."""
    stretches = dataset.region.asked_stretches()
    return next((name for name, one in stretches.items() if one.z_mm[0] <= z_mm <= one.z_mm[1]), HEIGHTS)


def _item(
    wording: Wording,
    *,
    mean_mm: float,
    sd_mm: float,
    most_mm: float,
    why: tuple[str, Mapping[str, str]],
    z_mm: int,
    least_mm: int = LEAST_BAND_MM,
    **shared: Any,
) -> Item | None:
    """Return an item, or None where the scale has no room for two other bands; ``shared`` goes to it as it is."""
    key, names = why
    # The mean of a difference is steadier than the limbs; and a key that is the lowest band each time tells itself.
    spread_mm, apart = (sd_mm, True) if key == "apart" else (2 * sd_mm, False)
    width = max(least_mm, int(np.ceil(spread_mm / 10)) * 10)
    low = int(round((mean_mm - width / 2) / 5)) * 5
    step = int(1.5 * width)
    starts = [low + k * step for k in (-2, -1, 1, 2, -3, 3)]
    wrong = [one for one in starts if one >= 0 and one + width <= most_mm][:DISTRACTORS]
    if low < 0 or len(wrong) < 2 or (apart and min(wrong) > low):
        return None

    def band(start: int) -> str:
        return wording.band(low_mm=start, high_mm=start + width)

    told = wording.say(f"why.{key}", band=band(low), **names)
    unit = "apart" if apart else "band"
    return make_item(
        kind="distance",
        form="choice",
        options=one_best(
            band(low), told, ((band(one), wording.say(f"why.{unit}_{'high' if one > low else 'low'}")) for one in wrong)
        ),
        z_mm=z_mm,
        why=told,
        **shared,
    )

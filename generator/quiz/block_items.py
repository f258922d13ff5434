"""Items on branches, blocks, operations and the wrist's compartments: from branches, territories and relations.

What is caught is asked only where both readings put the chance at 0.1 or less, or 0.9 or more; a nerve that 15 to 85 %
of hands need is neither right nor wrong; an order only where each pair holds in nine limbs of ten.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from generator.block.chance import chances
from generator.block.coverage import hand_kinds
from generator.block.model import READINGS, Block, BlockModel, block_model
from generator.block.sampler import SEED, draw_limbs
from generator.quiz.model import BAND_MM, LEAST_CONFIDENCE, Item, Option, make_item
from generator.quiz.scoring import CREDIT_STEP_MM, HEIGHT_HALF_MM
from generator.quiz.wording import Wording

RARE, SURE = 0.1, 0.9
NEEDED, NOT_NEEDED = 0.85, 0.15
LEAST_BEST = 0.5
"""A level item is asked only where the best level does what is wanted in half of all limbs at least."""

LIMBS = 20_000
DISTRACTORS = 3
WRIST_MM = 35


def block_items(dataset, wording: Wording, *, seed: int = SEED) -> Iterator[Item]:
    """Yield every item that needs no section.

    Args:
        dataset: The checked data.
        wording: Its words.
        seed: Of the limbs that orders are judged on.
    """
    if "branches" in dataset.parts:
        model, records = block_model(dataset), dataset.parts["branches"].branches
        known = [id_ for id_, r in records.items() if r.confidence >= LEAST_CONFIDENCE and wording.has(f"event.{id_}")]
        yield from _orders(model, records, known, wording, seed)
        yield from _levels(model, records, known, wording, top_mm=dataset.region.reference_length_mm)
        yield from _caught(model, records, known, wording, top_mm=int(dataset.region.reference_length_mm))
        yield from _distances(records, known, wording, top_mm=dataset.region.reference_length_mm)
    if "territories" in dataset.parts:
        yield from _testing(dataset, wording)
        if "operations" in dataset.parts:
            yield from _operations(dataset, wording)
    yield from _wrist(dataset, wording)


def _orders(model: BlockModel, records, known: list[str], wording: Wording, seed: int) -> Iterator[Item]:
    limbs = draw_limbs(model, count=LIMBS, seed=seed)
    groups: dict[tuple[str, str], list[str]] = {}
    for id_ in known:
        groups.setdefault((records[id_].parent, records[id_].event), []).append(id_)
    for (nerve, _), ids in groups.items():
        ids = sorted(ids, key=lambda one: (-records[one].mean_z_mm, one))
        for size in range(3, len(ids) + 1):
            for chosen in combinations(ids, size):
                pairs = list(combinations(chosen, 2))
                if all(_above(limbs, a, b) >= SURE for a, b in pairs):
                    yield _order_item(nerve, chosen, records, wording)


def _above(limbs, upper: str, lower: str) -> float:
    both = limbs.present[upper] & limbs.present[lower]
    return float(np.mean(limbs.z_mm[upper][both] > limbs.z_mm[lower][both])) if both.any() else 0.0


def _order_item(nerve: str, chosen, records, wording: Wording) -> Item:
    texts = [wording.say(f"event.{id_}") for id_ in chosen]
    return make_item(
        kind="order",
        form="order",
        fact="|".join(chosen),
        topics=(nerve,),
        stem=wording.say("stem.order", nerve=wording.name(nerve)),
        options=tuple(
            Option(text=text, right=True, why=wording.say("why.order", place=k + 1)) for k, text in enumerate(texts)
        ),
        target=nerve,
        why=wording.say("why.order_all", order=", ".join(texts)),
        sources=tuple(sorted({records[id_].source for id_ in chosen})),
        confidence=min(records[id_].confidence for id_ in chosen),
    )


def _levels(model: BlockModel, records, known: list[str], wording: Wording, *, top_mm: float) -> Iterator[Item]:
    z_mm = np.arange(0, top_mm + 1, CREDIT_STEP_MM, dtype=float)
    for nerve, block in model.blocks.items():
        for wanted in (id_ for id_ in block.wanted if id_ in known):
            for unwanted in (id_ for id_ in block.unwanted if id_ in known and records[id_].muscles):
                pair = Block(nerve=nerve, wanted=(wanted,), unwanted=(unwanted,))
                for volume_ml in model.volumes_ml:
                    both = [
                        chances(model, pair, reading=reading, z_mm=z_mm, volume_ml=volume_ml).both
                        for reading in READINGS
                    ]
                    best = [float(z_mm[int(np.argmax(one))]) for one in both]
                    if abs(best[0] - best[1]) > HEIGHT_HALF_MM or min(one.max() for one in both) < LEAST_BEST:
                        continue
                    credit = np.min([one / one.max() for one in both], axis=0)
                    yield _level_item(model, nerve, wanted, unwanted, volume_ml, credit, records, wording)


def _level_item(model, nerve, wanted, unwanted, volume_ml, credit, records, wording: Wording) -> Item:
    best_mm = int(np.argmax(credit)) * CREDIT_STEP_MM
    said = {"wanted": wording.say(f"event.{wanted}"), "muscles": wording.names(records[unwanted].muscles)}
    assumed = _assumed(model, volume_ml, wording)
    return make_item(
        kind="level",
        form="height",
        fact=f"{nerve}|{wanted}|{unwanted}|{volume_ml:g}",
        topics=(nerve,),
        stem=wording.say("stem.level", nerve=wording.name(nerve), assumed=assumed, **said),
        z_mm=best_mm,
        target=nerve,
        credit=tuple(int(round(100 * float(one))) for one in credit / credit.max()),
        why=wording.say("why.level", height=wording.height(best_mm), assumed=assumed, **said),
        sources=tuple(sorted({records[wanted].source, records[unwanted].source, "project_assumption"})),
        confidence=min(records[wanted].confidence, records[unwanted].confidence),
    )


def _assumed(model: BlockModel, volume_ml: float, wording: Wording) -> str:
    length_mm, sd_mm = model.spread.mean_length_mm(volume_ml), model.spread.sd_mm
    return wording.say("assumption", ml=f"{volume_ml:g}", mm=f"{length_mm:g}", sd=f"{sd_mm:g}")


def _caught(model: BlockModel, records, known: list[str], wording: Wording, *, top_mm: int) -> Iterator[Item]:
    heights = np.arange(BAND_MM, top_mm, 2 * BAND_MM, dtype=float)
    for nerve, block in model.blocks.items():
        for volume_ml in model.volumes_ml:
            found = [chances(model, block, reading=r, z_mm=heights, volume_ml=volume_ml).caught for r in READINGS]
            for k, z_mm in enumerate(heights):
                judged = {}
                for id_ in (*block.wanted, *block.unwanted, *block.apart):
                    values = [float(one[id_][k]) for one in found]
                    if id_ in known and max(values) <= RARE:
                        judged[id_] = False
                    elif id_ in known and min(values) >= SURE:
                        judged[id_] = True
                if len(judged) < 3 or len(set(judged.values())) < 2:
                    continue
                yield _caught_item(model, nerve, int(z_mm), volume_ml, judged, records, wording)


def _caught_item(model, nerve, z_mm: int, volume_ml, judged, records, wording: Wording) -> Item:
    assumed = _assumed(model, volume_ml, wording)
    return make_item(
        kind="caught",
        form="many",
        fact=f"{nerve}@{z_mm}|{volume_ml:g}",
        topics=(nerve, f"level_{z_mm // BAND_MM * BAND_MM}"),
        stem=wording.say("stem.caught", nerve=wording.name(nerve), height=wording.height(z_mm), assumed=assumed),
        options=tuple(
            Option(
                text=wording.say(f"event.{id_}"),
                right=right,
                why=wording.say("why.caught" if right else "why.spared", height=wording.height(records[id_].mean_z_mm)),
            )
            for id_, right in judged.items()
        ),
        z_mm=z_mm,
        target=nerve,
        why=wording.say("why.caught_all", assumed=assumed),
        sources=tuple(sorted({records[id_].source for id_ in judged} | {"project_assumption"})),
        confidence=min(records[id_].confidence for id_ in judged),
    )


def _distances(records, known: list[str], wording: Wording, *, top_mm: float) -> Iterator[Item]:
    """Yield where an event lies on average, in bands as wide as two SDs and half a band apart."""
    for id_ in known:
        record = records[id_]
        width = max(20, int(np.ceil(2 * record.sd_mm / 10)) * 10)
        low = int(round((record.mean_z_mm - width / 2) / 5)) * 5
        if low < 0 or record.mean_z_mm > top_mm - 10:
            continue
        step = int(1.5 * width)
        starts = [low + k * step for k in (-2, -1, 1, 2, -3, 3)]
        wrong = [one for one in starts if one >= 0 and one + width <= top_mm][:DISTRACTORS]
        if len(wrong) < 2:
            continue

        def band(start: int, width: int = width) -> str:
            return wording.say("band", low=f"{start / 10:g}", high=f"{(start + width) / 10:g}")

        why = wording.say("why.distance", event=wording.say(f"event.{id_}"), band=band(low))
        yield make_item(
            kind="distance",
            form="choice",
            fact=id_,
            topics=tuple(dict.fromkeys([record.parent, record.branch or record.parent])),
            stem=wording.say("stem.distance", event=wording.say(f"event.{id_}")),
            options=(
                Option(text=band(low), right=True, why=why),
                *(
                    Option(text=band(one), right=False, why=wording.say("why.high" if one > low else "why.low"))
                    for one in wrong
                ),
            ),
            z_mm=int(record.mean_z_mm),
            target=record.parent,
            why=why,
            sources=tuple(sorted({record.source} | {study.source for study in record.studies})),
            confidence=record.confidence,
        )


def _shares(part, ids) -> dict[str, float]:
    factors = {id_: factor.alternatives for id_, factor in part.factors.items()}
    shares: dict[str, float] = {}
    for kind in hand_kinds(factors, part.territories, ids, patch_at_least=part.patch_at_least):
        for nerve in kind.nerves:
            shares[nerve] = shares.get(nerve, 0.0) + kind.chance
    return shares


def _testing(dataset, wording: Wording) -> Iterator[Item]:
    """Yield, for each nerve, the patch of skin that shows whether it is caught: nobody else's in most hands."""
    part = dataset.parts["territories"]
    skin = {
        id_: _shares(part, [id_])
        for id_, one in part.territories.items()
        if one.layer == "skin" and one.confidence >= LEAST_CONFIDENCE and wording.has(f"territory.{id_}")
    }
    for id_, shares in skin.items():
        sure = [nerve for nerve, share in shares.items() if share >= NEEDED]
        if len(sure) != 1 or any(share > NOT_NEEDED for nerve, share in shares.items() if nerve != sure[0]):
            continue
        nerve, record = sure[0], part.territories[id_]
        others = [other for other, own in skin.items() if own.get(nerve, 0.0) <= NOT_NEEDED]
        # Patches of the same part of the hand first: they are the plausible ones.
        others.sort(key=lambda other: (part.territories[other].part != record.part, other))
        if len(others) < 2:
            continue
        key = wording.say(f"territory.{id_}")
        yield make_item(
            kind="testing",
            form="choice",
            fact=f"{nerve}|{id_}",
            topics=(nerve,),
            stem=wording.say("stem.testing", nerve=wording.name(nerve)),
            options=(
                Option(text=key, right=True, why=wording.say("why.testing_right", nerve=wording.name(nerve))),
                *(
                    Option(
                        text=wording.say(f"territory.{other}"),
                        right=False,
                        why=wording.say("why.testing_wrong", nerves=wording.names(_most(skin[other]))),
                    )
                    for other in others[:DISTRACTORS]
                ),
            ),
            target=nerve,
            why=wording.say("why.testing_right", nerve=wording.name(nerve)),
            sources=(record.source,),
            confidence=record.confidence,
        )


def _most(shares: dict[str, float]) -> list[str]:
    return sorted(nerve for nerve, share in shares.items() if share > NOT_NEEDED)


def _operations(dataset, wording: Wording) -> Iterator[Item]:
    part = dataset.parts["territories"]
    for id_, operation in dataset.parts["operations"].operations.items():
        if not wording.has(f"operation.{id_}"):
            continue
        for layer in ("skin", "deep"):
            ids = list(getattr(operation, layer))
            if not ids or any(part.territories[one].confidence < LEAST_CONFIDENCE for one in ids):
                continue
            shares = _shares(part, ids)
            right = sorted(nerve for nerve, share in shares.items() if share >= NEEDED)
            unsure = {nerve for nerve, share in shares.items() if NOT_NEEDED < share < NEEDED}
            every = sorted({p.nerve for one in part.territories.values() for p in one.supply} - unsure - set(right))
            wrong = every[: max(2, 5 - len(right))]
            if not right:
                continue
            name = wording.say(f"operation.{id_}")
            yield make_item(
                kind="operation",
                form="many",
                fact=f"{id_}|{layer}",
                topics=(id_, *right),
                stem=wording.say(f"stem.operation_{layer}", operation=name),
                options=tuple(
                    [Option(text=wording.name(n), right=True, why=wording.say("why.needed")) for n in right]
                    + [Option(text=wording.name(n), right=False, why=wording.say("why.not_needed")) for n in wrong]
                ),
                target=right[0],
                why=wording.say("why.operation", nerves=wording.names(right)),
                sources=tuple(sorted({operation.source} | {part.territories[one].source for one in ids})),
                confidence=min([operation.confidence] + [part.territories[one].confidence for one in ids]),
            )


def _wrist(dataset, wording: Wording) -> Iterator[Item]:
    """Yield orders across the wrist from relations, and which compartment a tendon runs in."""
    for relation in dataset.relations:
        if relation.confidence < LEAST_CONFIDENCE or relation.z_mm[1] > WRIST_MM:
            continue
        claim = relation.order or relation.ring_order
        if claim is None or len(claim.of) < 3:
            continue
        groups = [(one,) if isinstance(one, str) else tuple(one) for one in claim.of]
        shared = {
            "z_mm": int(sum(relation.z_mm) / 2),
            "sources": (relation.source,),
            "confidence": relation.confidence,
        }
        if relation.order is not None and wording.has(f"toward.{claim.toward}"):
            yield make_item(
                kind="wrist",
                form="order",
                fact=relation.id,
                topics=(*(one for group in groups for one in group), "wrist"),
                stem=wording.say(
                    "stem.across", height=wording.height(shared["z_mm"]), toward=wording.say(f"toward.{claim.toward}")
                ),
                options=tuple(
                    Option(text=wording.names(group), right=True, why=wording.say("why.order", place=k + 1))
                    for k, group in enumerate(groups)
                ),
                target=groups[0][0],
                why=relation.says,
                **shared,
            )
        if len(groups) == 6 and relation.ring_order is not None:
            yield from _compartments(relation, groups, shared, wording)


def _compartments(relation, groups, shared, wording: Wording) -> Iterator[Item]:
    for place, group in enumerate(groups):
        for tendon in group:
            near = sorted((one for one in range(len(groups)) if one != place), key=lambda one: (abs(one - place), one))
            yield make_item(
                kind="wrist",
                form="choice",
                fact=f"compartment|{tendon}",
                topics=(tendon, "wrist"),
                stem=wording.say("stem.compartment", name=wording.name(tendon)),
                options=(
                    Option(text=wording.say(f"compartment.c{place + 1}"), right=True, why=relation.says),
                    *(
                        Option(
                            text=wording.say(f"compartment.c{one + 1}"),
                            right=False,
                            why=wording.say("why.compartment", names=wording.names(groups[one])),
                        )
                        for one in sorted(near[:DISTRACTORS])
                    ),
                ),
                target=tendon,
                why=wording.say("why.compartment_right", name=wording.name(tendon), place=place + 1),
                **shared,
            )

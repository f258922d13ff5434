"""Say which nerves an operation or a tissue needs. Skin and what is deep to it are asked apart.

A nerve that 15 to 85 % of the model's hands need is neither right nor wrong; tissues whose supply is only guessed
(confidence 1) are not asked about.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from wristward.data.records.scenario import OperationRecord, TerritoriesFile
from wristward.quiz.given import Given
from wristward.quiz.hands import NEEDED, NOT_NEEDED, alone, shares_of
from wristward.quiz.item import LEAST_CONFIDENCE, Item, Option, make_item
from wristward.quiz.wording import Wording

CHOICES = 5
LEAST_WRONG = 2
MANY = 1000
"""A patch in the same part of the hand counts for more than all others together."""


def items(given: Given) -> Iterator[Item]:
    """Yield the operations and the tissues they touch, or none where the data has no territories."""
    dataset = given.dataset
    if not dataset.has("territories"):
        return
    part = dataset.territories
    if dataset.has("operations"):
        yield from _operations(dataset.operations.operations, part, given.wording)
    yield from _tissues(part, given.wording)


def _operations(operations: Mapping[str, OperationRecord], part: TerritoriesFile, wording: Wording) -> Iterator[Item]:
    for id_, operation in operations.items():
        if not wording.has(f"operation.{id_}"):
            continue
        for layer, ids in (("skin", operation.skin), ("deep", operation.deep)):
            made = _item(
                part,
                wording,
                fact=f"{id_}|{layer}",
                topics=(id_,),
                stem=wording.say(f"stem.operation_{layer}", operation=wording.say(f"operation.{id_}")),
                ids=ids,
                sources={operation.source},
                confidence=operation.confidence,
            )
            if made is not None:
                yield made


def _tissues(part: TerritoriesFile, wording: Wording) -> Iterator[Item]:
    """Yield which nerves one tissue needs; what one nerve has to itself in the skin is asked as a test of a block."""
    for id_, record in part.territories.items():
        if record.layer == "skin" and alone(shares_of(part, [id_])) is not None:
            continue
        made = _item(
            part,
            wording,
            fact=f"tissue|{id_}",
            topics=(),
            stem=wording.say(f"stem.tissue_{record.layer}", tissue=wording.territory(id_)),
            ids=[id_],
            sources=set(),
            confidence=record.confidence,
        )
        if made is not None:
            yield made


def _item(
    part: TerritoriesFile,
    wording: Wording,
    *,
    fact: str,
    topics: tuple[str, ...],
    stem: str,
    ids: Sequence[str],
    sources: set[str],
    confidence: int,
) -> Item | None:
    if not ids or any(part.territories[one].confidence < LEAST_CONFIDENCE for one in ids):
        return None
    shares = shares_of(part, ids)
    right = sorted(nerve for nerve, share in shares.items() if share >= NEEDED)
    unsure = {nerve for nerve, share in shares.items() if NOT_NEEDED < share < NEEDED}
    wrong = [nerve for nerve in _near(part, ids) if nerve not in unsure and nerve not in right]
    wrong = wrong[: max(LEAST_WRONG, CHOICES - len(right))]
    if not right or len(wrong) < LEAST_WRONG:
        return None
    return make_item(
        kind="operation",
        form="many",
        fact=fact,
        topics=(*topics, *right),
        stem=stem,
        options=tuple(
            [Option(text=wording.name(n), right=True, why=wording.say("why.needed")) for n in right]
            + [Option(text=wording.name(n), right=False, why=wording.say("why.not_needed")) for n in wrong]
        ),
        target=right[0],
        why=wording.say("why.operation", nerves=wording.names(right)),
        sources=tuple(sorted(sources | {part.territories[one].source for one in ids})),
        confidence=min([confidence] + [part.territories[one].confidence for one in ids]),
    )


def _near(part: TerritoriesFile, ids: Iterable[str]) -> list[str]:
    """Return every nerve of the hand map, those first that serve the same part of the hand, skin or deep alike."""
    asked = [part.territories[one] for one in ids]
    parts, layers = {one.part for one in asked}, {one.layer for one in asked}
    served: dict[str, int] = {}
    for record in part.territories.values():
        supplies = [record.supply, *(pattern.supply for pattern in record.variants)]
        for nerve in {one.nerve for supply in supplies for one in supply}:
            if record.layer in layers:
                served[nerve] = served.get(nerve, 0) + 1 + MANY * (record.part in parts)
    return sorted(served, key=lambda nerve: (-served[nerve], nerve))

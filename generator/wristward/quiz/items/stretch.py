"""Know a stretch that the region asks about: its compartments, its tunnels, and what covers what there.

Each stands on a relation of relations.yaml that is checked at every millimetre; what is offered as wrong is held against
the same claim on the same section, and left out where it would hold as well.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from wristward.data.records.quiz_kinds import QUIZ_KINDS, STRETCH
from wristward.data.records.relation import RelationRecord
from wristward.data.records.relation_kinds import Contents, DeepTo, OnEveryLine, Order, Touches
from wristward.measure.cut import middle_of, rings_of
from wristward.measure.directions import Directions
from wristward.measure.measures import centre_distance_mm
from wristward.measure.relations import evaluate_claim
from wristward.quiz.given import Given
from wristward.quiz.item import LEAST_CONFIDENCE, Item, Option, make_item, one_best
from wristward.quiz.wording import Wording
from wristward.section.section import Point, Section, Solved

DISTRACTORS = 3
ROUND = ("nerve", "artery")
REACH_MM = 30.0
Values = dict[str, Any]
"""What an item is made of, but for its kind; ``names`` are its topics."""

Groups = Sequence[Sequence[str]]
Claim = DeepTo | OnEveryLine | Touches


def items(given: Given) -> Iterator[Item]:
    """Yield what each relation of each such stretch can be asked for; the kind is called like the stretch."""
    for name, stretch in given.dataset.region.stretches.items():
        for values in _asked(given, *stretch.z_mm) if stretch.asked else ():
            topics = (*values.pop("names"), name)
            yield make_item(kind=name, row=QUIZ_KINDS[STRETCH], topics=topics, **values)


def _asked(given: Given, low_mm: float, high_mm: float) -> Iterator[Values]:
    sections, wording = given.sections, given.wording
    for relation in given.dataset.relations:
        first_mm, last_mm = relation.z_mm
        if relation.confidence < LEAST_CONFIDENCE or first_mm > high_mm or last_mm < low_mm:
            continue
        z_mm = int((max(first_mm, low_mm) + min(last_mm, high_mm)) / 2)
        within = low_mm <= first_mm and last_mm <= high_mm
        if relation.order is not None and within:
            yield from _across(relation, relation.order, z_mm, wording)
        ring = relation.ring_order
        if ring is not None and within and _are_compartments(ring.of, wording):
            yield from _compartments(relation, ring.of, z_mm, wording)
            yield from _neighbours(relation, ring.of, z_mm, wording)
        section = sections.get(z_mm)
        if section is None or any(a <= z_mm <= b for a, b in relation.transitions):
            continue
        if relation.contents is not None:
            yield from _tunnel(relation, relation.contents, section, wording)
        made = [*_claims(relation, section, wording)]
        # Where too few of its class lie elsewhere, the cover is asked for instead.
        if not made and relation.deep_to is not None:
            made = [*_covers(relation, relation.deep_to, section, wording)]
        yield from made


def _are_compartments(groups: Groups, wording: Wording) -> bool:
    """Say whether the groups of a ring are compartments: as many as there are words for."""
    return wording.has(f"compartment.c{len(groups)}") and not wording.has(f"compartment.c{len(groups) + 1}")


def _item(
    relation: RelationRecord,
    *,
    fact: str,
    names: Sequence[str],
    z_mm: int,
    stem: str,
    options: Iterable[Option],
    **more: Any,
) -> Values:
    return {
        "form": "choice",
        "why": relation.says,
        "fact": fact,
        "names": names,
        "stem": stem,
        "options": tuple(options),
        "z_mm": z_mm,
        "target": names[0],
        "sources": (relation.source,),
        "confidence": relation.confidence,
        **more,
    }


def _across(relation: RelationRecord, order: Order, z_mm: int, wording: Wording) -> Iterator[Values]:
    groups = order.of
    if len(groups) < 3 or not wording.has(f"toward.{order.toward}"):
        return
    toward = wording.say(f"toward.{order.toward}")
    yield _item(
        relation,
        form="order",
        fact=relation.id,
        names=[one for group in groups for one in group],
        z_mm=z_mm,
        stem=wording.say("stem.across", height=wording.height(z_mm), toward=toward),
        options=[
            Option(text=wording.names(group), right=True, why=wording.say("why.order", place=k + 1))
            for k, group in enumerate(groups)
        ],
    )


def _compartments(relation: RelationRecord, groups: Groups, z_mm: int, wording: Wording) -> Iterator[Values]:
    """Yield in which compartment each tendon runs."""
    for place, group in enumerate(groups):
        for tendon in group:
            near = sorted((one for one in range(len(groups)) if one != place), key=lambda one: (abs(one - place), one))
            yield _item(
                relation,
                fact=f"compartment|{tendon}",
                names=[tendon],
                z_mm=z_mm,
                stem=wording.say("stem.compartment", name=wording.name(tendon)),
                options=one_best(
                    wording.say(f"compartment.c{place + 1}"),
                    relation.says,
                    (
                        (
                            wording.say(f"compartment.c{one + 1}"),
                            wording.say("why.compartment", names=wording.names(groups[one])),
                        )
                        for one in sorted(near[:DISTRACTORS])
                    ),
                ),
                why=wording.say("why.compartment_right", name=wording.name(tendon), place=place + 1),
            )


def _neighbours(relation: RelationRecord, groups: Groups, z_mm: int, wording: Wording) -> Iterator[Values]:
    """Yield which tendon shares a compartment, and which runs in the next one on the ulnar side."""
    for place, group in enumerate(groups):
        others = [(one, k) for k, row in enumerate(groups) for one in row if k != place]
        if len(group) == 2:
            near = sorted(others, key=lambda one: (abs(one[1] - place), one[0]))
            yield _neighbour(relation, groups, group[0], group[1], near, "shares", z_mm, wording)
        for name in group if place + 1 < len(groups) else ():
            far = [one for one in others if one[1] != place + 1]
            near = sorted(far, key=lambda one: (abs(one[1] - place), one[0]))
            yield _neighbour(relation, groups, name, groups[place + 1][0], near, "next", z_mm, wording)


def _neighbour(
    relation: RelationRecord,
    groups: Groups,
    name: str,
    key: str,
    near: Sequence[tuple[str, int]],
    word: str,
    z_mm: int,
    wording: Wording,
) -> Values:
    def place_of(tendon: str) -> str:
        place = next(k for k, row in enumerate(groups) if tendon in row)
        return wording.say("why.compartment_right", name=wording.name(tendon), place=place + 1)

    return _item(
        relation,
        fact=f"{word}|{name}",
        names=[name, key],
        z_mm=z_mm,
        stem=wording.say(f"stem.compartment_{word}", name=wording.name(name)),
        options=one_best(
            wording.name(key), place_of(key), ((wording.name(one), place_of(one)) for one, _ in near[:DISTRACTORS])
        ),
        why=f"{place_of(name)} {place_of(key)}",
    )


def _tunnel(relation: RelationRecord, space: Contents, section: Section, wording: Wording) -> Iterator[Values]:
    """Yield what runs in the space between roof and floor, and which of its neighbours run outside it."""
    inside = [solved for one in space.of if (solved := section.find(one)) is not None]
    kin = {name for solved in inside for name in (solved.id, solved.part_of)}
    middle = next((solved for solved in inside if solved.kind == "nerve"), inside[0])
    toward = wording.directions.vector(section, space.toward)
    outside = [
        solved
        for solved in section.structures
        if solved.id not in kin
        and (solved.tissue == "tendon" or solved.kind in ROUND)
        and centre_distance_mm(section, solved.id, middle.id) < REACH_MM
        # What lies on the other side of the limb would be too easy.
        and _along(solved.centre_mm, toward) > _along(middle_of(section), toward)
        and not evaluate_claim("contents", _with_one(space, solved.id), section, wording.directions).holds
    ]
    roof, height = wording.name(space.roof), wording.height(section.z_mm)
    for word, ours, theirs in (("inside", inside, outside), ("outside", outside, inside)):
        for solved in ours:
            alike = _nearest(section, solved.id, (one for one in theirs if _class(one) == _class(solved)))
            if len(alike) < 2:
                continue
            other = "outside" if word == "inside" else "inside"
            yield _item(
                relation,
                fact=f"{relation.id}|{word}|{solved.id}",
                names=[solved.id],
                z_mm=int(section.z_mm),
                stem=wording.say(f"stem.tunnel_{word}", roof=roof, height=height),
                options=one_best(
                    wording.name(solved.id),
                    wording.say(f"why.tunnel_{word}", roof=roof),
                    (
                        (wording.name(one.id), wording.say(f"why.tunnel_{other}", roof=roof))
                        for one in alike[:DISTRACTORS]
                    ),
                ),
            )


def _with_one(space: Contents, name: str) -> Contents:
    return space.model_copy(update={"of": (*space.of, name)})


def _nearest(section: Section, name: str, found: Iterable[Solved]) -> list[Solved]:
    return sorted(found, key=lambda one: (round(centre_distance_mm(section, name, one.id), 1), one.id))


def _class(solved: Solved) -> str:
    return "tendon" if solved.tissue == "tendon" else solved.kind


def _covers(relation: RelationRecord, claim: DeepTo, section: Section, wording: Wording) -> Iterator[Values]:
    """Yield what covers a structure, among what is of the cover's class and does not."""
    covers = [solved for one in claim.cover if (solved := section.find(one)) is not None]
    if len(covers) != 1 or section.find(claim.structure) is None:
        return
    key = covers[0]
    wrong = [
        solved
        for solved in section.structures
        if _class(solved) == _class(key)
        and solved.part_of is None
        and solved.id not in (key.id, claim.structure)
        and evaluate_claim(
            "deep_to", claim.model_copy(update={"cover": (solved.id,)}), section, wording.directions
        ).value
        == 0
    ]
    wrong = _nearest(section, claim.structure, wrong)
    if len(wrong) < 2:
        return
    name, way = wording.name(claim.structure), wording.say(f"claim_way.{claim.along}")
    yield _item(
        relation,
        fact=f"covers|{claim.structure}|{key.id}",
        names=[claim.structure, key.id],
        z_mm=int(section.z_mm),
        stem=wording.say("stem.covers", name=name, toward=way, height=wording.height(section.z_mm)),
        options=one_best(
            wording.name(key.id),
            relation.says,
            ((wording.name(one.id), wording.say("why.covers", name=name)) for one in wrong[:DISTRACTORS]),
        ),
    )


def _claims(relation: RelationRecord, section: Section, wording: Wording) -> Iterator[Values]:
    """Yield which structure a claim of cover, front or contact holds for, among those of its class it fails for."""
    for kind, claim, others in _held(relation):
        own = section.find(claim.structure)
        against = [name for name in others if section.find(name) is not None]
        if own is None or not against or own.part_of is not None:
            continue
        wrong = [
            solved
            for solved in section.structures
            if _class(solved) == _class(own)
            and solved.id != own.id
            and solved.part_of is None
            and solved.id not in against
            and _fails(claim, solved.id, section, wording.directions)
        ]
        wrong = _nearest(section, own.id, wrong)
        if len(wrong) < 2:
            continue
        of = wording.names(against)
        yield _item(
            relation,
            fact=f"{kind}|{claim.structure}|{'|'.join(against)}",
            names=[claim.structure, *against],
            z_mm=int(section.z_mm),
            stem=wording.say(
                f"stem.claim_{kind}", of=of, height=wording.height(section.z_mm), **_toward(claim, wording)
            ),
            options=one_best(
                wording.name(own.id),
                relation.says,
                ((wording.name(one.id), wording.say(f"why.claim_{kind}", of=of)) for one in wrong[:DISTRACTORS]),
            ),
        )


def _held(relation: RelationRecord) -> Iterator[tuple[str, Claim, tuple[str, ...]]]:
    """Yield the kind of a relation's claim of cover, front or contact, the claim, and what it is held against."""
    if relation.deep_to is not None:
        yield "deep_to", relation.deep_to, relation.deep_to.cover
    if relation.on_every_line is not None:
        yield "on_every_line", relation.on_every_line, relation.on_every_line.of
    if relation.touches is not None:
        yield "touches", relation.touches, relation.touches.other


def _fails(claim: Claim, name: str, section: Section, ways: Directions) -> bool:
    """Say whether another structure clearly does not do what the claim says, not merely by a hair."""
    if isinstance(claim, DeepTo):
        return evaluate_claim("deep_to", claim.model_copy(update={"structure": name}), section, ways).value == 0
    if isinstance(claim, Touches):
        near = claim.model_copy(update={"structure": name, "within_mm": 3.0})
        return not evaluate_claim("touches", near, section, ways).holds
    # Wholly behind: two structures that no line passes both of say nothing of one another.
    toward = ways.vector(section, claim.toward)
    walls = [point for one in claim.of for ring in rings_of(section, one) or () for point in ring]
    mine = [point for ring in rings_of(section, name) or () for point in ring]
    return max(_along(point, toward) for point in mine) < min(_along(point, toward) for point in walls)


def _along(point: Point, toward: Point) -> float:
    return point[0] * toward[0] + point[1] * toward[1]


def _toward(claim: Claim, wording: Wording) -> dict[str, str]:
    way = claim.along if isinstance(claim, DeepTo) else claim.toward
    return {"toward": wording.say(f"claim_way.{way}") if way is not None else ""}

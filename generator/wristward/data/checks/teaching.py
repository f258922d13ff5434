"""Checks of teaching.yaml and hand_map.yaml that look beyond one field."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from wristward.data.checks.part import Fault
from wristward.data.dataset import Dataset
from wristward.data.reading.tree import KeyPath
from wristward.data.records.teaching import HandMapFile, TeachingFile
from wristward.errors import quoted, unknown

MOST_LETTERS = 6
"""Colours and hatches that ``figure/hand_palette.py`` has."""


def check_hand_map(file: HandMapFile, dataset: Dataset) -> Iterator[Fault]:
    """Yield unknown nodes, steps that no chain makes, territories not drawn as skin, and nerves without a letter."""
    for name, chain in file.chains.items():
        for index, point in enumerate(chain):
            if isinstance(point, str) and point not in file.nodes:
                yield ("chains", name, index), unknown("node", point, file.nodes)
        if not isinstance(chain[0], str) or not isinstance(chain[-1], str):
            yield ("chains", name), f"'{name}' must begin and end with a node"
    ways: list[tuple[KeyPath, Sequence[str]]] = [(("outline",), file.outline)]
    ways += [((view, name), way) for view, ways_of in file.views.items() for name, way in ways_of.items()]
    steps = Counter(step for chain in file.chains.values() for step in steps_of(chain))
    for path, way in ways:
        for index, node in enumerate(way):
            if node not in file.nodes:
                yield (*path, index), unknown("node", node, file.nodes)
                continue
            nxt = way[(index + 1) % len(way)]
            count = steps[frozenset((node, nxt))]
            if nxt in file.nodes and count != 1:
                many = "no chain" if count == 0 else f"{count} chains"
                yield (*path, index), f"'{node}' and '{nxt}' are neighbours on {many} (allowed: one)"
    if dataset.has("territories"):
        for index, part in enumerate(file.parts):
            if part not in dataset.territories.parts:
                yield ("parts", index), unknown("part", part, dataset.territories.parts)
    territories = dataset.territories.territories if dataset.has("territories") else {}
    drawn = {name for ways_of in file.views.values() for name in ways_of}
    for view, ways_of in file.views.items():
        for name in ways_of:
            if name in territories and territories[name].layer != "skin":
                yield (view, name), f"'{name}' is {territories[name].layer} (allowed: skin)"
    for name, territory in territories.items():
        if territory.layer == "skin" and territory.part in file.parts and name not in drawn:
            yield ("palm",), f"'{name}' is skin of the hand and drawn on neither side"
    letters = set(file.signs.values())
    if len(letters) > MOST_LETTERS:
        yield ("signs",), f"{len(letters)} different letters (allowed: at most {MOST_LETTERS})"
    shown = [territory for name, territory in territories.items() if name in drawn]
    supplies = [supply for one in shown for supply in (one.supply, *(other.supply for other in one.variants))]
    served = {part.nerve for supply in supplies for part in supply}
    for nerve in sorted(served - set(file.signs)):
        yield ("signs",), f"'{nerve}' serves skin of the hand and has no letter"


def steps_of(chain: Sequence[object]) -> list[frozenset[str]]:
    """Return the pairs of nodes that are neighbours on a chain."""
    names = [point for point in chain if isinstance(point, str)]
    return [frozenset(pair) for pair in zip(names, names[1:], strict=False)]


def check_teaching(file: TeachingFile, dataset: Dataset) -> Iterator[Fault]:
    """Yield unknown signs, signs that contradict the catalogue, cases without injections, and blocks not modelled."""
    for name, sign in file.signs.items():
        record = dataset.structures.get(sign.muscle) if sign.muscle is not None else None
        if record is None:
            continue
        if record.kind != "muscle":
            yield ("signs", name, "muscle"), f"'{sign.muscle}' is a {record.kind} (allowed: a muscle)"
            continue
        nerves = [supply.nerve for supply in record.supply]
        for index, nerve in enumerate(sign.supply):
            if nerve not in nerves:
                yield (
                    ("signs", name, "supply", index),
                    f"'{nerve}' does not supply '{sign.muscle}' in the catalogue (allowed: {', '.join(sorted(nerves))})",
                )
    for nerve, test in file.nerves.items():
        for key, signs in test.signs.items():
            for index, id_ in enumerate(signs):
                if id_ not in file.signs:
                    yield ("nerves", nerve, key, index), unknown("sign", id_, file.signs)
        for index, id_ in enumerate(test.remain):
            if id_ in test.lost:
                yield ("nerves", nerve, "remain", index), f"'{id_}' is said to be lost as well"
    yield from _check_lists(file)
    yield from _check_cases(file, dataset)
    yield from _check_reasons(file, dataset)


def _check_lists(file: TeachingFile) -> Iterator[Fault]:
    lists = (("reasons", [one.id for one in file.reasons]), ("look_alikes", [one.id for one in file.look_alikes]))
    for key, ids in lists:
        for index, id_ in enumerate(ids):
            if id_ in ids[:index]:
                yield (key, index, "id"), f"'{id_}' is used twice"
    for index, one in enumerate(file.look_alikes):
        if one.z_mm != round(one.z_mm):
            yield ("look_alikes", index, "z_mm"), f"z_mm is {quoted(one.z_mm)}, must be a whole millimetre"


def _check_cases(file: TeachingFile, dataset: Dataset) -> Iterator[Fault]:
    operations = dataset.operations.operations if dataset.has("operations") else {}
    first: set[str] = set()
    for index, case in enumerate(file.cases):
        operation = operations.get(case.operation)
        if case.operation in first:
            yield ("cases", index, "operation"), f"'{case.operation}' is used twice"
        first.add(case.operation)
        if operation is None:
            continue
        if not operation.injections or operation.person_kg is None:
            yield ("cases", index, "operation"), f"'{case.operation}' has no injections and no made-up person"
        for injection in operation.injections:
            if injection.level_mm is None or injection.level_mm != round(injection.level_mm):
                text = f"an injection of '{case.operation}' has no level at a whole millimetre"
                yield ("cases", index, "operation"), text


def _check_reasons(file: TeachingFile, dataset: Dataset) -> Iterator[Fault]:
    blocks = dataset.branches.blocks if dataset.has("branches") else {}
    for index, reason in enumerate(file.reasons):
        for place, asked in enumerate(reason.computed):
            path = ("reasons", index, "computed", place)
            block = blocks.get(asked.nerve)
            if block is None:
                yield (*path, "nerve"), unknown("block", asked.nerve, blocks)
            elif asked.event not in (*block.wanted, *block.unwanted, *block.apart):
                known = (*block.wanted, *block.unwanted, *block.apart)
                yield (*path, "event"), unknown("event of that block", asked.event, known)

"""The kinds of structure: every order holds each of them once, and every record answers what only some kinds say."""

from typing import get_args

import pytest

from wristward.data.kinds import AS_SWITCHED, AS_TOLD, BACK_TO_FRONT, KNOT_MAPS, ROUND, StructureKind
from wristward.data.records.level import LevelRecord
from wristward.data.records.structure import Companion, Muscle, StructureRecord

KINDS = sorted(get_args(StructureKind))
RECORDS = {
    get_args(record.model_fields["kind"].annotation)[0]: record for record in get_args(get_args(StructureRecord)[0])
}


@pytest.mark.parametrize("order", [BACK_TO_FRONT, AS_TOLD, AS_SWITCHED])
def test_an_order_holds_every_kind_once(order):
    """What is drawn, told and switched is all there is."""
    assert KINDS == sorted(order)


def test_every_kind_has_a_record_and_one_map_of_a_level():
    """The catalogue describes each kind, and a level lists each in one place."""
    assert KINDS == sorted(RECORDS)
    assert KINDS == sorted(kind for kinds in KNOT_MAPS.values() for kind in kinds)
    assert set(KNOT_MAPS) <= set(LevelRecord.model_fields)


def test_what_is_round_is_what_may_be_placed_beside_another():
    """The kinds drawn as discs are those whose records know courses and company."""
    assert sorted(ROUND) == sorted(kind for kind, record in RECORDS.items() if issubclass(record, Companion))


def test_every_record_answers_what_only_some_kinds_say(dataset):
    """What a muscle, or a nerve, says of itself reads as nothing on every other structure."""
    asked = sorted(
        {name for record in (Muscle, Companion) for name in record.model_fields} - {"kind", "stiffness", "taper_mm"}
    )
    ends = {
        "from_z_mm",
        "to_z_mm",
        "name",
        "latin",
        "short",
        "goes_on",
        "facts",
        "source",
        "confidence",
        "seen",
        "rows",
        "note",
    }
    own = sorted(set(asked) - ends)
    lacking = {
        (id_, name): getattr(one, name)
        for id_, one in dataset.structures.items()
        for name in own
        if name not in type(one).model_fields
    }

    assert [
        "actions",
        "belly",
        "beside",
        "compartment",
        "course",
        "diameter_mm",
        "part_of",
        "partner",
        "parts",
        "supply",
    ] == own
    assert {None, ()} == set(lacking.values())

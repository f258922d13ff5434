"""Checks across files: what they let pass, and the faults that need more than one changed value.

The plain faults stand in ``broken/messages.txt``.
"""

from __future__ import annotations

import shutil
from math import pi
from pathlib import Path

import pytest

from wristward.data.checks.drawing import SQUEEZE
from wristward.data.checks.presence import HINT_MM
from wristward.data.checks.ring_faults import inset_area, ring_area
from wristward.data.read import read_dataset
from wristward.errors import DataError

SMALL = Path(__file__).parent / "small"
LEVEL, SOFT = "levels/z100.yaml", "structures/soft.yaml"
FLEXOR = "    compartment: volar_superficial\n    supply: middle_nerve\n"


@pytest.fixture
def after(tmp_path):
    """Return a function that changes the small arm and returns the messages."""
    shutil.copytree(SMALL, tmp_path / "small")

    def change(*edits: tuple[str, str, str]) -> list[str]:
        for name, old, new in edits:
            path = tmp_path / "small" / name
            text = path.read_text(encoding="utf-8")
            assert old in text, (name, old)
            path.write_text(text.replace(old, new, 1), encoding="utf-8")
        try:
            read_dataset(tmp_path / "small", parts=())
        except DataError as error:
            return str(error).splitlines()
        return []

    return change


def vein(name: str, rest: str) -> tuple[str, str, str]:
    record = (
        f"  {name}: {{kind: vein, name: v, from_z_mm: 200, to_z_mm: 0, source: own_drawing, confidence: 1, {rest}}}\n"
    )
    return SOFT, "  skin_vein:\n", record + "  skin_vein:\n"


def test_company_in_different_stretches_is_no_circle(after):
    """Two structures may lead one another in turn, where their stretches do not meet."""
    up = vein("vein_a", "diameter_mm: 1, beside: [{structure: vein_b, gap_mm: 1, from_z_mm: 200, to_z_mm: 101}]")
    down = vein("vein_b", "diameter_mm: 1, beside: [{structure: vein_a, gap_mm: 1, from_z_mm: 100, to_z_mm: 0}]")

    assert [] == after(up, down)


def test_a_circle_of_three_is_found_once_and_a_shared_leader_is_none(after):
    """A chain that closes over three is one problem; two that follow the same third are none."""
    a = vein("vein_a", "diameter_mm: 1, beside: [{structure: vein_b, gap_mm: 1}, {structure: vein_c, gap_mm: 1}]")
    b = vein("vein_b", "diameter_mm: 1, beside: [{structure: vein_c, gap_mm: 1}]")
    c = vein("vein_c", "diameter_mm: 1, beside: [{structure: middle_artery, gap_mm: 1}]")

    assert [] == after(a, b, c)
    closed = after(
        (SOFT, "beside: [{structure: middle_artery, gap_mm: 1}]", "beside: [{structure: vein_a, gap_mm: 1}]")
    )
    assert 1 == len(closed)
    assert "is beside vein_a: a circle at z 200 mm (let one be placed by its hint)" in closed[0]


def test_knots_may_hint_a_little_beyond_an_end(after):
    """A knot within 15 mm of its structure's end is a hint; one farther is a mistake."""
    ends = "    short: V\n    from_z_mm: 200\n    to_z_mm: 0\n"

    assert 15.0 == HINT_MM
    assert [] == after((SOFT, ends, ends.replace("200", "185").replace(": 0", ": 15")))
    assert [
        "small/levels/z200.yaml:21:3: 'skin_vein' is drawn at z 200 mm, but is present from z 184 to 15 mm only"
    ] == (
        after(
            (SOFT, "from_z_mm: 185\n", "from_z_mm: 184\n"),
            (SOFT, "from_z_mm: 200, to_z_mm: 0, in", "from_z_mm: 184, to_z_mm: 15, in"),
        )
    )


def test_room_is_what_fascia_and_bones_leave(after):
    """Muscles may ask for a fifth more than there is room, not for more."""
    dataset = read_dataset(SMALL, parts=())
    level = dataset.levels[1]
    room = inset_area(level.skin.outline, level.fascia.depth_mm) - sum(
        ring_area(bone.outline) for bone in level.bones.values()
    )
    rest = 220 + 7 + pi * 1.2**2
    most = int(SQUEEZE * room - rest)

    assert [] == after(
        (LEVEL, "area_mm2: 220", f"area_mm2: {min(most, 2000)}"), (LEVEL, "area_mm2: 220", "area_mm2: 220")
    )
    assert [
        f"small/levels/z100.yaml:14:1: muscles, tendons, nerves and vessels at z 100 mm ask for "
        f"{2 * 1999 + 7 + pi * 1.2**2:.0f} mm², but the fascia leaves {room:.0f} mm² beside the bones "
        f"(allowed: at most {SQUEEZE * room:.0f} mm²)"
    ] == after((LEVEL, f"area_mm2: {min(most, 2000)}", "area_mm2: 1999"), (LEVEL, "area_mm2: 220", "area_mm2: 1999"))


def test_groups_and_parts_name_one_another(after):
    """A part that names a group must be named by it; a head of a drawn muscle need not be."""
    group = "  bender: {kind: muscle, name: bender, parts: [flexor], source: own_drawing, confidence: 1}\n"

    assert [] == after((SOFT, "  flexor:\n", group + "  flexor:\n"), (SOFT, FLEXOR, "    part_of: bender\n" + FLEXOR))
    assert ["small/structures/soft.yaml:22:14: 'bender' does not list 'extensor' among its parts"] == after(
        (SOFT, "    compartment: dorsal_superficial\n", "    part_of: bender\n")
    )
    assert [] == after((SOFT, "    part_of: bender\n    from_z_mm", "    part_of: flexor\n    from_z_mm"))


def test_shares_of_a_supply_make_a_whole(after):
    """Shares that do not sum to one are a mistake, to the hundredth."""
    shares = "supply: [{nerve: middle_nerve, share: 0.3}, {nerve: middle_nerve, share: 0.3}]"

    assert ["small/structures/soft.yaml:8:13: the shares of the supply sum to 0.6, must sum to 1"] == after(
        (SOFT, "supply: middle_nerve", shares)
    )
    assert [] == after((SOFT, "share: 0.3}]", "share: 0.7}]"))


def test_a_spine_may_wrap_a_bone_only_where_it_is_cut(after):
    """Wrapping a bone is fine; where the bone has ended it is a mistake."""
    wrap = "spine: {wrap: radius, from_deg: 85, to_deg: -90, offset_mm: 1.5}"
    bone = "    name: radius\n    short: R\n    from_z_mm: 200\n    to_z_mm: "

    assert [] == after((LEVEL, "spine: [[-11.3, 13], [11.3, 13]]", wrap))
    assert [
        "small/levels/z000.yaml:10:3: 'radius' is drawn at z 0 mm, but is present from z 200 to 101 mm only",
        "small/levels/z100.yaml:15:41: bone 'radius' is not cut at z 100 mm (present from z 200 to 101 mm)",
    ] == after(("structures/bones.yaml", bone + "0", bone + "101"))

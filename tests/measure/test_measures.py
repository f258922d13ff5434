"""Measures of sections drawn so that every number can be worked out on paper."""

from __future__ import annotations

import pytest

from tests.shapes import WAYS, box, disc, mirrored, section, solved, star_crossing_itself
from wristward.measure import measures

NERVE = solved("nerve", box(-2, 10, 2, 14), kind="nerve")
ARTERY = solved("artery", box(5, 10, 9, 14), kind="artery")
FLEXOR = solved("flexor", box(-20, 20, 20, 30))
BONE = solved("bone", box(-10, -30, 10, -20), kind="bone")
CUT = section(BONE, FLEXOR, ARTERY, NERVE)


def measured(cut, structure_id):
    """Return what is measured of a structure of a section."""
    return next(one for one in measures.measure_section(cut) if one.id == structure_id)


def near(cut, structure_id):
    """Return the nearest neighbours of a structure of a section."""
    return measured(cut, structure_id).neighbours


def test_depth_is_the_shortest_way_to_the_skin():
    """Depth runs from the near wall to the nearest skin, whichever side that is on."""
    cut = section(NERVE, BONE, solved("radial", box(-48, 0, -46, 2)))

    assert [26.0, 10.0, 2.0] == [measured(cut, name).depth_mm for name in ("nerve", "bone", "radial")]


def test_straight_depth_runs_along_y():
    """Depth from the palm side is measured through the centre, also where another skin is nearer."""
    assert [26.0, 60.0] == [measured(CUT, name).straight_depth_mm for name in ("nerve", "bone")]


def test_bearing_starts_ulnar_and_turns_volar():
    """0 is ulnar, 90 volar, 180 radial, 270 dorsal, taken from the centre of the skin outline."""
    places = ((9, 0), (0, 9), (-9, 0), (0, -9))
    cut = section(*(solved(f"at_{x}_{y}", box(x - 1, y - 1, x + 1, y + 1)) for x, y in places))

    assert [0.0, 90.0, 180.0, 270.0] == [round(measures.bearing_deg(cut, s.id), 6) for s in cut.structures]


def test_bearing_means_the_same_on_a_left_arm():
    """A left arm is mirrored first, so a volar-ulnar structure keeps its bearing."""
    cut = section(solved("nerve", box(8, 8, 10, 10)))

    assert measures.bearing_deg(cut, "nerve") == pytest.approx(measures.bearing_deg(mirrored(cut), "nerve"))


@pytest.mark.parametrize(
    ("bearing", "expected"),
    [(0, "ulnar"), (22.4, "ulnar"), (22.6, "volar_ulnar"), (90, "volar"), (135, "volar_radial"), (180, "radial"),
     (225, "dorsal_radial"), (270, "dorsal"), (315, "dorsal_ulnar"), (337.6, "ulnar"), (359.9, "ulnar")],
)  # fmt: skip
def test_direction_is_the_nearest_eighth(bearing, expected):
    """A bearing is named by the eighth of a turn it falls in."""
    assert expected == WAYS.of_bearing(bearing)


def test_gap_is_edge_to_edge_and_zero_when_overlapping():
    """A gap runs from edge to edge, in a straight line, and is never negative."""
    cut = section(NERVE, ARTERY, solved("corner", box(6, 17, 8, 19)), solved("over", box(0, 12, 6, 13)))

    assert [3.0, 5.0, 0.0] == [measures.gap_mm(cut, "nerve", name) for name in ("artery", "corner", "over")]


def test_centre_distance_is_centre_to_centre():
    """Centres 7 mm apart are 7 mm apart, whatever the gap."""
    assert 7.0 == measures.centre_distance_mm(CUT, "nerve", "artery")


def test_area_counts_overlapping_parts_once():
    """A muscle's area is that of its belly and tendons together."""
    cut = section(
        solved("belly", box(0, 0, 10, 10)), solved("tendon", box(8, 0, 12, 10), kind="tendon", part_of="belly")
    )

    assert (120.0, 40.0) == (measured(cut, "belly").area_mm2, measured(cut, "tendon").area_mm2)


def test_a_branch_is_not_part_of_its_trunk():
    """A nerve's branch, unlike a muscle's head, does not count as the nerve and may be its neighbour."""
    branch = solved("branch", box(3, 10, 4, 11), kind="nerve", part_of="nerve")
    cut = section(NERVE, branch)

    assert (16.0, ["branch"]) == (
        measured(cut, "nerve").area_mm2,
        [neighbour.id for neighbour in near(cut, "nerve")],
    )


def test_a_group_is_its_heads():
    """A muscle that is only drawn as heads is measured as both together."""
    heads = (box(0, 30, 4, 34), box(10, 20, 14, 24))
    cut = section(BONE, *(solved(f"head_{k}", head, part_of="both") for k, head in enumerate(heads)))

    found = measures.measure_section(cut, partners={"bone": "both"})

    assert ("both", 40.0) == (found[0].partner, found[0].partner_gap_mm)


def test_neighbours_come_nearest_first_with_what_lies_between():
    """Neighbours are ranked by gap; the line to a far one names what it runs through."""
    found = near(CUT, "nerve")

    assert [("artery", 3.0, "ulnar", ()), ("flexor", 6.0, "volar", ()), ("bone", 30.0, "dorsal", ())] == [
        (n.id, n.gap_mm, WAYS.eighths[n.eighth], n.between) for n in found
    ]


def test_between_names_what_the_shortest_line_crosses():
    """What lies on the line between two structures is named."""
    wall = solved("wall", box(-30, 4, 30, 6))
    cut = section(NERVE, wall, BONE)

    assert ("wall",) == near(cut, "nerve")[1].between


def test_own_tendons_are_not_neighbours():
    """A tendon's own muscle and sister tendons are left out of its neighbours."""
    cut = section(
        solved("belly", box(0, 0, 10, 10)),
        solved("one", box(1, 1, 3, 3), kind="tendon", part_of="belly"),
        solved("two", box(5, 1, 7, 3), kind="tendon", part_of="belly"),
        BONE,
    )

    assert [["bone"], ["bone"], ["bone"]] == [[n.id for n in near(cut, name)] for name in ("belly", "one", "two")]


def test_measure_section_gives_every_structure_in_drawing_order():
    """One record for each structure, rounded to tenths, with the gap to its partner where that is cut."""
    cut = section(BONE, solved("nerve", disc(0.04, 12, 2), kind="nerve"), ARTERY)

    found = measures.measure_section(cut, partners={"nerve": "artery", "bone": "gone"})

    assert [("bone", None, None), ("nerve", "artery", 3.0), ("artery", None, None)] == [
        (m.id, m.partner, m.partner_gap_mm) for m in found
    ]
    assert (26.0, "volar", 12.5) == (found[1].depth_mm, WAYS.eighths[found[1].eighth], found[1].area_mm2)


def test_a_structure_that_is_not_cut_is_named():
    """Asking for what is not there says so, with the height."""
    with pytest.raises(LookupError) as error:
        measures.gap_mm(CUT, "nerve", "tendon")

    assert "'tendon' is not cut at z 100 mm" == error.value.args[0]


def test_a_crossed_outline_is_measured_not_refused():
    """An outline that crosses itself counts by the area it encloses."""
    cut = section(solved("bow", star_crossing_itself(), centre=(0.0, 0.0)))

    assert (32.0, 36.0) == (measured(cut, "bow").area_mm2, measured(cut, "bow").depth_mm)


def test_nothing_cut_is_nothing_measured():
    """A section without structures has no measures."""
    assert () == measures.measure_section(section())

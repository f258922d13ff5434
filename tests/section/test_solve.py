"""One plan to one section, on plans small enough to foretell."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Point, Polygon

from tests.section.section_plans import belly, nerve, round_bone, round_plan, solve_plan, straight_sheet
from wristward.anatomy.plan import Beside
from wristward.section.costs import Looking
from wristward.section.settle import settle_many
from wristward.section.solve import finish, solve_raws, solve_section


def _shape(section, name):
    return Polygon(section.find(name).ring_mm)


def test_a_lone_muscle_has_its_area_about_its_spine():
    """A muscle with nobody near is a disc of its area round its point."""
    section = solve_plan(round_plan(belly("one", 80.0, (3, 2))))

    solved = section.find("one")

    assert solved.area_mm2 == pytest.approx(solved.target_area_mm2, rel=0.02)
    assert solved.centre_mm == pytest.approx((3, 2), abs=0.2)


def test_no_muscle_goes_through_bone_or_membrane():
    """Muscle on one side of a wall of bones and membrane stays there however much it is squeezed."""
    bones = [round_bone("left", -10, 0, 6), round_bone("right", 10, 0, 6)]
    wall = straight_sheet("wall", (-4.5, 0), (4.5, 0))
    section = solve_plan(
        round_plan(
            belly("above", 420.0, (-8, 9), (8, 9)),
            belly("below", 60.0, (0, -6)),
            bones=bones,
            sheets=[wall],
            fill=0.9,
        )
    )

    above = _shape(section, "above")

    assert above.intersection(Point(0, -10).buffer(9)).area < 0.01
    assert all(above.intersection(_shape(section, name)).area < 0.01 for name in ("left", "right", "wall", "below"))


def test_a_seam_comes_to_its_nerve():
    """Two muscles meet at the nerve that runs between them, though their own border would lie elsewhere."""
    plain = round_plan(belly("one", 300.0, (-7, 0)), belly("two", 300.0, (9, 0)), fill=0.85)
    with_nerve = round_plan(
        belly("one", 300.0, (-7, 0)),
        belly("two", 300.0, (9, 0)),
        discs=[nerve("thread", -1.5, 3.0, seam=("one", "two"))],
        fill=0.85,
    )
    unbent, bent = solve_plan(plain), solve_plan(with_nerve)

    thread = _shape(bent, "thread")

    assert _shape(unbent, "two").distance(Point(-1.5, 3.0)) > 1.2
    assert _shape(bent, "one").distance(thread) < 0.8
    assert _shape(bent, "two").distance(thread) < 0.8


def test_what_lies_inside_a_muscle_is_joined_to_its_surface():
    """A nerve surrounded by one muscle leaves no hole: a thin plane joins it to the surface."""
    section = solve_plan(round_plan(belly("one", 400.0, (-6, 0), (6, 0)), discs=[nerve("thread", 0, 2.0)]))

    muscle, thread = _shape(section, "one"), _shape(section, "thread")

    assert muscle.is_valid
    assert muscle.intersection(thread).area == pytest.approx(0, abs=1e-6)


def test_a_squeezed_muscle_is_reported():
    """Muscles that cannot all have their area are named with the height and the pressure."""
    section = solve_plan(round_plan(belly("one", 900.0, (-6, 0)), belly("two", 900.0, (6, 0))))

    assert [f"{name} at z 100 mm takes" for name in ("one", "two")] == [
        w[: w.index(" takes") + 6] for w in section.warnings
    ]
    assert all("of the 900 mm² asked for: pressure" in w for w in section.warnings)


def test_a_lost_seam_is_reported():
    """A nerve whose named neighbour is far away is named with the height and the distance."""
    section = solve_plan(
        round_plan(
            belly("one", 60.0, (-12, 0)),
            belly("two", 60.0, (12, 0)),
            discs=[nerve("thread", -8, 0, seam=("one", "two"))],
        )
    )

    lost = [w for w in section.warnings if w.startswith("thread")]

    assert len(lost) == 1
    assert "mm from two, along which it runs" in lost[0]


def test_a_section_alone_equals_the_one_of_a_sweep(forearm, arm_sections):
    """Solving one height alone gives the very section that the sweep gave."""
    for z in (227, 133, 31):
        assert arm_sections[z] == solve_section(forearm, z_mm=z)


def test_plans_solved_together_are_what_they_are_alone(forearm):
    """Of plans solved together, the sections have every digit that they have of each plan alone."""
    plans = [forearm.plan(z_mm=z) for z in (240, 239, 97, 3)]

    together = [finish({0: raw}) for raw in solve_raws(plans)]

    assert [solve_plan(plan) for plan in plans] == together


def test_discs_settled_together_lie_where_they_do_alone(forearm):
    """Of several plans' discs settled together, each lies to the last digit where it does in its own plan alone."""
    plans = [forearm.plan(z_mm=z) for z in (260, 130, 20)] + [round_plan()]

    together = [[(disc.disc.id, *disc.at_mm, disc.tilt_deg) for disc in discs] for discs in settle_many(plans)]

    assert [
        [(disc.disc.id, *disc.at_mm, disc.tilt_deg) for disc in settle_many([plan])[0]] for plan in plans
    ] == together
    assert [len(plan.discs) for plan in plans] == [len(discs) for discs in together]


def test_a_belly_pressed_far_looks_as_far_as_it_is_pressed(monkeypatch):
    """A belly whose reach ends beyond what it looked at first is solved as if it had looked everywhere from the start."""
    plan = round_plan(belly("one", 100.0, (-17, 0)), belly("two", 900.0, (-12, -2)), fill=0.95)
    looked = []
    further = Looking.look_further
    monkeypatch.setattr(
        Looking, "look_further", lambda self, bellies, *rest: looked.append(bellies) or further(self, bellies, *rest)
    )
    near = solve_plan(plan)
    times = len(looked)
    monkeypatch.setattr("wristward.section.costs.LOOK_MM", 200.0)
    monkeypatch.setattr("wristward.section.costs.KEEP_MM", 200.0)
    everywhere = solve_plan(plan)

    assert times > 0
    assert times == len(looked)
    assert everywhere == near


@pytest.mark.parametrize("z_mm", (242, 195, 97, 14))
def test_what_bellies_do_not_look_at_changes_nothing(z_mm, forearm, monkeypatch):
    """A section in which each belly looks about its own cells only is the section in which all look everywhere."""
    plan = forearm.plan(z_mm=z_mm)
    near = solve_plan(plan)
    monkeypatch.setattr("wristward.section.costs.LOOK_MM", 200.0)
    monkeypatch.setattr("wristward.section.costs.KEEP_MM", 200.0)

    assert solve_plan(plan) == near


def test_a_plan_may_have_no_muscle_or_nothing_at_all():
    """Without bellies there are still nerves and bones, and without those there is still skin."""
    bare = solve_plan(round_plan())
    nerves = solve_plan(round_plan(discs=[nerve("thread", 3.0, 3.0)], bones=[round_bone("bone", -6, 0, 5)]))

    assert () == bare.structures
    assert ["bone", "thread"] == [solved.id for solved in nerves.structures]


def test_heights_outside_are_refused(forearm):
    """A height that is not drawn is an error that says what is allowed."""
    with pytest.raises(ValueError) as caught:
        forearm.plan(z_mm=261)

    assert str(caught.value) == "z_mm is 261 (allowed: 0 to 260)"


def test_subcutaneous_nerves_stay_in_the_fat():
    """A nerve under the skin is clear of skin and fascia."""
    section = solve_plan(
        round_plan(belly("one", 100.0, (0, 0)), discs=[nerve("thread", 19.0, 0, radius_mm=0.6, inside="subcutaneous")])
    )

    points = np.array(section.find("thread").ring_mm)
    reach = np.hypot(points[:, 0], points[:, 1])

    assert reach.min() > 20.0
    assert reach.max() < 24.0 - 1.0


def test_veins_go_with_their_artery_to_its_seam():
    """What lies beside a nerve or vessel and has no place of its own keeps its gap when the other is drawn to its seam."""
    artery = nerve("artery", -1.5, 3.0, seam=("one", "two"))
    rule = Beside(structure="artery", gap_mm=0.3, bearing_deg=90.0, strength=1.0)
    vein = replace(nerve("vein", 0.0, 0.0, radius_mm=0.6, beside=[rule]), at_mm=None)
    plan = round_plan(belly("one", 300.0, (-7, 0)), belly("two", 300.0, (9, 0)), discs=[artery, vein], fill=0.85)

    section = solve_plan(plan)

    assert _shape(section, "artery").centroid.distance(Point(-1.5, 3.0)) > 0.5
    assert _shape(section, "vein").distance(_shape(section, "artery")) == pytest.approx(0.3, abs=0.1)

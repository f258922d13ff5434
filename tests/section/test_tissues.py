"""What is cut as tendon has a tendon's size, nothing firm leaves the fascia, and loose tissue leaves no holes."""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from tests.section.section_plans import solve_plan
from tests.section.test_jitter import shaken

FIRM = ("bone", "sheet", "muscle", "tendon")
OUTSIDE_MM2 = 0.05
SHAKEN_SHARE = 1.12
"""Shaken data ask for up to 12 % more."""


def _table(name):
    return yaml.safe_load(Path(__file__).with_name(name).read_text(encoding="utf-8"))


@pytest.fixture(scope="session")
def tendons():
    """Areas of tendons by the number sheet."""
    return _table("tendon_areas.yaml")


@pytest.fixture(scope="session")
def loose():
    """Bands of loose tissue."""
    return _table("loose_tissue.yaml")


def too_large(section, tendons, *, times=1.0):
    """Return muscles of a section that are cut as tendon and larger than a tendon, with their area."""
    return [
        (s.id, round(s.area_mm2, 1))
        for s in section.structures
        if s.kind == "muscle"
        and s.tissue == "tendon"
        and s.area_mm2 > tendons["most_times"] * times * tendons["mm2"].get(s.id, 0.0)
    ]


def test_a_tendon_is_as_large_as_a_tendon(arm_sections, tendons):
    """At every mm what is cut as tendon has at most one and a half times the sheet's area of that tendon."""
    found = {z: wrong for z, section in arm_sections.items() if (wrong := too_large(section, tendons))}

    assert {s.id for section in arm_sections.values() for s in section.structures if s.tissue == "tendon"} != set()
    assert {} == found


@settings(max_examples=8, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(z=st.integers(0, 150), seed=st.integers(0, 10_000))
def test_shaken_tendons_are_tendons(forearm, tendons, z, seed):
    """Shaken data give no belly under a tendon's name."""
    section = solve_plan(shaken(forearm.plan(z_mm=z), seed))

    assert [] == too_large(section, tendons, times=SHAKEN_SHARE)


def test_nothing_firm_leaves_the_fascia(arm_sections):
    """No bone, sheet, muscle or tendon under the deep fascia reaches through it."""
    outside = []
    for z, section in arm_sections.items():
        fascia = Polygon(section.fascia_mm)
        for solved in section.structures:
            if solved.kind in FIRM and Polygon(solved.ring_mm).difference(fascia).area > OUTSIDE_MM2:
                outside.append((z, solved.id))

    assert [] == outside


def test_a_bone_is_cut_at_every_height(arm_sections):
    """At every mm a bone is cut on the radial side and one on the ulnar side."""
    bare = []
    for z, section in arm_sections.items():
        middle = Polygon(section.skin_mm).centroid.x
        bones = [Polygon(s.ring_mm).bounds for s in section.structures if s.kind == "bone"]
        if not any(b[0] < middle for b in bones) or not any(b[2] > middle for b in bones):
            bare.append(z)

    assert [] == bare


def _loose_parts(section):
    fascia = Polygon(section.fascia_mm)
    rest = fascia.difference(shapely.union_all([Polygon(s.ring_mm) for s in section.structures]))
    return fascia, [part for part in getattr(rest, "geoms", [rest]) if part.area > 0]


def test_loose_tissue_has_its_share(arm_sections, loose):
    """At every mm loose tissue takes a share of the space inside the fascia that is within the stated band."""
    off = {}
    for z, section in arm_sections.items():
        fascia, parts = _loose_parts(section)
        share = 100 * sum(part.area for part in parts) / fascia.area
        (band,) = [b for b in loose["share_percent"] if b["z_mm"][0] <= z <= b["z_mm"][1]]
        if not band["least"] <= share <= band["most"]:
            off[z] = round(share, 1)

    assert {} == off


def test_loose_tissue_leaves_no_hole(arm_sections, loose):
    """No disc of loose tissue inside the fascia is larger than 5 mm across, places that are named apart."""
    holes, looked = [], 0
    for z, section in arm_sections.items():
        _, parts = _loose_parts(section)
        looked += len(parts)
        named = [n for n in loose["named"] if n["z_mm"][0] <= z <= n["z_mm"][1]]
        for part in parts:
            spoke = shapely.maximum_inscribed_circle(part, tolerance=0.05)
            across, centre = 2 * spoke.length, Point(spoke.coords[0])
            most = max(
                (n["most_across_mm"] for n in named if centre.distance(Point(n["at_mm"])) <= n["within_mm"]),
                default=loose["most_across_mm"],
            )
            if across > most:
                holes.append((z, round(across, 1), round(centre.x, 1), round(centre.y, 1)))

    assert len(arm_sections) <= looked
    assert [] == holes

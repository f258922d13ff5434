"""Place of bones and muscles against an independent model: order round the bones, side, depth order, sizes.

Our sections are supinated; muscles are compared with the model's neutral pose, in the bone frame (see
``arm_model.KNOWN_FAULTS``). Thresholds and their power were measured on an earlier drawing; the power is
measured again here, on our own sections.
"""

from __future__ import annotations

import itertools
import math

import pytest

from tests.outside.arm_model import PLACED, arm_model, rectangle_mm
from tests.outside.outlines import at_percent, in_range, outline

SWAPS = [
    ("brachioradialis", "extensor_carpi_ulnaris"),
    ("extensor_carpi_radialis_brevis", "extensor_digitorum"),
    ("extensor_digitorum", "abductor_pollicis_longus"),
    ("flexor_carpi_radialis", "flexor_carpi_ulnaris"),
    ("flexor_pollicis_longus", "flexor_digitorum_profundus"),
    ("palmaris_longus", "flexor_carpi_ulnaris"),
    ("extensor_digiti_minimi", "extensor_carpi_ulnaris"),
]
"""Mistakes of labelling that the order test has to catch."""

OFF_LINE_MM = 5.0
"""Model paths nearer to the line through the bones than this have no side."""


@pytest.fixture(scope="session")
def places(arm_sections, published):
    """Percent to (ours, model's): muscle to (u, v), mm, for muscles that both cut."""
    found = {}
    for percent in published["muscle_order"]["percents"]:
        theirs = arm_model("neutral").cut(percent / 100).muscle_uv_mm
        ours = _muscle_uv(at_percent(arm_sections, percent))
        both = sorted(set(ours) & set(theirs))
        found[percent] = ({m: ours[m] for m in both}, {m: theirs[m] for m in both})
    return found


def test_order_round_the_bones(places, published):
    """Of three muscles well apart in the model, at least 94 % follow one another the same way round in ours."""
    table = published["muscle_order"]
    share, told = _agreement(places, table["least_gap_deg"])

    assert share >= table["pooled_share"], f"{share:.3f} pooled; {told}"


def test_order_round_the_distal_bones(places, published):
    """In the distal half at least 95 % at each level."""
    table = published["muscle_order"]

    faults = []
    for percent in table["distal_percents"]:
        share, told = _agreement({percent: places[percent]}, table["least_gap_deg"])
        if share < table["distal_share"]:
            faults.append(f"{percent} %: {share:.3f}; {told}")

    assert [62.5, 75, 87.5] == table["distal_percents"]
    assert [] == faults, "\n".join(faults)


def test_side_of_the_line_through_the_bones(places, published):
    """At least 90 % of muscles lie on the model's side, volar or dorsal, of the line from radius to ulna."""
    pairs = [
        (percent, muscle, ours[muscle][1], theirs[muscle][1])
        for percent, (ours, theirs) in places.items()
        for muscle in ours
        if abs(theirs[muscle][1]) > OFF_LINE_MM
    ]
    wrong = [f"{m} at {p} % (ours v {a:.0f}, model {b:.0f})" for p, m, a, b in pairs if (a > 0) != (b > 0)]

    share = 1 - len(wrong) / len(pairs)

    assert share >= published["muscle_order"]["side_share"], f"{share:.3f}; {'; '.join(wrong)}"


def test_superficial_flexor_is_volar_to_deep_flexor(places):
    """Depth order, which the order round the bones cannot see: v of the superficial flexor is the larger one."""
    volar, dorsal = "flexor_digitorum_superficialis", "flexor_digitorum_profundus"
    both = {p: ours for p, (ours, _) in places.items() if volar in ours and dorsal in ours}

    wrong = [p for p, ours in both.items() if ours[volar][1] <= ours[dorsal][1]]

    assert (len(places), []) == (len(both), wrong)


@pytest.mark.parametrize("swap", SWAPS, ids=[f"{a}-{b}" for a, b in SWAPS])
def test_order_catches_a_swap(places, published, swap):
    """Two labels swapped in our sections drop the pooled share below its threshold: the test above can fail."""
    table = published["muscle_order"]
    one, two = swap
    renamed = {one: two, two: one}
    swapped = {
        p: ({m: ours.get(renamed.get(m, m), ours[m]) for m in ours}, theirs) for p, (ours, theirs) in places.items()
    }

    share, _ = _agreement(swapped, table["least_gap_deg"])

    assert share < table["pooled_share"], f"{share:.3f} with {one} and {two} swapped"


def test_order_catches_a_mirror_image(places, published):
    """A left arm passed off as a right one agrees with almost nothing."""
    flipped = {p: ({m: (-u, v) for m, (u, v) in ours.items()}, theirs) for p, (ours, theirs) in places.items()}

    share, _ = _agreement(flipped, published["muscle_order"]["least_gap_deg"])

    assert share < 0.2, f"{share:.3f}"


def test_bone_diameters(arm_sections, published):
    """Long and short diameters of radius and ulna are those of the model's bones or up to 30 % more."""
    table = published["bones"]
    low, high = table["diameter_share"]
    slack = table["diameter_slack_mm"]

    faults = []
    for percent in table["percents"]:
        section, cut = at_percent(arm_sections, percent), arm_model("supinated").cut(percent / 100)
        for bone, theirs in (("radius", cut.radius_mm), ("ulna", cut.ulna_mm)):
            if percent in table["not_compared"].get(bone, ()):
                continue
            ours = rectangle_mm(outline(section, bone).exterior.coords)
            for what, a, b in zip(("long", "short"), ours, theirs, strict=True):
                if not b * (1 + low) - slack <= a <= b * (1 + high) + slack:
                    faults.append(
                        f"{bone} {what} at {percent} % (z {section.z_mm:g}): {a:.1f} mm, model {b:.1f} "
                        f"(allowed {b * (1 + low) - slack:.1f}–{b * (1 + high) + slack:.1f})"
                    )

    assert [10, 20, 30, 40, 50, 60, 70, 80] == table["percents"]
    assert [] == faults, "\n".join(faults)


def test_head_of_the_radius(arm_sections, published):
    """The head of the radius is as wide as in 40 radii measured by CT, mean ± 2 SD, in both directions."""
    row = published["radial_head_mm"]
    sections = in_range(arm_sections, row["z_mm"])

    faults = []
    for section in sections:
        for found in rectangle_mm(outline(section, row["structure"]).exterior.coords):
            if abs(found - row["mean"]) > 2 * row["sd"]:
                faults.append(f"z {section.z_mm:g}: {found:.1f} mm across, published {row['mean']} ± {2 * row['sd']}")

    assert sections
    assert [] == faults, "\n".join(faults)


def test_bone_centre_distances(arm_sections, published):
    """Radius and ulna are as far apart as in the supinated model, within 4 mm."""
    table = published["bones"]

    faults = []
    for percent in table["centre_distance_percents"]:
        section = at_percent(arm_sections, percent)
        theirs = arm_model("supinated").cut(percent / 100).centre_distance_mm
        ours = outline(section, "radius").centroid.distance(outline(section, "ulna").centroid)
        if abs(ours - theirs) > table["centre_distance_tolerance_mm"]:
            faults.append(f"{percent} % (z {section.z_mm:g}): {ours:.1f} mm, model {theirs:.1f}")

    assert [10, 20, 30, 40, 50, 60, 70, 80, 90] == table["centre_distance_percents"]
    assert [] == faults, "\n".join(faults)


def _muscle_uv(section) -> dict[str, tuple[float, float]]:
    """Muscle to its centre of area in the bone frame: u from radius to ulna, v volar, from midway, mm."""
    radius, ulna = (outline(section, bone).centroid for bone in ("radius", "ulna"))
    apart = math.hypot(ulna.x - radius.x, ulna.y - radius.y)
    u = (ulna.x - radius.x) / apart, (ulna.y - radius.y) / apart
    middle = (ulna.x + radius.x) / 2, (ulna.y + radius.y) / 2
    found = {}
    for name in PLACED:
        shape = outline(section, name)
        if shape is not None:
            x, y = shape.centroid.x - middle[0], shape.centroid.y - middle[1]
            found[name] = (x * u[0] + y * u[1], -x * u[1] + y * u[0])
    return found


def _agreement(places, least_gap_deg: float) -> tuple[float, str]:
    """Return the share of triples in the model's order, and the muscles most often out of it."""
    same = asked = 0
    blamed: dict[str, int] = {}
    for ours, theirs in places.values():
        for triple in itertools.combinations(sorted(ours), 3):
            model = [_angle(theirs[m]) for m in triple]
            if min(abs((a - b + 180) % 360 - 180) for a, b in itertools.combinations(model, 2)) < least_gap_deg:
                continue
            asked += 1
            if _turns_left(model) == _turns_left([_angle(ours[m]) for m in triple]):
                same += 1
            else:
                for muscle in triple:
                    blamed[muscle] = blamed.get(muscle, 0) + 1
    worst = sorted(blamed.items(), key=lambda item: (-item[1], item[0]))[:4]
    told = ", ".join(f"{muscle} in {count}" for muscle, count in worst)
    return same / asked, f"{same} of {asked} triples; most often out of order: {told or 'none'}"


def _angle(point) -> float:
    return math.degrees(math.atan2(point[1], point[0])) % 360.0


def _turns_left(angles) -> bool:
    first, second, third = angles
    return (second - first) % 360 < (third - first) % 360

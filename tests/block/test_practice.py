"""What the trade says of levels and volumes, held against the model; common practice, no source.

Each part of practice.yaml says where our windows agree and where they do not; here its numbers are worked out again, and
its verdict from them.
"""

import numpy as np
import pytest

from tests.block.conftest import published, raw
from tests.reports import window_report
from wristward.block.chance import chances

PRACTICE = published("practice")
PARTS = {part["id"]: (statement, part) for statement in PRACTICE["statements"] for part in statement["parts"]}
THIRD_MM = 260 / 3
MIDDLE_MM = 130
DORSAL = "ulnar_dorsal_cutaneous_branch_take_off"
SPLIT = "lateral_antebrachial_split"


@pytest.fixture(scope="module")
def of(dataset):
    """Reports by nerve, volume and reading, made once."""
    made = {}

    def report(nerve, volume_ml=5, reading="take_off"):
        key = (nerve, volume_ml, reading)
        if key not in made:
            made[key] = window_report(dataset, nerve=nerve, volume_ml=volume_ml, reading=reading)
        return made[key]

    return report


def whole(share):
    return round(100 * share)


def verdict(*, agrees, disagrees):
    """Return what a part must say: yes, no, or in_part."""
    assert agrees or disagrees
    return "in_part" if agrees and disagrees else "yes" if agrees else "no"


def median_by_take_off(of):
    windows = [of("median_nerve", ml)["window"] for ml in (3, 5, 8)]
    low, high = min(one["low_mm"] for one in windows), max(one["high_mm"] for one in windows)
    spared = of("median_nerve")["spared"][MIDDLE_MM]
    agrees = high < THIRD_MM and spared < 0.9
    return verdict(agrees=agrees, disagrees=not agrees), {
        "from_mm": low, "to_mm": high, "spared_at_130_with_5_ml": whole(spared),
    }  # fmt: skip


def median_by_parting(of):
    report = of("median_nerve", 5, "parting")
    window = report["window"]
    return verdict(agrees=window["best_mm"] < THIRD_MM, disagrees=window["empty"]), {
        "from_mm": window["low_mm"],
        "to_mm": window["high_mm"],
        "best_with_5_ml": window["best_mm"],
        "chance": whole(window["best_chance"]),
        "spared_at_130_with_5_ml": whole(report["spared"][MIDDLE_MM]),
    }


def ulnar(of):
    report = of("ulnar_nerve")
    window = report["window"]
    return verdict(agrees=window["low_mm"] < THIRD_MM, disagrees=window["high_mm"] > MIDDLE_MM), {
        "from_mm": window["low_mm"],
        "to_mm": window["high_mm"],
        "spared_at_130_with_5_ml": whole(report["spared"][MIDDLE_MM]),
    }


def median_at_70(of):
    shares = {ml: of("median_nerve", ml)["spared"][70] for ml in (5, 8, 10)}
    agrees = shares[5] - shares[8] > 0.02 and shares[8] - shares[10] > 0.02
    return verdict(agrees=agrees, disagrees=not agrees), {
        f"spared_with_{ml}_ml": whole(share) for ml, share in shares.items()
    }


def median_window(of):
    windows = {ml: of("median_nerve", ml)["window"] for ml in (5, 8)}
    worse = windows[5]["best_chance"] - windows[8]["best_chance"] > 0.005
    return verdict(agrees=worse, disagrees=not worse), {
        "best_with_5_ml": windows[5]["best_mm"],
        "best_with_8_ml": windows[8]["best_mm"],
        "chance": whole(windows[8]["best_chance"]),
    }


def ulnar_at_80(of):
    shares = {ml: of("ulnar_nerve", ml)["spared"][80] for ml in (5, 10)}
    worse = shares[5] - shares[10] > 0.005
    return verdict(agrees=worse, disagrees=not worse), {
        f"spared_with_{ml}_ml": whole(share) for ml, share in shares.items()
    }


def above_the_creases(of):
    caught = of("ulnar_nerve")["wanted"]
    agrees = max(caught[0], caught[9]) < 0.5
    return verdict(agrees=agrees, disagrees=not agrees), {f"caught_at_{z}_with_5_ml": whole(caught[z]) for z in (0, 9)}


def above_the_take_off(of):
    report = of("ulnar_nerve")
    mean = raw("branches")["branches"][DORSAL]["mean_z_mm"]
    low, upper = report["window"]["low_mm"], report["window"]["low_mm"] + report["assumed"]["length_mm"] / 2
    agrees = upper > mean and min(report["wanted"][mean:]) >= 0.9
    return verdict(agrees=agrees, disagrees=low < mean), {
        "mean_take_off": mean,
        "from_mm": low,
        "upper_edge_mm": round(upper),
        "caught_at_77_with_5_ml": whole(report["wanted"][mean]),
    }


def superficial_radial(of):
    highs = {
        nerve: of(nerve)["window"]["high_mm"] for nerve in ("superficial_radial_nerve", "median_nerve", "ulnar_nerve")
    }
    agrees = highs["superficial_radial_nerve"] > max(highs["median_nerve"], highs["ulnar_nerve"])
    return verdict(agrees=agrees, disagrees=not agrees), {
        "to_mm": highs["superficial_radial_nerve"],
        "median_to_mm": highs["median_nerve"],
        "ulnar_to_mm": highs["ulnar_nerve"],
    }


def lateral_antebrachial(of):
    report = of("lateral_antebrachial_cutaneous_nerve")
    agrees = report["window"]["limit_above"] is None or report["window"]["best_high_mm"] == 260
    return verdict(agrees=agrees, disagrees=not agrees), {
        "best_with_5_ml": report["window"]["best_mm"],
        "caught_at_180_with_5_ml": whole(report["wanted"][180]),
    }


def seven_to_eight_centimetres(of):
    three, five = of("median_nerve", 3), of("median_nerve", 5)
    agrees = three["window"]["low_mm"] <= 70 and three["window"]["high_mm"] >= 75
    return verdict(agrees=agrees, disagrees=five["window"]["high_mm"] < 80), {
        "from_mm_with_3_ml": three["window"]["low_mm"],
        "to_mm_with_3_ml": three["window"]["high_mm"],
        "to_mm_with_5_ml": five["window"]["high_mm"],
        "best_with_5_ml": five["window"]["best_mm"],
        "spared_at_80_with_5_ml": whole(five["spared"][80]),
    }


@pytest.mark.parametrize("part", sorted(PARTS))
def test_where_our_windows_agree(part, of):
    """For each statement the verdict and every number of practice.yaml are those that the model gives."""
    _, told = PARTS[part]
    found, measured = globals()[part](of)

    assert (told["verdict"], told["measured"]) == (found, measured)
    assert (found in ("yes", "in_part")) == ("agrees" in told)
    assert (found in ("no", "in_part")) == ("disagrees" in told)


def test_the_statements_are_those_of_the_data_and_have_no_source(branches):
    """Every statement of common practice in branches.yaml is judged here, word for word, and none claims a source."""
    ours = {one["finding"]: one["says"] for one in PRACTICE["statements"] if one["finding"] is not None}
    data = {id_: one for id_, one in branches["findings"].items() if id_.startswith("common_practice")}

    assert {id_: one["says"] for id_, one in data.items()} == ours
    assert {("common_practice", "memory")} == {(one["source"], one["seen"]) for one in data.values()}
    assert "common practice, no source" == PRACTICE["shown_as"]
    assert raw("sources")["sources"]["common_practice"]["title"].lower() == PRACTICE["shown_as"]


def test_by_take_off_a_lower_demand_reaches_to_eight_centimetres(model):
    """With 5 mL the levels from 70 to 80 mm do both in 85 to 90 of 100 arms: a demand of 85 holds there, one of 90 does not."""
    z_mm = np.arange(70, 81.0)
    found = chances(model, model.blocks["median_nerve"], reading="take_off", z_mm=z_mm, volume_ml=5)

    assert np.all((found.wanted >= 0.85) & (found.spared >= 0.85))
    assert (found.wanted >= 0.9).all() and 0.85 < found.both.min() < found.both.max() < 0.905


@pytest.mark.xfail(
    reason="with 5 mL levels from 129 to 149 mm catch the dorsal and the high palmar branch and spare the forearm muscles, "
    "each in 9 of 10 arms with the high branch (best 139 mm, 93 of 100): half of the bathed length lies above the level"
)
def test_no_ulnar_level_lies_above_both_skin_branches(model, limbs):
    """The number sheet's corrections say that no ulnar level lies above both skin branches where the palmar one leaves
    high, without reaching muscles."""
    high = "ulnar_palmar_cutaneous_branch_high_take_off"
    block, there = model.blocks["ulnar_nerve"], limbs.present[high]
    half_mm = np.maximum(0, 65 + 15 * limbs.length_deviation) / 2
    for z_mm in range(0, 261):
        edge = (z_mm + half_mm)[there]
        caught = np.mean([edge > limbs.z_mm[id_][there] for id_ in (DORSAL, high)], axis=1)
        reached = np.any([edge > limbs.z_mm[id_][there] for id_ in block.unwanted], axis=0).mean()

        assert min(caught) < 0.9 or 1 - reached < 0.9, z_mm

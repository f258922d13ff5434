"""The block model against what others published; each check carries its source and what was read of it."""

import numpy as np
import pytest
from scipy.stats import binomtest

from tests.block.conftest import distribution, published, raw
from tests.reports import window_report
from wristward.block.blocks import READINGS
from wristward.block.coverage import hands, needed_in

CHECKS = published("published_checks")
ALPHA = 0.05
SEEN = ("memory", "abstract", "table")
THREE = {"median_nerve", "ulnar_nerve", "superficial_radial_nerve"}
POOLED_MM = 3.0
"""How far the pooled mean may lie from the studies' n-weighted mean: the sheet rounds and joins by judgement."""


def cases(name):
    """Return the checks of a kind; those that are known to disagree are expected to fail."""
    return [
        pytest.param(
            row, id=row["id"], marks=[pytest.mark.xfail(reason=row["disagrees"])] if "disagrees" in row else []
        )
        for row in CHECKS[name]
    ]


def every_check():
    yield from (row for name in ("shares", "orders", "hands", "findings") for row in CHECKS[name])
    yield from (row for group in CHECKS["means"].values() for row in group["studies"])


def test_every_check_has_a_source_and_says_what_was_read():
    """Each check names a source of the bibliography that knows its row, and claims no more reading than that does."""
    sources, checks = raw("sources")["sources"], list(every_check())
    faults = [
        (row["source"], row["seen"], row["rows"])
        for row in checks
        if SEEN.index(row["seen"]) > SEEN.index(sources[row["source"]]["seen"])
        or not set(row["rows"]) <= set(sources[row["source"]]["rows"])
    ]

    assert all(CHECKS[name] for name in CHECKS)
    assert len(checks) >= len(CHECKS["means"])
    assert [] == faults


@pytest.mark.parametrize("row", cases("shares"))
def test_share_on_one_side_of_a_height(row, limbs):
    """As many limbs as were counted are what the model's share makes likely, by an exact binomial test."""
    below = float(np.mean(limbs.z_mm[row["event"]] < row["z_mm"]))
    share = below if row["side"] == "below" else 1 - below

    assert binomtest(row["count"], row["n"], share).pvalue > ALPHA, round(100 * share, 1)


@pytest.mark.parametrize("row", cases("orders"))
def test_what_happened_in_no_limb(row, limbs):
    """What no limb of a study had, no drawn limb has."""
    there = limbs.present[row["upper"]] & limbs.present[row["lower"]]

    assert row["count"] == int(np.sum(limbs.z_mm[row["upper"]][there] < limbs.z_mm[row["lower"]][there]))


def test_the_anterior_interosseous_leaves_above_most_first_branches(limbs):
    """That the first branch to the superficial flexor leaves below the anterior interosseous nerve in 85 % of thirty
    limbs (Riveros 2018, abstract) does not contradict the model, whose two events are independent: 71 %."""
    first, nerve = "flexor_digitorum_superficialis_first_branch", "anterior_interosseous_take_off"
    share = float(np.mean(limbs.z_mm[first] < limbs.z_mm[nerve]))

    assert abs(share - 0.71) < 0.01
    assert min(binomtest(count, 30, share).pvalue for count in (25, 26)) > ALPHA


def heights(group):
    landmarks = raw("region")["landmarks"]
    return [
        (landmarks[study["proximal_to"]]["z_mm"] + 10 * study["cm"], study)
        for study in CHECKS["means"][group]["studies"]
    ]


@pytest.mark.parametrize("group", sorted(CHECKS["means"]))
def test_pooled_mean_and_scatter_are_those_of_the_studies(group, branches):
    """The pooled mean is the studies' weighted mean within 3 mm, and the scatter covers what they differ by."""
    record, found = branches["branches"][CHECKS["means"][group]["event"]], heights(group)
    z_mm, n = np.array([z for z, _ in found]), np.array([study["n"] for _, study in found])
    mean = float(np.average(z_mm, weights=n))
    between = float(np.sqrt(np.average((z_mm - mean) ** 2, weights=n)))
    within = [10 * study["sd_cm"] for _, study in found if "sd_cm" in study]

    assert abs(mean - record["mean_z_mm"]) <= POOLED_MM, mean
    assert max(between, min(within)) <= record["sd_mm"], (between, within)


@pytest.mark.parametrize("group", sorted(CHECKS["means"]))
def test_every_study_lies_within_the_model(group, branches):
    """Each study's mean is one that 19 of 20 limbs surround, and a printed range lies within the model's ends."""
    record = branches["branches"][CHECKS["means"][group]["event"]]
    model, studies, beyond = distribution(record), heights(group), []
    for z_mm, study in studies:
        # A study that prints no range has its mean alone.
        low, high = (z_mm + 10 * (cm - study["cm"]) for cm in study.get("range_cm", (study["cm"], study["cm"])))
        within = record["min_z_mm"] <= low <= high <= record["max_z_mm"]
        if not within or not 0.025 <= model.cdf(z_mm) <= 0.975:
            beyond.append((study["source"], z_mm, low, high))

    assert studies
    assert [] == beyond


def test_conversions_in_the_data_are_those_of_the_landmarks(branches):
    """Each mean of the table, converted by its landmark, is the height that branches.yaml gives the study."""
    converted, ours = {}, {}
    for name, group in CHECKS["means"].items():
        known = {study["source"]: study for study in branches["branches"][group["event"]]["studies"]}
        for z_mm, study in heights(name):
            converted[name, study["source"], study["cm"]] = z_mm
            ours[name, study["source"], study["cm"]] = known[study["source"]]["z_mm"]

    assert set(CHECKS["means"]) == {name for name, *_ in converted}
    assert ours == pytest.approx(converted, abs=0.6)


def share_of_hands(dataset, row):
    """Return the share of hands in which what a row asks is so, over every kind of hand."""
    file = dataset.territories
    factors = {id_: record.alternatives for id_, record in file.factors.items()}
    parts = ("palm", "back", "digits")
    ids = (
        [row["territory"]]
        if "territory" in row
        else [id_ for id_, one in file.territories.items() if one.layer == "skin" and one.part in parts]
    )
    total = 0.0
    for chance, hand in hands(factors, file.territories, ids):
        needs = [
            {part.nerve for part in needed_in(file.territories[id_], hand, patch_at_least=file.patch_at_least)}
            for id_ in ids
        ]
        so = {
            "needed": lambda needs=needs: row["nerve"] in needs[0],
            "absent": lambda needs=needs: row["nerve"] not in needs[0],
            "both": lambda needs=needs: {row["nerve"], row["with"]} <= needs[0],
            "overlap": lambda needs=needs: any(len(one & THREE) > 1 for one in needs),
            "gap": lambda needs=needs: any(one - THREE for one in needs),
        }[row["asks"]]()
        total += chance * so
    return total


@pytest.mark.parametrize("row", cases("hands"))
def test_share_of_hands(row, dataset):
    """As many hands as were counted are what the model's share makes likely, by an exact binomial test."""
    share = share_of_hands(dataset, row)

    assert binomtest(row["count"], row["n"], share).pvalue > ALPHA, round(100 * share, 1)


def test_the_most_common_split_of_the_back_is_two_and_a_half(dataset):
    """Of the forms of the back of the hand the most common one has two and a half fingers from each side
    (Sulaiman 2015, abstract)."""
    split = dataset.territories.factors["dorsum_split"].alternatives

    assert "two_and_a_half" == max(split, key=split.get)


def test_three_nerves_leave_gaps(dataset):
    """Median, ulnar and superficial radial nerve together leave skin of the hand uncovered in most hands
    (Keplinger 2018, abstract: sizeable areas that none of the three covered)."""
    share = share_of_hands(dataset, {"asks": "gap"})

    assert 0.5 < share < 1


@pytest.mark.parametrize("row", CHECKS["findings"], ids=lambda row: row["id"])
def test_findings_in_the_data_are_those_of_the_table(row, branches):
    """A quoted finding carries the table's source, reading and numbers."""
    record = branches["findings"][row["id"]]
    for key in ("source", "seen", "rows", *(key for key in ("value", "n") if key in row)):
        assert row[key] == record[key], key


@pytest.mark.parametrize("reading", READINGS)
def test_grip_loss_is_told_wherever_forearm_muscles_are_called_spared(reading, dataset, branches):
    """A report that speaks of spared forearm muscles says that grip fell by about a fifth; one that does not, does not."""
    says = branches["findings"]["grip_loss"]["says"]
    spared = dataset.words["block.window.caught_spared"].split("{wanted}")[1]
    for nerve, block in branches["blocks"].items():
        report = window_report(dataset, nerve=nerve, volume_ml=5, reading=reading)
        muscles = spared in report["sentence"]

        assert muscles == bool(block["unwanted"]), nerve
        assert muscles == (report["grip"] is not None and says in report["grip"]), nerve
    assert "21.4 %" in says and "forearm muscles" in spared

"""Drawn limbs: each branch keeps its published distribution, every order holds, and presence is as stated."""

import numpy as np
import pytest
from scipy.stats import kstest

from tests.block.conftest import distribution, raw
from wristward.block.blocks import scaled
from wristward.block.sampler import LIMBS, SEED, draw_limbs

ALPHA = 0.001
RAW = raw("branches")
PAIRS = [pair for order in RAW["orders"] for pair in zip(order["chain"], order["chain"][1:], strict=False)]
FEW = 20_000


@pytest.mark.parametrize("id_", sorted(RAW["branches"]))
def test_a_branch_keeps_its_distribution(id_, limbs, branches):
    """By Kolmogorov and Smirnov the drawn heights of a branch are from its truncated normal, at alpha 0.001."""
    found = kstest(limbs.z_mm[id_], distribution(branches["branches"][id_]).cdf)

    assert LIMBS == limbs.z_mm[id_].size >= 200_000
    assert found.pvalue > ALPHA, found


@pytest.mark.parametrize(("upper", "lower"), PAIRS)
def test_an_order_holds_in_every_limb(upper, lower, limbs):
    """In no limb does the second event of an order lie above the first."""
    broken = int(np.sum(limbs.z_mm[lower] > limbs.z_mm[upper]))

    assert 0 == broken


def test_the_orders_of_the_number_sheet_are_there():
    """Each order that the sheet's rules for the sampler name is kept, by the ids of the sheet; what was read later stands
    between."""
    by_row = {record["sheet_row"]: id_ for id_, record in RAW["branches"].items() if "sheet_row" in record}
    rules = (
        "fds_first > fds_last_trunk > fds_last_entry",
        "ain > fpl_fdp_entry > pq_upper > pq_motor",
        "fcu_first > uln_last_motor > ulnar_artery",
        "dcb > dcb_fascia > dcb_cross",
        "pcb > pcb_fascia",
        "sbrn_emerge > sbrn_fork",
        "supinator_in > supinator_out > pin_deep > eip_last > eip_entry",
        "sbrn_cv_start > sbrn_cv_end",
    )
    expected = sorted(tuple(by_row[row] for row in rule.split(" > ")) for rule in rules)

    kept = [tuple(id_ for id_ in order["chain"] if id_ in by_row.values()) for order in RAW["orders"]]

    assert expected == sorted(chain for chain in kept if len(chain) > 1)


@pytest.mark.parametrize("arm", ["small", "large"])
def test_other_arms_keep_orders_and_distributions(arm, model, dataset):
    """In a scaled arm the orders hold in every limb and the heights are those of the reference arm times its scale."""
    scale = dataset.region.arms[arm].length_scale
    drawn = draw_limbs(scaled(model, length_scale=scale), count=FEW)
    wrong = [pair for pair in PAIRS if np.any(drawn.z_mm[pair[1]] > drawn.z_mm[pair[0]])]
    rejected = [
        id_
        for id_, record in RAW["branches"].items()
        if kstest(drawn.z_mm[id_] / scale, distribution(record).cdf).pvalue <= ALPHA
    ]

    assert scale != 1
    assert ([], []) == (wrong, rejected)


def test_limbs_have_what_the_prevalence_says(limbs):
    """The share of limbs with an event is its prevalence within four standard errors."""
    off = {}
    for id_, record in RAW["branches"].items():
        share, there = record["prevalence"], float(limbs.present[id_].mean())
        if abs(there - share) > 4 * np.sqrt(share * (1 - share) / LIMBS):
            off[id_] = (share, there)

    assert {} == off


def test_alternatives_exclude_each_other_and_followers_follow(limbs):
    """No limb has two events of a group; an event is there just where the one it comes with is."""
    assert ["palmar_ulnar"] == [group["id"] for group in RAW["alternatives"]]
    for group in RAW["alternatives"]:
        together = np.sum([limbs.present[id_] for id_ in group["of"]], axis=0)
        neither = 1 - sum(RAW["branches"][id_]["prevalence"] for id_ in group["of"])

        assert 1 == together.max()
        assert abs(float(np.mean(together == 0)) - neither) < 0.005
    followers = {id_: record["present_with"] for id_, record in RAW["branches"].items() if "present_with" in record}

    assert followers
    assert [] == [
        id_ for id_, first in followers.items() if not np.array_equal(limbs.present[first], limbs.present[id_])
    ]


def test_presence_says_nothing_of_height(limbs):
    """Limbs that lack an event and limbs that have it draw its height from the same distribution."""
    at_times = {id_: record for id_, record in RAW["branches"].items() if record["prevalence"] < 1}
    there = {id_: limbs.z_mm[id_][np.flatnonzero(limbs.present[id_])[::4]] for id_ in at_times}

    assert at_times
    assert [] == [id_ for id_, one in at_times.items() if kstest(there[id_], distribution(one).cdf).pvalue <= ALPHA]


def test_the_bathed_length_scatters_normally(limbs):
    """The length's deviation is standard normal and unrelated to any height."""
    assert kstest(limbs.length_deviation, "norm").pvalue > ALPHA
    for id_, z_mm in limbs.z_mm.items():
        assert abs(np.corrcoef(limbs.length_deviation, z_mm)[0, 1]) < 4 / np.sqrt(LIMBS), id_


def test_the_same_seed_draws_the_same_limbs(model):
    """Seed and count decide the limbs; another seed draws others."""
    first, again, other = (draw_limbs(model, count=FEW, seed=seed) for seed in (SEED, SEED, SEED + 1))

    assert set(RAW["branches"]) == set(model.events) == set(first.z_mm) == set(first.present)
    assert all(np.array_equal(first.z_mm[id_], again.z_mm[id_]) for id_ in model.events)
    assert all(np.array_equal(first.present[id_], again.present[id_]) for id_ in model.events)
    assert not any(np.array_equal(first.z_mm[id_], other.z_mm[id_]) for id_ in model.events)


def test_without_the_orders_some_limbs_break_them(model):
    """Drawn independently, every distribution stays but orders fail in some limbs, so that keeping them is work."""
    free = draw_limbs(model, count=FEW, ordered=False)
    failing = [pair for pair in PAIRS if np.any(free.z_mm[pair[1]] > free.z_mm[pair[0]])]

    assert ("flexor_digitorum_superficialis_first_branch", "flexor_digitorum_superficialis_last_branch") in failing
    assert ("posterior_interosseous_leaves_supinator", "posterior_interosseous_deep_long_branch") in failing

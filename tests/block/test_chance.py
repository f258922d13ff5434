"""Chances: by formula, over drawn limbs, and by a draw of our own straight from the file; and what the orders do."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.block.conftest import BLOCKS, distribution
from tests.block.counted import count_chances
from wristward.block.blocks import READINGS, Block, scaled, with_spread
from wristward.block.chance import chances
from wristward.block.sampler import draw_limbs

Z_MM = np.arange(0, 261.0)
POINT = 0.01
JOINT = ("wanted", "spared", "decisive_spared", "both")


def largest_gap(model, limbs, nerve, reading, *, z_mm=Z_MM, volumes_ml=None):
    """Return the largest difference between formula and count over levels and volumes, and where it is."""
    worst = (0.0, None)
    for volume_ml in volumes_ml or model.volumes_ml:
        given = {"reading": reading, "z_mm": z_mm, "volume_ml": volume_ml}
        exact, counted = (
            chances(model, model.blocks[nerve], **given),
            count_chances(model, model.blocks[nerve], limbs, **given),
        )
        pairs = [(key, getattr(exact, key), getattr(counted, key)) for key in JOINT]
        pairs += [(id_, exact.caught[id_], counted.caught[id_]) for id_ in exact.caught]
        assert list(exact.caught) == list(counted.caught)
        for key, first, second in pairs:
            gap = float(np.abs(first - second).max())
            worst = max(worst, (gap, (key, volume_ml)), key=lambda one: one[0])
    return worst


@pytest.mark.parametrize("reading", READINGS)
@pytest.mark.parametrize("nerve", BLOCKS)
def test_formula_and_count_agree_within_a_point(nerve, reading, model, limbs):
    """Over every whole millimetre and every volume, chances by formula and over 200,000 limbs differ by under 1 point."""
    gap, where = largest_gap(model, limbs, nerve, reading)

    assert gap < POINT, where


@pytest.mark.parametrize("nerve", ["median_nerve", "ulnar_nerve"])
def test_no_length_is_less_than_nothing(nerve, model, limbs):
    """Where the assumed scatter would make a length negative, it is 0 by formula and over limbs alike."""
    scattered = with_spread(model, base_mm=0, per_ml_mm=2, sd_mm=40)
    gap, where = largest_gap(scattered, limbs, nerve, "take_off", volumes_ml=(1, 10))
    block = scattered.blocks[nerve]
    lowest = scattered.events[block.wanted[0]].min_z_mm
    at_lowest = chances(scattered, block, reading="take_off", z_mm=np.array([lowest]), volume_ml=1)

    assert gap < POINT, where
    # Half of all lengths are 0 here, and none of them reaches above the needle.
    assert 0 < at_lowest.wanted[0] < 0.55


@pytest.mark.parametrize(
    ("wanted", "unwanted"),
    [
        (("flexor_digitorum_superficialis_last_branch",), ("flexor_digitorum_superficialis_first_branch",)),
        (("posterior_interosseous_deep_long_branch",), ("posterior_interosseous_leaves_supinator",)),
        (("pronator_quadratus_motor_point",), ("anterior_interosseous_take_off", "pronator_quadratus_upper_edge")),
        (("ulnar_artery_meets_nerve",), ("ulnar_last_forearm_motor_branch", "martin_gruber_link_joins")),
    ],
)
def test_a_wanted_and_an_unwanted_event_of_one_order(wanted, unwanted, model, limbs):
    """Where what is wanted lies below what is not in every limb, the joint chance is still that over drawn limbs; the other
    way round it is nothing."""
    block = Block(nerve="own", wanted=wanted, unwanted=unwanted)
    asked = replace(model, blocks={"own": block})
    gap, where = largest_gap(asked, limbs, "own", "take_off", volumes_ml=(3,))
    turned = Block(nerve="own", wanted=unwanted[:1], unwanted=wanted)
    given_levels = {"reading": "take_off", "z_mm": Z_MM, "volume_ml": 3}

    assert gap < POINT, where
    assert chances(asked, block, **given_levels).both.max() > 0.05
    there = min(model.events[id_].prevalence for id_ in wanted)
    assert chances(asked, turned, **given_levels).both.max() <= 1 - there + 1e-12


@pytest.mark.long
@pytest.mark.parametrize("arm", ["small", "large"])
def test_formula_and_count_agree_in_other_arms_and_under_other_assumptions(arm, model, dataset):
    """The same in the other reference arms, without scatter, with much, and with a length that may be floored at 0."""
    scale = dataset.region.arms[arm].length_scale
    gaps = {}
    for spread in ({}, {"sd_mm": 0}, {"sd_mm": 36}, {"base_mm": 0, "per_ml_mm": 2, "sd_mm": 30}):
        changed = scaled(with_spread(model, **spread), length_scale=scale)
        drawn = draw_limbs(changed)
        for nerve in BLOCKS:
            for reading in READINGS:
                where = (nerve, reading, *spread.values())
                gaps[where] = largest_gap(changed, drawn, nerve, reading, z_mm=np.arange(0, 260 * scale))

    assert 4 * len(BLOCKS) * len(READINGS) == len(gaps)
    assert {} == {where: found for where, found in gaps.items() if found[0] >= POINT}


def own_draw(branches, count=60_000):
    """Draw heights and bathed deviations from the file alone, every event by itself."""
    random = np.random.default_rng(11)
    heights = {id_: distribution(one).rvs(count, random_state=random) for id_, one in branches["branches"].items()}
    present = {id_: random.random(count) < one["prevalence"] for id_, one in branches["branches"].items()}
    return heights, present, random.standard_normal(count)


@pytest.mark.parametrize("reading", READINGS)
def test_independent_chances_are_those_of_a_draw_from_the_file(reading, model, branches):
    """With orders left out, the chances are those of heights drawn by scipy from branches.yaml, without the program."""
    heights, present, deviation = own_draw(branches)
    spread = branches["spread"]
    assert BLOCKS == tuple(branches["blocks"])
    for nerve, block in branches["blocks"].items():
        for volume_ml in (1, 5, 10):
            found = chances(
                model, model.blocks[nerve], reading=reading, z_mm=Z_MM[::20], volume_ml=volume_ml, ordered=False
            )
            length = np.maximum(0, spread["base_mm"] + spread["per_ml_mm"] * volume_ml + spread["sd_mm"] * deviation)
            for at, z_mm in enumerate(Z_MM[::20]):
                edge = z_mm + length / 2
                caught = np.ones(edge.size, bool)
                until = {
                    id_: one.get("beside_trunk_until", id_) if reading == "parting" else id_
                    for id_, one in branches["branches"].items()
                }
                for id_ in block["wanted"]:
                    absent = branches["branches"][id_].get("if_absent") != "above"
                    caught &= np.where(present[id_], heights[until[id_]] < edge, absent)
                spared = np.ones(edge.size, bool)
                # Several branches may be counted at one event, and one limb has one height for it.
                for id_ in block["unwanted"]:
                    spared &= ~present[id_] | (heights[until[id_]] >= edge)
                expected = [caught.mean(), spared.mean(), (caught & spared).mean()]

                assert np.allclose(expected, [found.wanted[at], found.spared[at], found.both[at]], atol=POINT), (
                    nerve,
                    volume_ml,
                    z_mm,
                )


def test_readings_differ_where_a_branch_runs_beside_its_trunk(model):
    """By parting no more is spared than by take-off, and no less caught, wanted or not; at z 70 with 5 mL the median nerve's
    muscles are spared in 21 instead of 90 of 100, at z 20 its palmar branch is caught in all instead of 48."""
    median = {
        reading: chances(model, model.blocks["median_nerve"], reading=reading, z_mm=Z_MM, volume_ml=5)
        for reading in READINGS
    }
    difference = median["take_off"].spared - median["parting"].spared

    assert difference.min() > -1e-9
    assert abs(difference[70] - (0.90 - 0.21)) < 0.02
    for id_, values in median["take_off"].caught.items():
        assert np.all(median["parting"].caught[id_] >= values - 1e-9), id_
    palmar = "median_palmar_cutaneous_branch_take_off"
    assert [48, 100] == [round(100 * median[reading].caught[palmar][20]) for reading in READINGS]
    with pytest.raises(ValueError) as caught:
        chances(model, model.blocks["median_nerve"], reading="exit", z_mm=Z_MM, volume_ml=5)
    assert "reading is 'exit' (allowed: take_off, parting)" == str(caught.value)


def test_what_the_orders_do_to_the_joint_chance(model, limbs):
    """Orders raise the median chance of both by up to 3.9 points at a level where both flexor branches are at stake, the
    ulnar one by take-off by up to 0.4, and by nothing elsewhere; counting over limbs says the same."""
    expected = {
        ("median_nerve", "take_off"): 3.9,
        ("median_nerve", "parting"): 0.0,
        ("ulnar_nerve", "take_off"): 0.4,
        ("ulnar_nerve", "parting"): 0.0,
        ("superficial_radial_nerve", "take_off"): 0.0,
    }
    free = draw_limbs(model, ordered=False)
    for (nerve, reading), points in expected.items():
        given = {"reading": reading, "z_mm": Z_MM, "volume_ml": 5.0}
        block = model.blocks[nerve]
        change = chances(model, block, **given).both - chances(model, block, **given, ordered=False).both
        counted = count_chances(model, block, limbs, **given).both - count_chances(model, block, free, **given).both
        at = int(np.argmax(np.abs(change)))

        assert abs(100 * change[at] - points) < 0.1, (nerve, reading)
        assert abs(change[at] - counted[at]) < POINT / 2, (nerve, reading)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    nerve=st.sampled_from(BLOCKS),
    reading=st.sampled_from(READINGS),
    scale=st.floats(0.7, 1.3),
    base_mm=st.floats(0, 80),
    per_ml_mm=st.floats(0, 20),
    sd_mm=st.floats(0, 40),
    volumes_ml=st.tuples(st.floats(0.5, 20), st.floats(0.5, 20)).map(sorted),
)
def test_chances_are_monotone_in_level_and_volume(model, nerve, reading, scale, base_mm, per_ml_mm, sd_mm, volumes_ml):
    """Higher up, and with more, no branch is caught less often and none spared more often, in any arm and assumption."""
    arm = scaled(with_spread(model, base_mm=base_mm, per_ml_mm=per_ml_mm, sd_mm=sd_mm), length_scale=scale)
    less, more = (
        chances(arm, arm.blocks[nerve], reading=reading, z_mm=Z_MM, volume_ml=volume_ml) for volume_ml in volumes_ml
    )
    for found in (less, more):
        rising = [found.wanted, *found.caught.values()]
        falling = [found.spared, found.decisive_spared]

        assert min(float(np.diff(values).min()) for values in rising) > -1e-9
        assert max(float(np.diff(values).max()) for values in falling) < 1e-9
        assert np.all(found.both <= np.minimum(found.wanted, found.spared) + 1e-9)
        assert np.all(found.both >= found.wanted + found.spared - 1 - 1e-9)
    assert np.all(more.wanted >= less.wanted - 1e-9)
    assert all(np.all(more.caught[id_] >= less.caught[id_] - 1e-9) for id_ in less.caught)
    assert np.all(more.spared <= less.spared + 1e-9)
    assert np.all(more.decisive_spared <= less.decisive_spared + 1e-9)

"""The table that the browser interpolates, against the exact chances."""

import json

import numpy as np
import pytest

from tests.block.looked_up import look_up
from wristward.block.blocks import READINGS, scaled, with_spread
from wristward.block.chance import chances
from wristward.block.table import browser_table, curves

HALF_A_POINT = 0.005


@pytest.fixture(scope="module")
def tables(model):
    return {nerve: browser_table(model, nerve) for nerve in ("median_nerve", "ulnar_nerve")}


@pytest.mark.parametrize("count", [120, pytest.param(3000, marks=pytest.mark.long)])
@pytest.mark.parametrize("nerve", ["median_nerve", "ulnar_nerve"])
def test_the_table_is_within_half_a_point_of_the_chance(nerve, count, tables, model, dataset):
    """At drawn levels, volumes, arms and assumptions every curve read off the table is within half a point of the exact
    chance, under both readings."""
    random, worst = np.random.default_rng(5), (0.0, None)
    arms = [arm.length_scale for arm in dataset.region.arms.values()]
    for _ in range(count):
        scale = float(random.choice(arms))
        spread = {"base_mm": random.uniform(0, 50), "per_ml_mm": random.uniform(0, 14), "sd_mm": random.uniform(0, 30)}
        volume_ml, z_mm = random.uniform(1, 10), random.uniform(0, 260 * scale)
        changed = scaled(with_spread(model, **spread), length_scale=scale)
        for reading in READINGS:
            found = chances(changed, changed.blocks[nerve], reading=reading, z_mm=np.array([z_mm]), volume_ml=volume_ml)
            for curve, values in curves(found).items():
                told = look_up(
                    tables[nerve],
                    reading=reading,
                    curve=curve,
                    z_mm=z_mm,
                    length_mm=changed.spread.mean_length_mm(volume_ml),
                    sd_mm=spread["sd_mm"],
                    length_scale=scale,
                )
                gap = abs(told - float(values[0]))
                worst = max(worst, (gap, (reading, curve, z_mm, volume_ml, spread, scale)), key=lambda one: one[0])

    assert worst[0] < HALF_A_POINT, worst


def test_the_table_is_json_and_repeatable(model, tables):
    """The table is plain values, small enough to travel, and the same when it is built again."""
    text = json.dumps(tables["ulnar_nerve"], allow_nan=False, sort_keys=True)

    assert text == json.dumps(browser_table(model, "ulnar_nerve"), allow_nan=False, sort_keys=True)
    assert len(text) < 500_000


def test_a_curve_stands_once_where_the_readings_agree(tables):
    """What both readings share is packed once; the median nerve's catching and sparing are packed twice, the ulnar nerve's
    sparing alone is."""
    packed = tables["median_nerve"]["curves"]
    palmar = "caught.median_palmar_cutaneous_branch_take_off"
    ulnar = tables["ulnar_nerve"]["curves"]

    assert {"wanted", palmar, "spared", "both"} <= set(packed["take_off"]) & set(packed["parting"])
    assert {"caught.anterior_interosseous_take_off"} <= set(packed["both_readings"])
    assert "wanted" in ulnar["both_readings"] and "spared" in ulnar["take_off"]
    assert set() == set(packed["both_readings"]) & (set(packed["take_off"]) | set(packed["parting"]))

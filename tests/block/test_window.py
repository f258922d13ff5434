"""The search for a window against looking at every level, and what limits it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.block.conftest import BLOCKS
from wristward.block.blocks import READINGS, with_spread
from wristward.block.chance import Chances
from wristward.block.sensitivity import DEMANDS, SPREADS, sensitivity
from wristward.block.window import NEAR_BEST, arm_chances, find_window, levels_mm

LEVELS = 40


def curves(wanted, spared, both):
    """Return chances over LEVELS levels, with one wanted and one unwanted event."""
    return Chances(
        z_mm=np.arange(float(len(wanted))),
        caught={"wanted": np.array(wanted), "unwanted": 1 - np.array(spared)},
        wanted=np.array(wanted),
        spared=np.array(spared),
        decisive_spared=np.array(spared),
        both=np.array(both),
    )


def rising(draw):
    return sorted(draw(st.lists(st.integers(0, 100), min_size=LEVELS, max_size=LEVELS)))


@st.composite
def some_curves(draw):
    """Rising chances of catching, falling ones of sparing, in whole hundredths so that ties happen."""
    wanted = np.array(rising(draw)) / 100
    spared = np.array(rising(draw)[::-1]) / 100
    return wanted, spared, np.maximum(0, wanted + spared - 1)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(some_curves(), st.integers(1, 100), st.integers(1, 100))
def test_the_window_is_what_looking_at_every_level_finds(given_curves, wanted_percent, spared_percent):
    """The window holds just the levels that meet both demands; where there are none, the best level is the middle of those
    within a hundredth of the best; what limits it is told for the level just outside, or for the best one."""
    wanted, spared, both = given_curves
    asked = (wanted_percent / 100, spared_percent / 100)
    found = find_window(
        curves(wanted, spared, both),
        wanted=("wanted",),
        unwanted=("unwanted",),
        wanted_at_least=asked[0],
        spared_at_least=asked[1],
    )
    fits = [z for z in range(LEVELS) if wanted[z] >= asked[0] and spared[z] >= asked[1]]
    near = [z for z in range(LEVELS) if both[z] >= max(both) - NEAR_BEST]
    middle = (near[0] + near[-1]) / 2

    assert found.empty == (not fits)
    assert ([fits[0], fits[-1]] if fits else [None, None]) == [found.low_mm, found.high_mm]
    assert found.best_mm in near
    assert abs(found.best_mm - middle) == min(abs(z - middle) for z in near)
    assert (near[0], near[-1]) == (found.best_low_mm, found.best_high_mm)
    assert both[int(found.best_mm)] == found.best_chance
    below, above = (fits[0] - 1, fits[-1] + 1) if fits else (int(found.best_mm), int(found.best_mm))
    for limit, z, name, inside in (
        (found.limit_below, below, "wanted", below >= 0),
        (found.limit_above, above, "unwanted", above < LEVELS),
    ):
        expected = None if not inside else (name, float(z))
        assert expected == (None if limit is None else (limit.event, limit.z_mm))


def test_what_limits_is_the_branch_missed_or_reached_most_often():
    """Below, the wanted event caught least often limits; above, the unwanted one reached most often; ties by name."""
    found = replace(
        curves([0.5, 0.95, 0.99], [0.99, 0.95, 0.5], [0.5, 0.9, 0.5]),
        caught={
            "a": np.array([0.7, 0.96, 1.0]), "b": np.array([0.6, 0.95, 1.0]),
            "c": np.array([0.0, 0.05, 0.4]), "d": np.array([0.0, 0.04, 0.4]),
        },
    )  # fmt: skip
    window = find_window(found, wanted=("a", "b"), unwanted=("c", "d"), wanted_at_least=0.9, spared_at_least=0.9)

    assert (1.0, 1.0) == (window.low_mm, window.high_mm)
    assert ("b", 0.6, 0.0) == (window.limit_below.event, window.limit_below.chance_caught, window.limit_below.z_mm)
    assert ("d", 0.4, 2.0) == (window.limit_above.event, window.limit_above.chance_caught, window.limit_above.z_mm)


def test_levels_are_whole_millimetres_of_the_arm():
    """Every whole millimetre from crease to crease, the last one included where the arm ends on it."""
    assert [0.0, 1.0, 2.0] == list(levels_mm(length_mm=2.0))
    assert [0.0, 1.0, 2.0] == list(levels_mm(length_mm=2.9))
    assert 261 == levels_mm(length_mm=260 * 1.0).size
    # A length that arithmetic left a hair short of a whole millimetre still ends on it.
    assert [0.0, 1.0, 2.0, 3.0] == list(levels_mm(length_mm=2.9999999999999996))
    assert 235 == levels_mm(length_mm=260 * 0.9).size
    assert 287 == levels_mm(length_mm=260 * 1.1).size


@pytest.mark.parametrize("reading", READINGS)
@pytest.mark.parametrize("nerve", BLOCKS)
def test_windows_of_the_nerves_by_looking_at_every_level(nerve, reading, model):
    """Over every nerve and volume the window holds just the levels that meet the demands."""
    block, fits, held = model.blocks[nerve], {}, {}
    for volume_ml in model.volumes_ml:
        found = arm_chances(model, nerve, reading=reading, volume_ml=volume_ml, length_scale=1, length_mm=260)
        window = find_window(
            found, wanted=block.wanted, unwanted=block.unwanted, wanted_at_least=0.9, spared_at_least=0.9
        )
        levels = zip(found.z_mm, found.wanted, found.spared, strict=True)
        fits[volume_ml] = [z_mm for z_mm, wanted, spared in levels if wanted >= 0.9 and spared >= 0.9]
        within = [] if window.empty else [z for z in found.z_mm if window.low_mm <= z <= window.high_mm]
        held[volume_ml] = within

    assert fits
    assert fits == held


def test_a_longer_arm_moves_the_window_up_and_widens_it(model):
    """Heights scale with the arm and the bathed length does not: with the length taken out, the window scales."""
    still = with_spread(model, base_mm=0, per_ml_mm=0, sd_mm=0)
    block = model.blocks["median_nerve"]

    def window(scale):
        found = arm_chances(still, "median_nerve", reading="take_off", volume_ml=5, length_scale=scale, length_mm=260)
        return find_window(
            found, wanted=block.wanted, unwanted=block.unwanted, wanted_at_least=0.9, spared_at_least=0.9
        )

    reference, longer = window(1.0), window(1.5)
    assert abs(longer.low_mm - 1.5 * reference.low_mm) <= 1.5
    assert abs(longer.high_mm - 1.5 * reference.high_mm) <= 1.5


def test_sensitivity_asks_the_same_question_under_other_assumptions(model):
    """Each case names its assumption; the first is the report's window; more length lowers it, a lower demand widens it."""
    cases = {
        case.id: case
        for case in sensitivity(model, "ulnar_nerve", reading="take_off", volume_ml=5, length_scale=1.0, length_mm=260)
    }
    base = cases["as_assumed"].window

    assert [*(id_ for id_, _ in SPREADS), *(f"demand_{round(100 * one)}" for one in DEMANDS)] == list(cases)
    assert (66.0, 149.0) == (base.low_mm, base.high_mm)
    # Half of ten millimetres more or less, and half of twenty for 4 mL/mm at 5 mL.
    assert (61.0, 144.0) == (cases["longer_base"].window.low_mm, cases["longer_base"].window.high_mm)
    assert (71.0, 154.0) == (cases["shorter_base"].window.low_mm, cases["shorter_base"].window.high_mm)
    assert (56.0, 139.0) == (cases["more_per_ml"].window.low_mm, cases["more_per_ml"].window.high_mm)
    assert (76.0, 159.0) == (cases["less_per_ml"].window.low_mm, cases["less_per_ml"].window.high_mm)
    assert base == cases["demand_90"].window
    widths = [cases[f"demand_{percent}"].window for percent in (80, 90, 95)]
    assert widths[0].low_mm < widths[1].low_mm < widths[2].low_mm
    assert widths[0].high_mm > widths[1].high_mm > widths[2].high_mm
    # Scatter costs on both sides.
    assert cases["no_scatter"].window.low_mm <= base.low_mm <= cases["more_scatter"].window.low_mm
    assert cases["no_scatter"].window.high_mm >= base.high_mm >= cases["more_scatter"].window.high_mm

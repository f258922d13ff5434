"""How far a block reaches: by quadrature, by a draw of our own, and against an independent sampler's windows."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.block.conftest import parting_nowhere_but, published
from wristward.block.blocks import READINGS, Decreasing, scaled
from wristward.block.chance import chances
from wristward.block.reach import reach
from wristward.block.report import block_window
from wristward.block.sure import decreasing_model

WINDOWS = published("reach_values")["windows"]
COUNT = 400_000
POINT = 0.01
Z_MM = np.arange(0, 261.0)
FLEXOR = "flexor_digitorum_superficialis_last_branch"
PARTING = "median_palmar_cutaneous_branch_parting"
NERVES = ("median_nerve", "ulnar_nerve", "superficial_radial_nerve", "lateral_antebrachial_cutaneous_nerve")
SPREADS = st.builds(
    Decreasing,
    first_ml_mm=st.floats(10, 80),
    exponent=st.floats(0.02, 0.9),
    limb_cv=st.floats(0.05, 0.6),
    evenness=st.floats(1, 40),
    placement_sd_mm=st.floats(0, 12),
    least_mm=st.tuples(st.floats(0, 8), st.floats(8, 20)),
    barrier_mm=st.just(0.0),
    turned_back=st.sampled_from([0.0, 0.5, 1.0]),
)


@pytest.fixture(scope="module")
def curved(dataset):
    """The shipped model under the spread of decreasing gain."""
    return decreasing_model(dataset)


def own_edges(spread, *, z_mm, volume_ml):
    """Draw upper edges without the program: limb, share above the needle, placement, least stretch, barrier."""
    random = np.random.default_rng(17)
    log_sd = np.sqrt(np.log(1 + spread.limb_cv**2))
    length = random.lognormal(np.log(spread.first_ml_mm * volume_ml**spread.exponent) - log_sd**2 / 2, log_sd, COUNT)
    above = length * random.beta(spread.evenness, spread.evenness, COUNT)
    above += spread.turned_back * np.maximum(0, (length - above) - (z_mm - spread.barrier_mm))
    return z_mm + above + random.normal(0, spread.placement_sd_mm, COUNT) - random.uniform(*spread.least_mm, COUNT)


@pytest.mark.parametrize("turned_back", [0.0, 0.6])
@pytest.mark.parametrize("volume_ml", [1, 5, 10])
def test_the_edge_is_that_of_a_draw(volume_ml, turned_back, curved):
    """At every level the share of edges below a height is that of a draw within half a point, with a barrier or without."""
    spread = replace(curved.spread, turned_back=turned_back)
    for z_mm in (0.0, 20.0, 90.0):
        offsets, weights = reach(spread, volume_ml=volume_ml, z_mm=np.array([z_mm]))
        drawn = own_edges(spread, z_mm=z_mm, volume_ml=volume_ml)
        # Between two steps the distribution function is taken as a straight line.
        heights = z_mm + offsets + 0.5
        exact, counted = np.cumsum(weights.reshape(-1)), np.searchsorted(np.sort(drawn), heights) / COUNT

        assert abs(exact[-1] - 1) < 1e-9
        assert np.abs(exact - counted).max() < POINT / 2, z_mm


@pytest.mark.parametrize("reading", READINGS)
@pytest.mark.parametrize("nerve", NERVES)
def test_formula_and_count_agree_under_decreasing_gain(nerve, reading, curved, limbs):
    """Chances by formula and over drawn limbs with drawn edges differ by under 1 point at every fifth millimetre."""
    block = curved.blocks[nerve]
    heights = {
        id_: limbs.z_mm[event.beside_trunk_until or id_ if reading == "parting" else id_]
        for id_, event in curved.events.items()
    }
    size, asked, far = limbs.length_deviation.size, 0, []
    for volume_ml in (1, 5, 10):
        edges = own_edges(curved.spread, z_mm=0.0, volume_ml=volume_ml)[:size]
        found = chances(curved, block, reading=reading, z_mm=Z_MM[::5], volume_ml=volume_ml)
        for at, z_mm in enumerate(Z_MM[::5]):
            caught = np.ones(size, bool)
            for id_ in block.wanted:
                there, absent = limbs.present[id_], curved.events[id_].if_absent != "above"
                caught &= np.where(there, heights[id_] < z_mm + edges, absent)
            spared = np.ones(size, bool)
            for id_ in block.unwanted:
                spared &= ~limbs.present[id_] | (heights[id_] >= z_mm + edges)
            expected = [caught.mean(), spared.mean(), (caught & spared).mean()]
            asked += 1
            if not np.allclose(expected, [found.wanted[at], found.spared[at], found.both[at]], atol=POINT):
                far.append((volume_ml, z_mm, expected))

    assert 3 * len(Z_MM[::5]) == asked > 0
    assert [] == far


@pytest.mark.parametrize("row", WINDOWS, ids=lambda row: f"{row['nerve']}-{row['counted']}-{row['ml']}mL")
def test_windows_of_an_independent_sampler(row, curved):
    """Windows under decreasing gain are an independent sampler's within 1 mm, save what is on record as further apart; best
    joint chances within 1 point."""
    model = replace(curved, spread=replace(curved.spread, least_mm=tuple(row["least_mm"])))
    reading = "take_off" if row["counted"] == "take_off" else "parting"
    if row["counted"] == "both_beside":
        parting = replace(model.events[PARTING], mean_z_mm=20.9, sd_mm=3.1, min_z_mm=8.5, max_z_mm=33.3)
        model = replace(model, events=model.events | {PARTING: parting})
    else:
        model = parting_nowhere_but(model, FLEXOR)
    found = chances(model, model.blocks[row["nerve"]], reading=reading, z_mm=Z_MM, volume_ml=row["ml"])
    window = block_window(model, row["nerve"], found)
    apart_mm = 0.0 if row["window"] is None else float(np.abs(np.subtract(window.span_mm, row["window"])).max())
    on_record = row.get("apart_mm")

    assert (row["window"] is None) == window.empty
    assert apart_mm <= 1 if on_record is None else on_record == apart_mm
    assert row.get("both") is None or abs(100 * found.both.max() - row["both"]) <= 1
    assert abs(window.best_mm - row.get("best", window.best_mm)) <= 1


def test_much_volume_stays_credible(curved):
    """With 30 mL, more than anybody puts beside one forearm nerve, the mean length stays under 120 mm."""
    assert curved.spread.mean_length_mm(30) < 120
    assert [38, 50, 57, 64, 68] == [round(curved.spread.mean_length_mm(ml)) for ml in (1, 3, 5, 8, 10)]


@settings(max_examples=40, deadline=None, derandomize=True)
@given(
    spread=SPREADS,
    nerve=st.sampled_from(NERVES),
    reading=st.sampled_from(READINGS),
    scale=st.floats(0.8, 1.2),
    volumes_ml=st.tuples(st.floats(0.5, 30), st.floats(0.5, 30)).map(sorted),
)
def test_more_and_higher_reach_further(curved, spread, nerve, reading, scale, volumes_ml):
    """Higher up, and with more, no branch is caught less often and none spared more often, whatever is assumed, as long as
    nothing is turned back; the gain in length of a further mL falls."""
    arm = scaled(replace(curved, spread=replace(spread, turned_back=0.0)), length_scale=scale)
    less, more = (
        chances(arm, arm.blocks[nerve], reading=reading, z_mm=Z_MM, volume_ml=volume_ml) for volume_ml in volumes_ml
    )
    gains = np.diff([spread.mean_length_mm(ml) for ml in range(1, 12)])

    for found in (less, more):
        assert min(float(np.diff(values).min()) for values in (found.wanted, *found.caught.values())) > -1e-9
        assert float(np.diff(found.spared).max()) < 1e-9
    # Steps of a millimetre stand for what lies between them.
    assert np.all(more.wanted >= less.wanted - POINT / 5)
    assert np.all(more.spared <= less.spared + POINT / 5)
    assert np.all(gains > 0) and np.all(np.diff(gains) < 0)


@settings(max_examples=20, deadline=None, derandomize=True)
@given(spread=SPREADS, volume_ml=st.floats(0.5, 30), z_mm=st.floats(0, 60))
def test_what_is_turned_back_reaches_no_less_far(spread, volume_ml, z_mm):
    """What a barrier turns back raises the edge on the mean, the more the lower the level."""
    levels = np.array([z_mm, z_mm + 40])
    stopped, turned = (
        reach(replace(spread, turned_back=share), volume_ml=volume_ml, z_mm=levels) for share in (0.0, 1.0)
    )
    mean_stopped = float(stopped[0] @ stopped[1])
    low, high = (float(turned[0] @ weights) for weights in turned[1])

    assert low >= high - 1e-6 and high >= mean_stopped - 1e-6

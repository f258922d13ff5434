"""The coupling of two ordered events, on pairs of our own and on drawn ones."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.stats import kstest, truncnorm

from wristward.block.blocks import Event
from wristward.block.coupling import couple, draw_lower
from wristward.block.distribution import height_at

COUNT = 20_000


def event(id_, mean, sd, low, high):
    return Event(
        id=id_, parent="n", kind="take_off", mean_z_mm=mean, sd_mm=sd, min_z_mm=low, max_z_mm=high, prevalence=1.0
    )


def cdf(one):
    a, b = (one.min_z_mm - one.mean_z_mm) / one.sd_mm, (one.max_z_mm - one.mean_z_mm) / one.sd_mm
    return truncnorm(a, b, loc=one.mean_z_mm, scale=one.sd_mm).cdf


def drawn(upper, lower, seed=1):
    random = np.random.default_rng(seed)
    upper_z_mm = height_at(upper, random.random(COUNT))
    return upper_z_mm, draw_lower(couple(upper, lower), upper_z_mm, random.random(COUNT))


def test_an_order_that_cannot_hold_is_refused():
    """Where the upper event lies low more often than the lower one, no coupling exists, and the error names both."""
    with pytest.raises(ValueError) as caught:
        couple(event("up", 50, 10, 20, 80), event("down", 60, 10, 20, 80))

    assert "'up' cannot lie above 'down' in every limb with both distributions kept" == str(caught.value)


def test_events_that_cannot_meet_are_drawn_independently():
    """Where the supports do not touch, the order asks for nothing and the draws are uncorrelated."""
    upper_z_mm, lower_z_mm = drawn(event("up", 100, 20, 60, 140), event("down", 30, 20, 0, 58))

    assert abs(np.corrcoef(upper_z_mm, lower_z_mm)[0, 1]) < 4 / np.sqrt(COUNT)


def test_equal_distributions_are_drawn_at_equal_shares():
    """Two events of one distribution can keep their order only by coinciding, and do."""
    upper_z_mm, lower_z_mm = drawn(event("up", 50, 10, 20, 80), event("down", 50, 10, 20, 80))

    assert np.allclose(upper_z_mm, lower_z_mm, atol=1e-6)


def test_the_coupling_is_the_closest_to_independence():
    """Where the order leaves a choice, odds are as under independence: of four cells that are all allowed, the cross
    ratio of the joint shares is 1."""
    upper_z_mm, lower_z_mm = drawn(event("up", 100, 20, 60, 140), event("down", 80, 20, 40, 120))
    high_1, high_2 = (upper_z_mm > 100) & (upper_z_mm < 110), (upper_z_mm > 115) & (upper_z_mm < 130)
    low_1, low_2 = (lower_z_mm > 50) & (lower_z_mm < 70), (lower_z_mm > 80) & (lower_z_mm < 98)
    cells = [[np.sum(a & b) for b in (low_1, low_2)] for a in (high_1, high_2)]
    log_ratio = np.log(cells[0][0] * cells[1][1] / (cells[0][1] * cells[1][0]))
    error = np.sqrt(sum(1 / cell for row in cells for cell in row))

    assert abs(log_ratio) < 4 * error
    # Equal shares would pair high with high: there the ratio is far from 1.
    assert np.corrcoef(upper_z_mm, lower_z_mm)[0, 1] < 0.8


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    mean=st.floats(60, 200),
    sd=st.floats(3, 40),
    gap=st.floats(0, 60),
    ratio=st.floats(0.5, 2),
    below=st.floats(1, 4),
    above=st.floats(1, 4),
)
def test_any_pair_that_can_be_coupled_keeps_both_distributions_and_the_order(mean, sd, gap, ratio, below, above):
    """Whatever two truncated normals: refused, or the order holds in every limb and the lower one is unchanged."""
    upper = event("up", mean, sd, mean - below * sd, mean + above * sd)
    low_sd = sd * ratio
    lower = event("down", mean - gap, low_sd, mean - gap - below * low_sd, mean - gap + above * low_sd)
    try:
        upper_z_mm, lower_z_mm = drawn(upper, lower)
    except ValueError:
        z_mm = np.linspace(lower.min_z_mm - 1, upper.max_z_mm + 1, 20_001)
        assert np.any(cdf(upper)(z_mm) > cdf(lower)(z_mm))
        assume(False)

    assert np.all(lower_z_mm <= upper_z_mm)
    # Sixty pairs are tried: the level of each is that much stricter.
    assert kstest(lower_z_mm, cdf(lower)).pvalue > 0.001 / 60

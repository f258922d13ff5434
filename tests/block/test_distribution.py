"""The truncated normal against scipy's."""

import numpy as np
import pytest

from tests.block.conftest import distribution, raw
from wristward.block.distribution import height_at, mean_height_mm, share_below

EVENTS = sorted(raw("branches")["branches"])


@pytest.mark.parametrize("id_", EVENTS)
def test_shares_and_heights_are_those_of_scipy(id_, model, branches):
    """Share below a height, height at a share and mean of every event are those of scipy's truncated normal."""
    event, expected = model.events[id_], distribution(branches["branches"][id_])
    z_mm = np.linspace(event.min_z_mm - 30, event.max_z_mm + 30, 301)
    shares = np.linspace(0, 1, 101)

    assert np.allclose(expected.cdf(z_mm), share_below(event, z_mm), atol=1e-9)
    assert np.allclose(expected.ppf(shares), height_at(event, shares), atol=1e-5)
    assert abs(expected.mean() - mean_height_mm(event)) < 1e-6


@pytest.mark.parametrize("id_", EVENTS)
def test_a_height_leads_back_to_its_share(id_, model):
    """The height at a share has that share below it, and nothing lies beyond the ends."""
    event = model.events[id_]
    shares = np.linspace(0, 1, 401)
    heights = height_at(event, shares)

    assert np.allclose(shares, share_below(event, heights), atol=1e-9)
    assert np.allclose([event.min_z_mm, event.max_z_mm], heights[[0, -1]], atol=1e-9)
    assert np.all((heights >= event.min_z_mm) & (heights <= event.max_z_mm))
    assert 0.0 == share_below(event, event.min_z_mm - 1)
    assert 1.0 == share_below(event, event.max_z_mm + 1)

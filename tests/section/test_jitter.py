"""Shaken data still give a section: areas by a tenth, points by a millimetre."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from tests.section.section_plans import solve_plan

AREA_SHARE = 0.12
POINT_MM = 1.0


def shaken(plan, seed):
    """Return the plan with areas off by up to 12 % and spines and discs by up to 1 mm."""
    chance = np.random.default_rng(seed)
    return replace(
        plan,
        bellies=tuple(
            replace(
                b,
                area_mm2=b.area_mm2 * (1 + AREA_SHARE * chance.uniform(-1, 1)),
                spine_mm=b.spine_mm + POINT_MM * chance.uniform(-0.7, 0.7, 2),
            )
            for b in plan.bellies
        ),
        discs=tuple(
            d if d.at_mm is None else replace(d, at_mm=d.at_mm + POINT_MM * chance.uniform(-0.7, 0.7, 2))
            for d in plan.discs
        ),
    )


@settings(max_examples=12, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(z=st.integers(0, 260), seed=st.integers(0, 10_000))
def test_shaken_sections_stay_whole(forearm, z, seed):
    """Rings stay valid and structures do not overlap, wherever the shaking leaves them."""
    section = solve_plan(shaken(forearm.plan(z_mm=z), seed))

    items = list(section.structures)
    rings = [Polygon(s.ring_mm) for s in items]
    overlap = sum(
        rings[i].intersection(rings[j]).area
        for i, j in shapely.STRtree(rings).query(rings, predicate="intersects").T
        if i < j and items[i].part_of != items[j].id and items[j].part_of != items[i].id
    )

    assert all(ring.is_valid for ring in rings)
    assert overlap <= 0.5

"""How long the browser's table of a block takes, against a plain loop over the same nodes."""

import time
from statistics import NormalDist

import numpy as np
import pytest

from tests.block.looked_up import look_up
from wristward.block.blocks import block_model
from wristward.block.reach import NODE_REACH, NODE_STEP
from wristward.block.table import EDGE_COUNT, EDGE_STEP_MM, LENGTHS_MM, SDS_MM, browser_table

NERVE = "ulnar_nerve"
EVERY = 20
"""The loop computes every so many edges, and its time is taken that many times: all of them would take a minute."""

RUNS = 3


def share_below(event, z_mm):
    """Return the share of limbs whose event lies below a height, one height at a time."""
    normal = NormalDist(event.mean_z_mm, event.sd_mm)
    low, high = normal.cdf(event.min_z_mm), normal.cdf(event.max_z_mm)
    return (normal.cdf(min(max(z_mm, event.min_z_mm), event.max_z_mm)) - low) / (high - low)


def looped(model, nerve, edges_mm):
    """Return the joint chance of the ulnar block by edge, length and SD, as one writes it first: node by node."""
    block = model.blocks[nerve]
    (wanted,), last = block.wanted, block.unwanted[-1]
    steps = round(NODE_REACH / NODE_STEP)
    found = {}
    for edge_mm in edges_mm:
        for length_mm in LENGTHS_MM:
            for sd_mm in SDS_MM:
                total = weights = 0.0
                for step in range(-steps, steps + 1) if sd_mm else (0,):
                    weight = np.exp(-((NODE_STEP * step) ** 2) / 2)
                    length = max(0.0, length_mm + sd_mm * NODE_STEP * step)
                    at = edge_mm - length_mm / 2 + length / 2
                    caught = share_below(model.events[wanted], at)
                    spared = 1 - share_below(model.events[last], at)
                    total, weights = total + weight * caught * spared, weights + weight
                found[edge_mm, length_mm, sd_mm] = total / weights
    return found


@pytest.mark.long
def test_building_the_table_of_a_block(dataset, gate):
    """The table of every curve of a block, both readings, is built ten times as fast as a loop over one of its curves."""
    model = block_model(dataset)
    edges_mm = [EDGE_STEP_MM * index for index in range(0, EDGE_COUNT, EVERY)]
    ours, theirs = [], []
    for _ in range(RUNS):
        started = time.perf_counter()
        table = browser_table(model, NERVE)
        ours.append(time.perf_counter() - started)
        started = time.perf_counter()
        found = looped(model, NERVE, edges_mm)
        theirs.append((time.perf_counter() - started) * EDGE_COUNT / len(edges_mm))
    far = [
        node
        for node, chance in found.items()
        if abs(
            chance
            - look_up(
                table, reading="parting", curve="both", z_mm=node[0] - node[1] / 2, length_mm=node[1], sd_mm=node[2],
                length_scale=1,
            )
        ) > 0.0025
    ]  # fmt: skip

    assert found
    assert [] == far
    gate("table of a block", ours=1000 * min(ours), baseline=1000 * min(theirs), at_least=10, unit="ms")

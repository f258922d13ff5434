"""How long the sections take: all of them from nothing, and what one edited level asks for again."""

import shutil
import time

import pytest
from threadpoolctl import threadpool_limits

from tests.bench.landed_solver import solve as landed
from wristward.anatomy.forearm import Forearm
from wristward.data.read import read_dataset
from wristward.locate import where_is_data
from wristward.project.store import FolderStore
from wristward.section.key import section_bytes
from wristward.section.solve import SMOOTH
from wristward.section.sweep import solve_all

EDITED_MM = 97
REACHED_MM = (48, 162)
"""The muscle's second levels below and above: an area between two levels bends with those on either side of them."""


STRETCHES_MM = ((242, 241, 240, 239), (130, 129, 128, 127), (33, 32, 31, 30))
"""Neighbouring heights near the elbow, in the middle and near the wrist, twelve together."""


def landed_sections(plans, heights):
    """Return sections by height as the landed solver makes them, each plan solved once."""
    raws = {z: landed.solve_raw(plan) for z, plan in plans.items()}
    steps = range(-max(SMOOTH), max(SMOOTH) + 1)
    return {z: landed.finish({step: raws[z + step] for step in steps if z + step in raws}) for z in heights}


@pytest.mark.long
def test_solver_against_the_landed_one(forearm, gate):
    """Twelve sections, to the byte those of the solver that landed first, take it less than half the processor's time."""
    ours = theirs = 0.0
    for heights in STRETCHES_MM:
        plans = {z: forearm.plan(z_mm=z) for z in range(heights[0] + max(SMOOTH), heights[-1] - max(SMOOTH) - 1, -1)}
        with threadpool_limits(1):
            started = time.process_time()
            landed_first = landed_sections(plans, heights)
            between = time.process_time()
            found = solve_all(forearm, z_mm=heights)
            ours += time.process_time() - between
            theirs += between - started
        assert [section_bytes(landed_first[z]) for z in heights] == [section_bytes(found[z]) for z in heights]
    gate("twelve sections, against the landed solver (goal 4)", ours=ours, baseline=theirs, at_least=2.5, unit="s")


def seconds(work):
    """Return what a piece of work returned, and how long it took."""
    started = time.perf_counter()
    result = work()
    return result, time.perf_counter() - started


@pytest.mark.long
def test_solves(tmp_path, forearm, goal):
    """All 261 sections from nothing; then, one level edited, its own section and everything that the edit reaches."""
    store = FolderStore(tmp_path / "sections")
    before, took = seconds(lambda: solve_all(forearm, store=store, workers=2))
    goal("cold solve of all 261 sections, two processes", ours=took, goal=10, unit="s")

    data = tmp_path / "data"
    shutil.copytree(where_is_data(), data)
    level = data / "levels" / f"z{EDITED_MM:03}.yaml"
    text = level.read_text("utf-8")
    at = text.index("  flexor_carpi_radialis: {area_mm2: ") + len("  flexor_carpi_radialis: {area_mm2: ")
    end = text.index(",", at)
    level.write_text(f"{text[:at]}{float(text[at:end]) * 1.05:.1f}{text[end:]}", "utf-8")
    edited, read = seconds(lambda: Forearm.from_dataset(read_dataset(data, arms=())))
    _, one = seconds(lambda: solve_all(edited, z_mm=[EDITED_MM], store=store))
    after, rest = seconds(lambda: solve_all(edited, store=store, workers=2))
    changed = [z for z in before if before[z] != after[z]]

    assert EDITED_MM in changed
    assert min(changed) >= REACHED_MM[0] - max(SMOOTH)
    assert max(changed) <= REACHED_MM[1] + max(SMOOTH)
    goal("after editing one level: its section", ours=read + one, goal=1.5, unit="s")
    goal(
        f"after editing one level: the {len(changed)} sections that it reaches",
        ours=read + one + rest,
        goal=5,
        unit="s",
    )

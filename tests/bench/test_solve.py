"""How long the sections take: all of them from nothing, and what one edited level asks for again."""

import shutil
import time

import pytest

from wristward.anatomy.forearm import Forearm
from wristward.data.read import read_dataset
from wristward.locate import where_is_data
from wristward.project.store import FolderStore
from wristward.section.solve import SMOOTH
from wristward.section.sweep import solve_all

EDITED_MM = 97
REACHED_MM = (48, 162)
"""The muscle's second levels below and above: an area between two levels bends with those on either side of them."""


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
    goal("cold solve of all 261 sections, two processes", ours=took, goal=25, unit="s")

    data = tmp_path / "data"
    shutil.copytree(where_is_data(), data)
    level = data / "levels" / f"z{EDITED_MM:03}.yaml"
    text = level.read_text("utf-8")
    at = text.index("  flexor_carpi_radialis: {area_mm2: ") + len("  flexor_carpi_radialis: {area_mm2: ")
    end = text.index(",", at)
    level.write_text(f"{text[:at]}{float(text[at:end]) * 1.05:.1f}{text[end:]}", "utf-8")
    edited, read = seconds(lambda: Forearm.from_dataset(read_dataset(data)))
    _, one = seconds(lambda: solve_all(edited, z_mm=[EDITED_MM], store=store))
    after, rest = seconds(lambda: solve_all(edited, store=store, workers=2))
    changed = [z for z in before if before[z] != after[z]]

    assert EDITED_MM in changed
    assert min(changed) >= REACHED_MM[0] - max(SMOOTH)
    assert max(changed) <= REACHED_MM[1] + max(SMOOTH)
    goal("after editing one level: its section", ours=read + one, goal=3, unit="s")
    goal(
        f"after editing one level: the {len(changed)} sections that it reaches",
        ours=read + one + rest,
        goal=12,
        unit="s",
    )

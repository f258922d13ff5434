"""A muscle may be traced instead of given a spine: the solved cell then lies about where it was traced."""

import shutil

import numpy as np
import pytest
from shapely.geometry import Polygon

from wristward.anatomy.forearm import Forearm
from wristward.data.read import read_dataset
from wristward.locate import where_is_data
from wristward.section.solve import solve_section

TRACED = {162: "brachioradialis", 128: "flexor_carpi_radialis", 48: "flexor_digitorum_profundus"}


@pytest.fixture(scope="module")
def traced(tmp_path_factory, arm_sections):
    """The shipped arm in which three bellies are traced along their solved outlines, in place of their spines."""
    data = tmp_path_factory.mktemp("traced") / "data"
    shutil.copytree(where_is_data(), data)
    for z_mm, name in TRACED.items():
        ring = np.array(arm_sections[z_mm].find(name).ring_mm)
        points = ", ".join(f"[{x:.1f}, {y:.1f}]" for x, y in ring[:: max(1, len(ring) // 24)])
        path = data / "levels" / f"z{z_mm:03}.yaml"
        lines = path.read_text("utf-8").splitlines(keepends=True)
        at = next(k for k, line in enumerate(lines) if line.startswith(f"  {name}: {{area_mm2:"))
        head = lines[at].split(", spine:")[0]
        lines[at] = f"{head}, outline: [{points}]}}\n"
        path.write_text("".join(lines), "utf-8")
    return Forearm.from_dataset(read_dataset(data))


@pytest.mark.parametrize(("z_mm", "name"), TRACED.items())
def test_a_traced_belly_lies_where_it_was_traced(traced, arm_sections, z_mm, name):
    """Traced along its own solved outline, a belly is solved to cover most of it."""
    section = solve_section(traced, z_mm=z_mm)
    before, after = (Polygon(one.find(name).ring_mm) for one in (arm_sections[z_mm], section))

    assert before.intersection(after).area > 0.75 * before.area
    assert after.is_valid


def test_a_trace_elsewhere_moves_the_belly(traced, arm_sections):
    """The test above would notice: the same trace 3 mm to the side covers less than three quarters."""
    before = Polygon(arm_sections[128].find(TRACED[128]).ring_mm)

    assert before.intersection(Polygon([(x + 3, y) for x, y in before.exterior.coords])).area < 0.75 * before.area

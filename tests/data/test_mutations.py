"""The shipped data with a random change in one place: still valid, or told with file, line and column; never a traceback.

What remains valid is solved. In a normal run a few changes are tried; `--long` tries 500, solves every 20 mm, builds ten.
"""

from __future__ import annotations

import re
import shutil
from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st

from wristward.anatomy.forearm import Forearm
from wristward.data import trees
from wristward.data.read import read_dataset
from wristward.data.reading.tree import read_yaml
from wristward.errors import DataError
from wristward.locate import where_is_data
from wristward.section.solve import solve_section

FEW, MANY, BUILT = 8, 500, 10
STEP_MM = {FEW: 130, MANY: 20}
"""Between the heights that are solved: each takes a third of a second."""

PLACED = re.compile(r"^\S[^:\n]*:\d+:\d+: \S")
TOKEN = re.compile(r"[\w.+-]+|[^\w\s]")
VALUES = (
    "null", "true", "no", "0", "-1", "1e309", "0.0001", "99999", "''", "'x'", "[]", "{}", "[1, 2]", "010", "12:30", "&a", "*a",
    "!!int 3", "<<", "median_nerve", "../x", "\t", "\u202e", "{", "]", "- -", "? ", "'", "%TAG",
)  # fmt: skip
FILES = sorted(path.relative_to(where_is_data()).as_posix() for path in where_is_data().rglob("*.yaml"))


@cache
def parsed(content, file):
    """Files that were not changed are parsed once."""
    return read_yaml(content, file=file)


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    folder = tmp_path_factory.mktemp("mutated") / "anatomy_data"
    shutil.copytree(where_is_data(), folder)
    return folder


@st.composite
def mutations(draw):
    """A file, and its text with one token, line or end changed."""
    name = draw(st.sampled_from(FILES))
    text = (where_is_data() / name).read_text("utf-8")
    kind = draw(st.sampled_from(("token", "token", "token", "drop line", "double line", "indent", "cut", "number")))
    if kind == "cut":
        return name, text[: draw(st.integers(0, len(text)))]
    if kind in ("token", "number"):
        found = [one for one in TOKEN.finditer(text) if kind == "token" or re.fullmatch(r"-?\d+(\.\d+)?", one.group())]
        one = draw(st.sampled_from(found)) if found else re.search("$", text)
        value = draw(st.sampled_from(VALUES)) if kind == "token" else f"{draw(st.floats(-300, 900)):.3g}"
        return name, text[: one.start()] + value + text[one.end() :]
    lines = text.splitlines(keepends=True)
    at = draw(st.integers(0, len(lines) - 1))
    lines[at : at + 1] = {"drop line": [], "double line": [lines[at]] * 2, "indent": ["  " + lines[at]]}[kind]
    return name, "".join(lines)


def attempt(folder, name, text, *, step_mm):
    """Read the data with one file changed, solve it where it is valid, and return the dataset or None."""
    path = folder / name
    before = path.read_bytes()
    path.write_text(text, "utf-8", newline="\n")
    try:
        dataset = read_dataset(folder)
        forearm = Forearm.from_dataset(dataset)
        if name.startswith(("levels/", "structures/", "region")):
            for z_mm in range(0, int(dataset.region.reference_length_mm) + 1, step_mm):
                solve_section(forearm, z_mm=z_mm)
        return dataset
    except DataError as error:
        assert [] == [str(problem) for problem in error.problems if not PLACED.match(str(problem))]
        return None
    finally:
        path.write_bytes(before)


def hold(folder, monkeypatch, count, number):
    monkeypatch.setattr(trees, "read_yaml", parsed)
    outcomes = []

    @seed(number)
    @settings(max_examples=count, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(mutations())
    def hold_one(mutation):
        outcomes.append(attempt(folder, *mutation, step_mm=STEP_MM[count]) is None)

    hold_one()
    return outcomes


@pytest.mark.parametrize("count", [FEW, pytest.param(MANY, marks=pytest.mark.long)])
def test_a_random_change_is_valid_or_told_with_its_place(copy, monkeypatch, count):
    """Each change gives valid data that can be solved, or problems that each begin with file, line and column."""
    outcomes = hold(copy, monkeypatch, count, 20)

    assert len(outcomes) >= count
    assert True in outcomes


@pytest.mark.long
def test_a_random_change_is_built_whole_or_not_at_all(tmp_path):
    """Ten changes built by the command: a whole site, or messages and no site; never a traceback."""
    from tests.projects import make_project, run

    whole = []

    @seed(10)
    @settings(max_examples=BUILT, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(mutations())
    def build_one(mutation):
        project = make_project(tmp_path / f"project{len(whole)}")
        shutil.rmtree(project / "anatomy_data")
        shutil.copytree(where_is_data(), project / "anatomy_data")
        name, text = mutation
        Path(project, "anatomy_data", name).write_text(text, "utf-8", newline="\n")
        finished = run(project, "build")
        whole.append(finished.returncode == 0)
        assert "Traceback" not in finished.stderr, finished.stderr
        assert whole[-1] == (project / "site" / "elbow-to-wrist.html").is_file()
        assert whole[-1] or PLACED.match(finished.stderr)
        shutil.rmtree(project)

    build_one()

    assert len(whole) >= BUILT

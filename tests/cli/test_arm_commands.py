"""Other arms on the command line: each is checked at every height that it changes, and cut like the drawn one."""

from __future__ import annotations

import json
import shutil

import pytest

from tests.conftest import STORE
from tests.projects import make_project
from wristward.anatomy.forearm import Forearm
from wristward.cli.main import main
from wristward.data.read import read_dataset
from wristward.locate import where_is_data
from wristward.measure.check import check_arm
from wristward.project.solved import solve_arms
from wristward.project.store import FolderStore

SHIPPED = sorted(path.stem for path in (where_is_data() / "arms").glob("*.yaml"))
HEAD = "who: somebody\nsource: own_drawing\nconfidence: 1\n"
TWIG = """knots:
  - {z_mm: 4, source: own_drawing, confidence: 1, nerves: {twig: {at: [5, 7], area_mm2: 1}}}
structures:
  twig:
    {kind: nerve, name: twig, from_z_mm: 6, to_z_mm: 0, course: [{from_z_mm: 6, to_z_mm: 1, free: true}],
     source: own_drawing, confidence: 1}
"""
WORDS = "figure: {{arm: {{{0}: b}}}}\nclient: {{arms: {{name: {{{0}: b}}}}}}\narms: {{differs: {{{0}: b}}, lifts: {{{0}: {{nerve_by_artery: b}}}}}}\n"


@pytest.fixture(scope="module")
def solved(tmp_path_factory):
    """The data folder of the made-up arm, and a cache in which its sections are."""
    folder = make_project(tmp_path_factory.mktemp("arms") / "project")
    return folder / "anatomy_data", folder / ".cache"


@pytest.fixture
def small(solved, tmp_path):
    """A copy of that folder, and words to check it with: ``small(name, text)`` adds an arm."""
    shutil.copytree(solved[0], tmp_path / "data")

    def add(name, text):
        (tmp_path / "data" / "arms").mkdir(exist_ok=True)
        (tmp_path / "data" / "arms" / f"{name}.yaml").write_text(HEAD + text, "utf-8")
        (tmp_path / "data" / "reader" / "en" / f"of_{name}.yaml").write_text(WORDS.format(name), "utf-8")
        return ["--data", str(tmp_path / "data"), "--cache", str(solved[1])]

    return add


def told(capsys):
    """Return what a command printed but for its words on languages."""
    return [line for line in capsys.readouterr().out.splitlines() if not line.startswith("language ")]


def test_check_solves_what_an_arm_changes_and_tells_how_it_fares(small, capsys):
    """After the drawn arm each other one is a line: its own sections, what it lifts, and that the rest holds."""
    assert 0 == main(["check", *small("twigged", TWIG)])
    lines = told(capsys)

    assert ["data", "sections", "relations", "arm twigged", "questions"] == [line.split(":")[0] for line in lines]
    assert (
        "arm twigged: 9 sections of its own, 0 kinds of warning of its own; "
        "0 of 1 relations lifted, the other 1 hold, and 0 of its own"
    ) == lines[3]


def test_check_of_one_arm_leaves_the_others_alone(small, capsys):
    """With --arm only that arm is asked, and one that is not there is refused in one line."""
    words = small("twigged", TWIG)

    assert 0 == main(["check", "--arm", "twigged", *words])
    assert ["data", "arm twigged"] == [line.split(":")[0] for line in told(capsys)]
    assert 1 == main(["check", "--arm", "bare", *words])
    assert "--arm is 'bare' (allowed: 'mean', 'small' or 'twigged')\n" == capsys.readouterr().err


MOVED = "knots: [{z_mm: 4, source: own_drawing, confidence: 1, vessels: {middle_artery: {at: [-20, 10], diameter_mm: 2.4}}}]\n"
MOVED += "structures: {middle_artery: {beside: null}}\n"


def test_a_relation_that_an_arm_breaks_is_told_in_its_file(small, capsys):
    """A relation that fails in an arm is a problem of the arm's file, with heights and where it is stated."""
    assert 1 == main(["check", *small("moved", MOVED)])
    problems = [line for line in capsys.readouterr().err.splitlines() if "nerve_by_artery" in line]

    assert 1 == len(problems)
    assert problems[0].startswith("data/arms/moved.yaml:1:1: in this arm relation 'nerve_by_artery' fails at z ")
    assert problems[0].endswith("(stated at data/relations.yaml:3; an arm may lift it with a reason)")


def test_a_lifted_relation_is_not_asked(small, capsys):
    """The same arm that names the relation among its lifts is without a problem; lifting what holds is a warning."""
    assert 0 == main(["check", *small("moved", MOVED + "lifts: [nerve_by_artery]\n")])
    said = capsys.readouterr()
    assert "1 of 1 relations lifted, the other 0 hold, and 0 of its own" in said.out
    assert "is lifted, though" not in said.err

    assert 0 == main(["check", "--arm", "idle", *small("idle", TWIG + "lifts: [nerve_by_artery]\n")])
    assert "warning: arm idle: 'nerve_by_artery' is lifted, though the drawing keeps it\n" == capsys.readouterr().err


def test_a_section_of_another_arm_shows_what_it_has(small, capsys):
    """The section command cuts an arm's own data; left it is the mirror image."""
    words = small("twigged", TWIG)
    found = []
    for side in ("right", "left"):
        assert 0 == main(["section", "--z-mm", "3", "--arm", "twigged", "--side", side, "--json", *words])
        found.append(json.loads(capsys.readouterr().out))
    twigs = [next(one for one in section["structures"] if one["id"] == "twig") for section in found]

    assert [("twigged", "right"), ("twigged", "left")] == [(one["arm"], one["side"]) for one in found]
    assert pytest.approx((-twigs[0]["centre_mm"][0], twigs[0]["centre_mm"][1])) == tuple(twigs[1]["centre_mm"])


def test_heights_that_an_arm_does_not_reach_are_the_drawn_arms(small, tmp_path):
    """Only where what is drawn differs within the reach of smoothing is a section an arm's own."""
    data = read_dataset(small("twigged", TWIG)[1])

    found = solve_arms(data, ["twigged"], store=FolderStore(tmp_path / "store"))

    # The twig is cut from 6 mm down, and a section is smoothed with those 2 mm from it.
    assert {"twigged": list(range(8, -1, -1))} == {name: list(sections) for name, sections in found.items()}


FEW = {
    "bifid_median_nerve": (0, 22, 40),
    "high_ulnar_palmar_branch": (30, 97),
    "palmaris_longus_absent": (33, 128),
    "superficial_ulnar_artery": (20, 128, 227),
}
"""Heights at which each arm shows what it is about."""


@pytest.mark.parametrize("name", sorted(set(SHIPPED) - {"small", "mean", "large"}))
def test_shipped_arms_keep_every_fact_where_they_differ_most(name, dataset, arm_sections):
    """At the heights that show an arm best, all relations hold that it does not lift, its own included."""
    from wristward.section.sweep import solve_all

    own = solve_all(Forearm.from_dataset(dataset.arms[name]), z_mm=FEW[name], store=FolderStore(STORE))

    assert set(FEW[name]) == set(own)
    assert [] == [
        str(one) for one in check_arm(dataset, name, own, {}) if "no section was solved there" not in str(one)
    ]


@pytest.mark.long
@pytest.mark.parametrize("name", sorted(set(SHIPPED) - {"small", "mean", "large"}))
def test_shipped_arms_keep_every_fact_at_every_millimetre(name, dataset, arm_sections):
    """At every millimetre all relations hold in each arm that it does not lift, its own included."""
    own = solve_arms(dataset, [name], store=FolderStore(STORE), workers=2)[name]

    assert set(arm_sections) == set(own)
    assert [] == [str(one) for one in check_arm(dataset, name, own, arm_sections)]

"""The commands section and check, and the help: what they print, how they refuse, and that nothing is a traceback."""

import json
import shutil

import pytest
from shapely.geometry import Polygon

from tests.projects import make_project
from wristward.cli.main import EXAMPLES, main
from wristward.measure.measures import measure_section

COMMANDS = ("serve", "build", "check", "section", "quiz", "window", "coverage", "test")


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """The data folder of the made-up arm."""
    return make_project(tmp_path_factory.mktemp("commands") / "project") / "anatomy_data"


def printed(capsys, *words):
    """Run a command that must succeed, and return what it printed as JSON."""
    code = main(list(words))
    said = capsys.readouterr()
    assert (0, "") == (code, said.err)
    return json.loads(said.out)


@pytest.mark.parametrize("command", COMMANDS)
def test_help_shows_an_example(command, capsys):
    """Each command's help ends in an example of it, and the program's own help shows all of them."""
    for words in ([command, "--help"], ["--help"]):
        with pytest.raises(SystemExit) as stopped:
            main(words)
        assert 0 == stopped.value.code
        assert EXAMPLES[command] in capsys.readouterr().out


def test_no_command_is_an_error(capsys):
    """Without a command the program says what it knows and ends with 2."""
    with pytest.raises(SystemExit) as stopped:
        main([])
    assert 2 == stopped.value.code
    assert "command" in capsys.readouterr().err


def test_a_section_is_the_solved_one(arm_sections, capsys):
    """The JSON holds every outline of the solved section, its depth, neighbours and warnings."""
    found, cut = printed(capsys, "section", "--z-mm", "97", "--json"), arm_sections[97]
    by_id = {one["id"]: one for one in found["structures"]}

    assert (97.0, "right", "mean", "supinated") == tuple(found[key] for key in ("z_mm", "side", "arm", "pose"))
    assert sorted(one.id for one in cut.structures) == sorted(by_id)
    assert list(cut.warnings) == found["warnings"]
    for one in cut.structures:
        ring = by_id[one.id]["ring_mm"]
        assert [pytest.approx(point, abs=6e-4) for point in one.ring_mm] == [tuple(point) for point in ring]
        assert (
            pytest.approx(Polygon(one.ring_mm).distance(Polygon(cut.skin_mm).exterior), abs=0.051)
            == (by_id[one.id]["depth_mm"])
        )
        assert by_id[one.id]["neighbours"]


def test_left_arm_is_the_mirror_image(capsys):
    """A left section has the same areas and depths, its points have the other sign across, its rings the same turn."""
    right = printed(capsys, "section", "--z-mm", "65", "--json")
    left = printed(capsys, "section", "--z-mm", "65", "--side", "left", "--json")

    assert "left" == left["side"]
    for one, other in zip(right["structures"], left["structures"], strict=True):
        assert (one["id"], one["area_mm2"], one["depth_mm"]) == (other["id"], other["area_mm2"], other["depth_mm"])
        assert sorted((-x + 0.0, y) for x, y in one["ring_mm"]) == sorted(tuple(point) for point in other["ring_mm"])
        assert Polygon(other["ring_mm"]).exterior.is_ccw


def test_a_large_arm_scales(dataset, capsys):
    """At the same share of its length, a large arm's section is the mean one times its girth."""
    large = dataset.region.arms["large"]
    mean = printed(capsys, "section", "--z-mm", "100", "--json")
    found = printed(capsys, "section", "--z-mm", f"{100 * large.length_scale}", "--arm", "large", "--json")

    assert pytest.approx(100 * large.length_scale) == found["z_mm"]
    areas = [Polygon(one["skin_mm"]).area for one in (mean, found)]
    assert pytest.approx(large.girth_scale**2, rel=1e-4) == areas[1] / areas[0]
    depths = [{one["id"]: one["depth_mm"] for one in cut["structures"]} for cut in (mean, found)]
    assert {key: pytest.approx(value * large.girth_scale, abs=0.11) for key, value in depths[0].items()} == depths[1]


def test_a_section_in_words(dataset, capsys):
    """Without --json each structure is a line that begins with its name, nerves with depth in mm."""
    assert 0 == main(["section", "--z-mm", "32"])
    lines = capsys.readouterr().out.splitlines()
    nerve = next(line for line in lines if line.startswith("Median nerve") or line.startswith("median nerve"))

    assert "3.2 cm" in lines[0]
    assert " mm " in nerve


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (["--z-mm", "300"], "--z-mm is 300 (allowed in the mean arm: 0 to 260)"),
        (["--z-mm", "-1"], "--z-mm is -1 (allowed in the mean arm: 0 to 260)"),
        (["--z-mm", "10", "--arm", "huge"], "--arm is 'huge' (allowed: "),
    ],
)
def test_a_section_that_is_not_there(words, message, capsys):
    """A height or an arm that does not exist is refused in one line."""
    assert 1 == main(["section", *words])
    said = capsys.readouterr()
    assert ("", True, 1) == (said.out, said.err.startswith(message), len(said.err.splitlines()))


def test_check_counts_what_holds(small, capsys):
    """On data without a fault the command says how much was read, solved and evaluated."""
    assert 0 == main(["check", "--data", str(small)])
    lines = capsys.readouterr().out.splitlines()

    assert ["data", "language de", "language es", "sections", "relations", "questions"] == [
        line.split(":")[0] for line in lines
    ]
    assert "all" in lines[4]


def test_check_tells_where_a_relation_fails(small, tmp_path, capsys):
    """A relation that does not hold is a problem with file, line, column and heights; the exit code is 1."""
    data = tmp_path / "data"
    shutil.copytree(small, data)
    path = data / "relations.yaml"
    text = path.read_text("utf-8").replace("max_mm: 2}", "min_mm: 40}")
    line = next(k for k, one in enumerate(text.splitlines(), start=1) if "min_mm: 40" in one)
    path.write_text(text, "utf-8")

    assert 1 == main(["check", "--data", str(data)])
    said = capsys.readouterr()
    problems = [line for line in said.err.splitlines() if "relations.yaml:" in line]
    assert 1 == len(problems)
    assert line - 3 <= int(problems[0].split("relations.yaml:")[1].split(":")[0]) <= line
    assert "nerve_by_artery" in problems[0] or "artery lies close" in problems[0]
    assert "Traceback" not in said.err


def test_check_lists_every_mistake(small, tmp_path, capsys):
    """Two mistakes in two files are both told, each with its place, before anything is solved."""
    data = tmp_path / "data"
    shutil.copytree(small, data)
    levels = sorted((data / "levels").glob("*.yaml"))[:2]
    for level in levels:
        level.write_text(level.read_text("utf-8").replace("z_mm:", "z_nm:", 1), "utf-8")

    assert 1 == main(["check", "--data", str(data)])
    said = capsys.readouterr()
    assert [] == [level.name for level in levels if f"{level.name}:" not in said.err]
    assert "z_mm" in said.err
    assert "sections" not in said.out


def test_depth_is_measured_from_the_skin(arm_sections):
    """The depth that the command prints is the shortest way from the skin to the near wall."""
    cut = arm_sections[130]
    skin = Polygon(cut.skin_mm).exterior
    measures = zip(cut.structures, measure_section(cut), strict=True)
    expected = {one.id: Polygon(one.ring_mm).distance(skin) for one in cut.structures}

    assert "median_nerve" in expected
    assert pytest.approx(expected, abs=0.051) == {one.id: measure.depth_mm for one, measure in measures}

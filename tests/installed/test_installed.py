"""Installed, the program knows nothing of the clone and builds a site strictly, and the recipes lay over its data."""

import re

import pytest

from tests.installed.conftest import ROOT
from tests.projects import make_project
from wristward.data.read import read_dataset
from wristward.locate import where_is_data
from wristward.site.course import course_files

RECIPE = re.compile(r"^```yaml title=\"overlay/(?P<name>[^\"]+)\"\n(?P<body>.*?)^```$", re.M | re.S)


def test_the_program_runs_from_its_own_files(installed, tmp_path):
    """The command of the environment uses the package inside it, and the data inside that."""
    program = (
        "import wristward.cli.main; from wristward.locate import where_is_data;"
        "print(wristward.cli.main.__file__, where_is_data())"
    )
    finished = installed.run("python", "-c", program, cwd=tmp_path)

    assert "" == finished.stderr
    assert [True, True] == [name.startswith(str(installed.folder)) for name in finished.stdout.split(".py ")]
    assert str(ROOT) not in finished.stdout


def test_mkdocs_alone_builds_with_the_installed_plugin(installed, tmp_path):
    """``mkdocs build --strict`` finds the plugin, its templates, scripts and words, and warns of nothing."""
    project = make_project(tmp_path / "a project")
    finished = installed.run("python", "-m", "mkdocs", "build", "--strict", cwd=project)

    assert 0 == finished.returncode, finished.stderr
    assert [] == re.findall("^(?:WARNING|ERROR).*", finished.stderr, re.M)
    assert (project / "site" / "elbow-to-wrist.html").is_file()


def test_an_installed_program_says_what_to_type_next(installed, tmp_path):
    """``wristward new`` writes the same course as in the clone, and names its own commands."""
    finished = installed.run("wristward", "new", "course", cwd=tmp_path)

    assert 0 == finished.returncode
    assert ["  cd course", "  wristward serve"] == finished.stdout.splitlines()[-2:]
    assert sorted(course_files()) == sorted(
        path.relative_to(tmp_path / "course").as_posix() for path in (tmp_path / "course").rglob("*") if path.is_file()
    )


@pytest.fixture(scope="module")
def recipes():
    text = (ROOT / "content" / "recipes.md").read_text("utf-8")
    return {found["name"]: found["body"] for found in RECIPE.finditer(text)}


def test_every_recipe_lays_over_the_packaged_data(recipes, tmp_path):
    """All files of the recipes together are right data, and each changes something."""
    for name, body in recipes.items():
        path = tmp_path / "overlay" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(body, "utf-8")
    dataset = read_dataset(where_is_data(), [tmp_path / "overlay"], every_language=True)
    changed = {one.place.file.removeprefix("overlay/") for one in dataset.overrides}

    assert len(recipes) > 8
    assert set(recipes) == changed

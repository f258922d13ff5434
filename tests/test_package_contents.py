"""What a user installs: the wheel carries data, client, templates and schema, and works away from the clone."""

import json
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PROGRAM = ROOT / "generator"
# Parts of the package that are not Python; each by pattern, as the build takes them.
PARTS = {
    "generator/wristward/browser/": ("*.js", "*.css"),
    "generator/wristward/site/theme/": ("*.html",),
    "generator/wristward/site/course_template/": ("*.yml", "*.yaml", "*.md"),
}


@pytest.fixture(scope="module")
def wheel(wheel):
    """The built wheel, opened."""
    return zipfile.ZipFile(wheel)


def sources(folder, pattern):
    found = [path for path in sorted((ROOT / folder).rglob(pattern)) if "__pycache__" not in path.parts]
    assert found, f"{folder}: {pattern}"
    return found


def test_every_module_is_inside(wheel):
    """Each Python file of the package is in the wheel, and the package is all that an import can find there."""
    expected = {path.relative_to(PROGRAM).as_posix() for path in sources("generator/wristward", "*.py")}

    assert set() == expected - set(wheel.namelist())


def test_scripts_styles_and_templates_are_inside(wheel):
    """Each script, style and template beside the modules is in the wheel, and there is at least one of each."""
    for folder, patterns in PARTS.items():
        for pattern in patterns:
            expected = {path.relative_to(PROGRAM).as_posix() for path in sources(folder, pattern)}

            assert set() == expected - set(wheel.namelist())


def test_the_data_and_its_schema_are_inside(wheel):
    """Each data and schema file is in the wheel under the package."""
    files = [path for pattern in ("*.yaml", "*.json") for path in sources("anatomy_data", pattern)]
    expected = {f"wristward/_anatomy_data/{path.relative_to(ROOT / 'anatomy_data').as_posix()}" for path in files}

    assert any(name.endswith(".schema.json") for name in expected)
    assert set() == expected - set(wheel.namelist())


def test_types_of_scripts_are_not_inside(wheel):
    """What only contributors' checks read, the types of the scripts, stays in the clone."""
    read_by_checks = sources("generator/wristward/browser", "*.ts") + sources(
        "generator/wristward/browser", "tsconfig.json"
    )

    assert len(read_by_checks) > 5
    assert set() == {path.relative_to(PROGRAM).as_posix() for path in read_by_checks} & set(wheel.namelist())


def test_nothing_else_is_inside(wheel):
    """No test, cache, built site or picture of the clone travels along."""
    strays = [
        name
        for name in wheel.namelist()
        if not name.startswith(("wristward/", "wristward-")) or "__pycache__" in name or name.endswith(".pyc")
    ]

    assert "wristward/cli/main.py" in wheel.namelist()
    assert [] == strays


def test_the_commands_are_offered(wheel):
    """The installed package offers ``wristward`` and the plugin of the same name."""
    name = next(name for name in wheel.namelist() if name.endswith("entry_points.txt"))
    lines = wheel.read(name).decode().split()

    assert "wristward" in lines
    assert "wristward.cli.main:main" in lines
    assert "wristward.site.plugin:WristwardPlugin" in lines


def test_the_package_reads_its_own_data_away_from_the_clone(wheel, tmp_path):
    """Unpacked in another folder, the package finds and reads the data inside it."""
    wheel.extractall(tmp_path)
    program = (
        "import json; from wristward.locate import where_is_data; from wristward.data.read import read_dataset;"
        "print(json.dumps([str(where_is_data()), len(read_dataset(where_is_data()).structures)]))"
    )
    finished = subprocess.run(
        [sys.executable, "-c", program], cwd=tmp_path, capture_output=True, text=True, check=True
    )  # fmt: skip
    folder, count = json.loads(finished.stdout)

    assert str(tmp_path / "wristward" / "_anatomy_data") == folder
    assert count > 50

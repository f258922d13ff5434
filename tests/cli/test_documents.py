"""What the documents tell a reader to type works as they say."""

import re
import shlex
import shutil
from pathlib import Path

import pytest

from wristward.cli.main import EXAMPLES, command_parser
from wristward.data.read import read_dataset
from wristward.errors import DataError

ROOT = Path(__file__).resolve().parents[2]
DOCUMENTS = ("README.md", "DEVELOPERS.md", *sorted(f"content/{path.name}" for path in (ROOT / "content").glob("*.md")))
SHELL_BLOCK = re.compile(r"^```sh\n(.*?)^```", re.DOTALL | re.MULTILINE)
INLINE = re.compile(r"`(python3 -m generator [^`]+)`")
START = ["python3", "-m", "generator"]


def commands():
    """Every command of every shell block and of the running text, with its document."""
    for document in DOCUMENTS:
        text = (ROOT / document).read_text("utf-8")
        lines = [line for block in SHELL_BLOCK.findall(text) for line in block.splitlines()]
        for line in (*lines, *INLINE.findall(text)):
            yield document, line


@pytest.mark.parametrize(("document", "line"), sorted(set(commands())))
def test_a_documented_command_is_understood(document, line, capsys):
    """Each documented command starts the program and every option of it exists."""
    words = shlex.split(line, comments=True)

    assert START == words[:3]
    if words[3:] == ["--help"]:
        with pytest.raises(SystemExit) as stopped:
            command_parser().parse_args(words[3:])
        assert 0 == stopped.value.code
        return
    options, rest = command_parser().parse_known_args(words[3:])
    assert callable(options.run)
    assert [] == rest or options.command == "test"


def test_the_guide_shows_every_command():
    """The contributor guide's first block names each command at least once."""
    block = SHELL_BLOCK.findall((ROOT / "DEVELOPERS.md").read_text("utf-8"))[0]

    assert set() == set(EXAMPLES) - {shlex.split(line)[3] for line in block.splitlines()}


def test_ci_runs_the_documented_command():
    """CI runs the README's test command and hands its exit code on."""
    script = (ROOT / ".ci" / "run").read_text("utf-8")

    assert 'exec python3 -m generator test "$@"' == script.strip().splitlines()[-1]
    assert "python3 -m generator test " in (ROOT / "README.md").read_text("utf-8")


def test_the_tree_names_what_is_there():
    """Every folder and file that the guide's tree names exists, and every layer of the program is in it."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    tree = text.split("## Where things are")[1].split("```text\n")[1].split("```")[0]
    found, above = [], [ROOT]
    for line in tree.splitlines():
        name, depth = line.split()[0], (len(line) - len(line.lstrip())) // 2
        path = above[depth] / name.rstrip("/")
        above[depth + 1 :] = [path]
        found.append(path)

    assert [] == [path for path in found if not path.exists()]
    package = ROOT / "generator" / "wristward"
    folders = {path.parent for path in package.rglob("*.py") if "course_template" not in path.parts}
    folders |= {path.parent for path in (package / "browser").rglob("*.js")}
    assert len(folders) > 20
    assert set() == folders - set(found)


def test_the_guide_and_the_test_agree_on_the_layers():
    """The order of layers in the guide is the one that the import test enforces."""
    from tests.test_import_order import LAYERS

    assert " → ".join(LAYERS) in (ROOT / "DEVELOPERS.md").read_text("utf-8")


def test_the_readme_shows_the_real_error(tmp_path, monkeypatch):
    """The README's typing mistake, made in the README's line of the real data, gives the README's answer."""
    readme = (ROOT / "README.md").read_text("utf-8")
    line = next(line.strip() for line in readme.splitlines() if line.strip().startswith("brachioradialis: {"))
    shutil.copytree(ROOT / "anatomy_data", tmp_path / "anatomy_data")
    level = tmp_path / "anatomy_data" / "levels" / "z195.yaml"
    text = level.read_text("utf-8")

    assert 1 == text.count(line)
    level.write_text(text.replace(line, line.replace("area_mm2", "aera_mm2")), "utf-8")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(DataError) as caught:
        read_dataset("anatomy_data")
    assert str(caught.value) in readme

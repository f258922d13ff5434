"""A course of one's own: written to an empty folder, read with the packaged anatomy, and its changes listed."""

import re
from pathlib import Path

import pytest

from wristward.cli.main import main
from wristward.data.read import read_dataset
from wristward.locate import where_is_data
from wristward.site.course import course_files
from wristward.site.settings import read_settings

ROOT = Path(__file__).resolve().parents[2]


def content_of(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_course_is_written(tmp_path, capsys):
    """The command writes the whole course, folders above it included, names each file, and says what to type next."""
    folder = tmp_path / "deep" / "my course"
    code = main(["new", str(folder)])
    said = capsys.readouterr()

    assert (0, "") == (code, said.err)
    assert course_files() == content_of(folder)
    assert set() == set(course_files()) - set(said.out.split())
    assert f"serve --config '{folder.as_posix()}/mkdocs.yml'" in said.out.splitlines()[-1]


def test_an_empty_folder_is_taken(tmp_path):
    """A folder that holds nothing is filled."""

    assert 0 == main(["new", str(tmp_path)])
    assert course_files() == content_of(tmp_path)


@pytest.mark.parametrize(("there", "why"), [("a.txt", "is not empty"), (None, "is a file")])
def test_what_is_there_stays(tmp_path, capsys, there, why):
    """A folder that holds something, or a file, is refused with words and left as it is."""
    folder = tmp_path / "course"
    if there is None:
        folder.write_text("mine")
    else:
        folder.mkdir()
        (folder / there).write_text("mine")
    before = content_of(tmp_path)

    assert 1 == main(["new", str(folder)])
    assert f"{folder} {why} (allowed: a new or an empty folder)\n" == capsys.readouterr().err
    assert before == content_of(tmp_path)


def test_a_course_that_cannot_be_written_leaves_nothing(tmp_path, capsys, monkeypatch):
    """When the disk refuses a file half-way, what was written is taken away again, and the reason is told."""
    real, count = Path.write_bytes, [0]

    def full(path, content):
        count[0] += 1
        if count[0] == 4:
            raise OSError(28, "No space left on device")
        return real(path, content)

    monkeypatch.setattr(Path, "write_bytes", full)

    assert 1 == main(["new", str(tmp_path / "course")])
    assert f"{tmp_path / 'course'} cannot be written: no space left on device\n" == capsys.readouterr().err
    assert [] == list(tmp_path.iterdir())


def test_a_new_course_reads_and_lists_its_changes(tmp_path):
    """The course's data is right, on the packaged anatomy, and each of its changes is listed with its file."""
    main(["new", str(tmp_path)])
    settings = read_settings(tmp_path / "mkdocs.yml")
    dataset = read_dataset(settings.data, settings.overlays)
    listed = [re.sub(r":\d+", ":N", str(one)) for one in dataset.overrides]

    assert where_is_data() == settings.data
    assert tmp_path / ".cache" == settings.cache
    assert [
        "overlay/levels/z065.yaml:N:N: vessels.radial_artery.diameter_mm is 3.4 (was 2.4, anatomy_data/levels/z065.yaml:N)",
        "scenario/operations.yaml:N:N: operations.trigger_thumb_release is new",
        "scenario/reader/en/scenario.yaml:N:N: a file of its own",
        "scenario/teaching.yaml:N:N: cases is another (was at anatomy_data/teaching.yaml:N)",
    ] == listed


def test_the_course_carries_the_cautions():
    """A new course has the cautions of this site, but for where an error is told."""
    ours = (ROOT / "content" / "cautions.md").read_text("utf-8").split("Errors can be reported; ")
    theirs = course_files()["content/cautions.md"].decode().split("Tell an error to ")

    assert ours[0] == theirs[0]
    assert [2, 2] == [len(ours), len(theirs)]
    assert ours[1].split("\n", 1)[1] == theirs[1].split("\n", 1)[1]


@pytest.mark.parametrize("command", ["check", "build"])
@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("site_name: x\nnav: [\n", ":3:1: expected the node content, but found '<stream end>'"),
        ("INHERIT: none.yml\n", ": Inherited config file 'none.yml' does not exist at 'FOLDER/none.yml'."),
    ],
)
def test_a_configuration_that_cannot_be_read_is_told(tmp_path, capsys, command, text, why):
    """Commands answer a broken configuration with its place in one line, not with a traceback."""
    config = tmp_path / "mkdocs.yml"
    config.write_text(text)

    assert 1 == main([command, "--config", str(config)])
    assert f"{config}{why.replace('FOLDER', str(tmp_path))}\n" == capsys.readouterr().err


def test_check_lists_what_a_site_overrides(tmp_path, monkeypatch, capsys):
    """In a site's folder ``check`` reads the data and overlays of its mkdocs.yml and lists the changes first."""
    from tests.projects import make_project

    project = make_project(tmp_path / "project")
    config = project / "mkdocs.yml"
    config.write_text(config.read_text("utf-8").replace("workers: 1", "workers: 1, overlays: [own]"), "utf-8")
    (project / "own" / "levels").mkdir(parents=True)
    (project / "own" / "levels" / "z020.yaml").write_text("vessels: {middle_artery: {diameter_mm: 2.5}}\n")
    monkeypatch.chdir(project)

    assert 0 == main(["check"])
    lines = capsys.readouterr().out.splitlines()
    assert [
        "overridden: 1 place",
        "  own/levels/z020.yaml:1:40: vessels.middle_artery.diameter_mm is 2.5 (was 2.4, anatomy_data/levels/z020.yaml:20)",
    ] == lines[1:3]

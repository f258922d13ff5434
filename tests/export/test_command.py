"""The command ``export``: a whole file or none, and errors in the author's words."""

from __future__ import annotations

import zipfile

import pytest

from wristward.cli import export, files, quiz
from wristward.cli.main import main


@pytest.fixture(autouse=True)
def shipped(monkeypatch, dataset, arm_sections, items, ready_packed):
    """Answer from what is read and solved already."""
    monkeypatch.setattr(export, "read_data", lambda options: dataset)
    monkeypatch.setattr(export, "solve_data", lambda data, options: arm_sections)
    monkeypatch.setattr(quiz, "all_items", lambda data, sections: items)


@pytest.mark.parametrize("form", ["qti3", "qti21", "scorm"])
def test_an_export_is_written_and_reported(form, tmp_path, capsys):
    """Each format writes its file, prints a line for every question, and leaves nothing beside it."""
    out = tmp_path / "quiz.zip"

    assert 0 == main(["export", form, str(out), "--topic", "median", "--count", "6", "--seed", "4"])
    first, said = out.read_bytes(), capsys.readouterr().out
    assert 0 == main(["export", form, str(out), "--topic", "median", "--count", "6", "--seed", "4"])
    assert first == out.read_bytes()
    assert [out] == list(tmp_path.iterdir())
    assert "imsmanifest.xml" in zipfile.ZipFile(out).namelist()
    assert ["1.", "2.", "3.", "4.", "5.", "6."] == [line.split()[0] for line in said.splitlines()[:6]]
    assert said.splitlines()[-1] == f"{out}: 6 questions, {len(first)} bytes"


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (["quiz.txt"], "quiz.txt: the file's name must end with '.zip'"),
        (["nowhere/quiz.zip"], "nowhere: there is no such folder"),
        (["there.zip"], "there.zip: this is a folder (give a file's name)"),
        (["quiz.zip", "--count", "0"], "--count is 0 (allowed: 1 to 200)"),
        (["quiz.zip", "--topic", "kneecap"], "--topic is 'kneecap': no item has this topic"),
    ],
)
def test_a_mistake_is_answered_in_words(given, said, tmp_path, monkeypatch, capsys):
    """What cannot be exported ends with one line and exit code 1, and nothing is written."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "there.zip").mkdir()

    assert 1 == main(["export", "qti21", *given])
    assert said == capsys.readouterr().err.strip()
    assert ["there.zip"] == [path.name for path in tmp_path.iterdir()]


def test_a_failed_write_leaves_the_old_file(tmp_path, monkeypatch, capsys):
    """Where the file cannot be put in its place the old one stays, and no half of a new one lies beside it."""
    out = tmp_path / "quiz.zip"
    out.write_bytes(b"old")

    def refuse(*paths):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(files.os, "replace", refuse)

    assert 1 == main(["export", "qti21", str(out), "--count", "2"])
    assert "cannot be written (Permission denied)" in capsys.readouterr().err
    assert b"old" == out.read_bytes()
    assert [out] == list(tmp_path.iterdir())

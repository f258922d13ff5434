"""Every mistake we could think of, each with its exact message; and those too large to keep as files."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from wristward.data.read import read_dataset
from wristward.data.records.relation import RELATION_KINDS
from wristward.errors import DataError

HERE = Path(__file__).parent
SMALL = HERE / "small"
BROKEN = HERE / "broken"


def messages() -> dict[str, list[str]]:
    """Read messages.txt: the name of a folder, then its lines, then an empty line."""
    text = (BROKEN / "messages.txt").read_text(encoding="utf-8").replace("{kinds}", ", ".join(sorted(RELATION_KINDS)))
    blocks = [block.splitlines() for block in text.split("\n\n") if not block.startswith("#")]
    return {lines[0]: lines[1:] for lines in blocks if lines}


def problems_of(folder: Path) -> list[str]:
    try:
        read_dataset(folder, parts=())
    except DataError as error:
        return [str(problem) for problem in error.problems]
    return []


@pytest.fixture
def small(tmp_path) -> Path:
    """A copy of the small arm to break."""
    shutil.copytree(SMALL, tmp_path / "small")
    return tmp_path / "small"


def test_every_broken_folder_is_in_the_table():
    """No fixture is left without a message, and no message without a fixture; there are at least forty."""
    folders = sorted(folder.name for folder in BROKEN.iterdir() if folder.is_dir())

    assert folders == sorted(messages())
    assert len(folders) >= 40


@pytest.mark.parametrize("name", sorted(messages()))
def test_broken_data_is_answered(name, small):
    """A mistake is answered with its place, what is wrong and what is allowed, word for word."""
    shutil.copytree(BROKEN / name, small, dirs_exist_ok=True)

    assert messages()[name] == problems_of(small)


def test_fifty_megabytes_are_refused_unread(small):
    """A file far too large is refused by its size."""
    with (small / "levels" / "z100.yaml").open("wb") as file:
        file.truncate(50_000_000)

    assert ["small/levels/z100.yaml:1:1: the file has 50,000,000 bytes (allowed: at most 4,000,000)"] == problems_of(
        small
    )


def test_alias_bomb_is_refused_where_it_begins(small):
    """Nested aliases are refused one by one, never expanded."""
    lines = ["a0: &a0 [x, x]"] + [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 10)]
    (small / "relations.yaml").write_text("\n".join(lines), encoding="utf-8")
    found = problems_of(small)

    assert "small/relations.yaml:1:5: anchor '&a0' is not allowed (write the value out where it is used)" in found
    assert "small/relations.yaml:10:10: alias '*a8' is not allowed (write the value out)" in found


@pytest.mark.parametrize(("opening", "line", "col"), [("[", 1, 41), ("{a: ", 1, 161), ("- ", 1, 81)])
def test_deep_nesting_is_refused(small, opening, line, col):
    """Three thousand levels of nesting are refused at the forty-first."""
    (small / "relations.yaml").write_text(opening * 3000, encoding="utf-8")

    assert [f"small/relations.yaml:{line}:{col}: nested more than 40 deep (allowed: at most 40)"] == problems_of(small)


def test_too_many_values_are_refused(small):
    """A list of more entries than any file needs is refused when the count is reached."""
    (small / "relations.yaml").write_text("relations: [" + "x," * 200_010 + "]", encoding="utf-8")

    assert [
        "small/relations.yaml:1:400007: the file has more than 200,000 values (allowed: at most 200,000)"
    ] == problems_of(small)


def test_a_file_outside_the_folder_is_not_read(small):
    """A link that leads out of the data folder is refused, a file's and a folder's."""
    outside = small.parent / "outside"
    shutil.copytree(small / "levels", outside)
    (small / "levels" / "z150.yaml").symlink_to(outside / "z100.yaml")
    (small / "more").symlink_to(outside, target_is_directory=True)

    assert [
        "small/levels/z150.yaml:1:1: leads outside the data folder (allowed: files inside it)",
        "small/more:1:1: leads outside the data folder (allowed: files inside it)",
    ] == problems_of(small)


def test_carriage_returns_with_line_feeds_are_read(small):
    """A file saved on Windows reads the same, and its mistakes keep their places."""
    path = small / "levels" / "z100.yaml"
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n").replace(b"area_mm2: 7", b"area_mm2: -7"))

    assert ["small/levels/z100.yaml:18:42: area_mm2 is -7, must be more than 0"] == problems_of(small)


def test_missing_folder_and_files_are_named(tmp_path):
    """A folder that is not there, is a file, or lacks a file is named."""
    (tmp_path / "empty").mkdir()
    (tmp_path / "file").write_text("")

    assert ["nowhere:1:1: there is no such folder (allowed: a folder of data)"] == problems_of(tmp_path / "nowhere")
    assert ["file:1:1: is not a folder (allowed: a folder of data)"] == problems_of(tmp_path / "file")
    assert [
        "empty:1:1: 'levels/*.yaml' is missing",
        "empty:1:1: 'region.yaml' is missing",
        "empty:1:1: 'sources.yaml' is missing",
        "empty:1:1: 'structures/*.yaml' is missing",
    ] == problems_of(tmp_path / "empty")

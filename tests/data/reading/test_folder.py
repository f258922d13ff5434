"""Which files count as data."""

from __future__ import annotations

from pathlib import Path

import pytest

from wristward.data.reading.folder import fits, list_files, read_bytes, shown_name

PATTERNS = ("region.yaml", "levels/*.yaml")


def make(folder: Path, *names: str) -> Path:
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text("x: 1\n")
    return folder


def test_files_are_listed_by_name_and_others_left_alone(tmp_path):
    """Data files come sorted; notes, hidden files, schemas and variants beside them are no data and no fault."""
    folder = make(
        tmp_path / "data",
        *("region.yaml", "levels/z2.yaml", "levels/z10.yaml", "notes.md", ".hidden.yaml", ".git/x.yaml"),
        *("schema/level.yaml", "variants/one/region.yaml", "levels/.z3.yaml"),
    )
    files, problems = list_files(folder, PATTERNS)

    assert ["levels/z10.yaml", "levels/z2.yaml", "region.yaml"] == list(files)
    assert [] == problems


def test_a_yaml_file_that_would_not_be_read_is_a_fault(tmp_path):
    """A misspelt name, another ending and a folder too deep do not vanish silently."""
    folder = make(tmp_path / "data", "regoin.yaml", "levels/z1.yml", "levels/old/z1.yaml", "levels/schema/z1.yaml")
    files, problems = list_files(folder, PATTERNS)

    assert {} == files
    assert [
        "data/levels/old/z1.yaml:1:1: this file is not read (allowed: levels/*.yaml, region.yaml)",
        "data/levels/schema/z1.yaml:1:1: this file is not read (allowed: levels/*.yaml, region.yaml)",
        "data/levels/z1.yml:1:1: this file is not read (allowed: levels/*.yaml, region.yaml)",
        "data/regoin.yaml:1:1: this file is not read; did you mean 'region.yaml'? "
        "(allowed: levels/*.yaml, region.yaml)",
    ] == sorted(str(problem) for problem in problems)


def test_links_inside_the_folder_are_read_and_broken_ones_named(tmp_path):
    """A link to another data file is a data file; one to nothing cannot be read."""
    folder = make(tmp_path / "data", "levels/z1.yaml")
    (folder / "levels" / "z2.yaml").symlink_to(folder / "levels" / "z1.yaml")
    (folder / "levels" / "z3.yaml").symlink_to(folder / "levels" / "nothing.yaml")
    files, problems = list_files(folder, PATTERNS)

    assert (["levels/z1.yaml", "levels/z2.yaml", "levels/z3.yaml"], []) == (list(files), problems)
    assert (b"x: 1\n", []) == read_bytes(files["levels/z2.yaml"], "f")
    assert ["f:1:1: cannot be read: no such file or directory"] == [
        str(problem) for problem in read_bytes(files["levels/z3.yaml"], "f")[1]
    ]


@pytest.mark.parametrize(
    ("name", "pattern", "expected"),
    [
        ("levels/z1.yaml", "levels/*.yaml", True),
        ("levels/a/z1.yaml", "levels/*.yaml", False),
        ("a/levels/z1.yaml", "levels/*.yaml", False),
        ("a/region.yaml", "region.yaml", False),
        ("region.yaml", "region.yaml", True),
    ],
)
def test_patterns_stand_for_whole_names(name, pattern, expected):
    """A star stops at a folder, and a pattern does not fit the end of a longer name."""
    assert expected == fits(name, pattern)


def test_folders_are_shown_as_given_or_by_their_name():
    """Messages begin with a relative folder as it was given, or with the last part of an absolute one."""
    assert ["course/data", "anatomy_data"] == [
        shown_name(Path("course/data")),
        shown_name(Path("/somewhere/else/anatomy_data")),
    ]

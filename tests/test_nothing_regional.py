"""What is regional stands in the data: no program file names a muscle, nerve, bone or vessel, nor how long a forearm is."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from tests.projects import ROOT

PROGRAM = ROOT / "generator"
SCRIPT_TEXT = re.compile(r"'(?:\\.|[^'\\\n])*'|\"(?:\\.|[^\"\\\n])*\"|`(?:\\.|[^`\\])*`")
GEOMETRY = {"radius", "lateral"}
"""Words that geometry owns as well: refused only where they stand alone in quotes, as a value."""

SCRIPT_REMARK = re.compile(r"/\*.*?\*/", re.DOTALL)
SHOWN = "examples"
"""What a schema shows an editor of how a value may look is no value."""


@pytest.fixture(scope="module")
def names(dataset):
    """Every name of a structure: its id, its short form, and what it is called in English and Latin."""
    records = dataset.structures.items()
    said = {one for _, record in records for one in (record.short, record.name, record.latin) if one is not None}
    return {id_ for id_, _ in records} | said


@pytest.fixture(scope="module")
def places(dataset):
    """Every name of a direction, compartment, stretch, landmark, operation or page of the region."""
    region = dataset.region
    ways = (*region.frame.directions(), *region.compartments, *region.stretches, *region.landmarks, region.travel)
    return {*ways, *dataset.operations.operations}


def program_files() -> list[Path]:
    """Return every file of the program that is code."""
    return sorted(path for path in PROGRAM.rglob("*") if path.suffix in (".py", ".js", ".css", ".ts"))


def pattern(words: Iterable[str]) -> re.Pattern[str]:
    """Return what finds any of the words by itself, not as a part of a longer one."""
    longest_first = sorted(words, key=lambda word: (-len(word), word))
    return re.compile(rf"(?<![A-Za-z0-9])(?:{'|'.join(map(re.escape, longest_first))})(?![A-Za-z0-9])")


def literals(path: Path, text: str) -> Iterator[str]:
    """Yield every text and number that a program file holds as a value: no docstring, and nothing that only shows how."""
    if path.suffix != ".py":
        text = SCRIPT_REMARK.sub("", text)
        yield from (quoted[1:-1] for quoted in SCRIPT_TEXT.findall(text))
        yield from re.findall(r"(?<![\w.#])\d+(?![\w.%])", text)
        return
    tree = ast.parse(text)
    skipped = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    shown = (node for node in ast.walk(tree) if isinstance(node, ast.keyword) and node.arg == SHOWN)
    skipped |= {id(inner) for node in shown for inner in ast.walk(node.value)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and id(node) not in skipped and not isinstance(node.value, bool | bytes):
            yield str(node.value)


def named(path: Path, text: str, names: set[str], places: set[str], length_mm: int) -> list[str]:
    """Return "line: word" of each structure that a file names, and each regional value that it holds."""
    anywhere, alone = pattern(names - GEOMETRY), pattern(places - GEOMETRY)
    found = [f"{number}: {word}" for number, line in enumerate(text.splitlines(), 1) for word in anywhere.findall(line)]
    for value in literals(path, text):
        if value in GEOMETRY & (names | places) or value in (str(length_mm), str(float(length_mm))):
            found.append(f"value: {value}")
        found += [f"value: {word}" for word in alone.findall(value)]
    return found


def test_no_program_file_names_what_the_region_owns(dataset, names, places):
    """No file of the program names a structure, not even in a comment, nor holds a place or the length of the region."""
    files = program_files()
    length_mm = dataset.region.reference_length_mm
    found = {
        str(path.relative_to(PROGRAM)): regional
        for path in files
        if (regional := named(path, path.read_text("utf-8"), names, places, length_mm))
    }

    assert {".py", ".js", ".css", ".ts"} == {path.suffix for path in files}
    assert {"ulna", "FDS", "median_nerve", "nervus medianus"} <= names
    assert {"ulnar", "volar_deep", "wrist"} <= places
    assert {} == found


@pytest.mark.parametrize(
    ("file", "text", "expected"),
    [
        ("a.py", "# beside the ulna", ["1: ulna"]),
        ("a.py", "x = 'FDS'", ["1: FDS"]),
        ("a.py", "median_nerve_mm = 1", ["1: median_nerve"]),
        ("a.py", "x = ids['median_nerve']", ["1: median_nerve"]),
        ("a.py", "radius = disc.radius", []),
        ("a.py", "x = ids['radius']", ["value: radius"]),
        ("a.py", "top_mm = 260", ["value: 260"]),
        ("a.py", "top_mm = 260.0", ["value: 260.0"]),
        ("a.py", "seed = 20_200_260", []),
        ("a.py", '"""Toward the ulnar side."""', []),
        ("a.py", "x = f'{y} toward ulnar'", ["value: ulnar"]),
        ("a.py", "z = Field(examples=['wrist'])", []),
        ("a.js", "const x = 'ulnar';", ["value: ulnar"]),
        ("a.js", '/* along "the wrist" */', []),
        ("a.js", "if (z > 260) return;", ["value: 260"]),
        ("a.css", ".a{width:260px}", []),
        ("a.js", "/* the ulna */", ["1: ulna"]),
    ],
)
def test_what_is_regional_is_found(file, text, expected):
    """Names are found wherever they stand by themselves; places and the length where they are values."""
    assert expected == named(Path(file), text, {"ulna", "FDS", "median_nerve", "radius"}, {"ulnar", "wrist"}, 260)

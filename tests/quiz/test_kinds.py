"""A kind of question is one row, one file and its words: nothing else in the program knows it by name."""

from __future__ import annotations

import re
from dataclasses import replace
from importlib import import_module

import pytest

from wristward.data.read import read_dataset
from wristward.data.records.quiz_kinds import QUIZ_KINDS, STRETCH, kinds_of
from wristward.locate import BROWSER, where_is_data
from wristward.quiz import bank
from wristward.quiz.given import given_of
from wristward.quiz.items import stretch

PROGRAM = BROWSER.parent
COMPARED = re.compile(r"""\bkind\b\s*(?:[!=]==?|in|not in)\s*[(\["']+(\w+)["']""")
LANGUAGES = ("en", "de", "es")


@pytest.fixture(scope="module")
def given(dataset, sections):
    """What questions are made from."""
    return given_of(dataset, sections, seed=bank.SEED)


def test_each_row_has_its_file():
    """The files of ``quiz/items/`` are called like the rows, so that none is without the other."""
    files = {path.stem for path in (PROGRAM / "quiz" / "items").glob("*.py")} - {"__init__"}

    assert set(QUIZ_KINDS) == files


@pytest.mark.parametrize("kind", QUIZ_KINDS)
def test_a_file_asks_its_own_kind(given, kind):
    """What a file yields is of the kind that the file is called like, or that a stretch of the region is called like."""
    made = [*import_module(f"wristward.quiz.items.{kind}").items(given)]
    names = set(given.dataset.region.asked_stretches()) if kind == STRETCH else {kind}

    assert (names, [QUIZ_KINDS[kind]]) == ({item.kind for item in made}, [*dict.fromkeys(item.row for item in made)])


def test_a_region_asks_about_the_stretches_that_it_names(given):
    """Another stretch is asked about under its own name, with what holds within it alone; none is asked about unasked."""
    region = given.dataset.region
    low = region.stretches["wrist"]
    stretches = {"low": low.model_copy(update={"z_mm": (0, 5)}), "high": low.model_copy(update={"asked": False})}
    other = replace(given, dataset=replace(given.dataset, region=region.model_copy(update={"stretches": stretches})))
    made = [*stretch.items(other)]

    assert 3 < len(made)
    assert {("low", "low")} == {(item.kind, item.topics[-1]) for item in made}
    assert {0, 1, 2, 3, 4, 5} >= {item.z_mm for item in made}
    assert ["tap", "name"] == [*kinds_of(stretches)][:2]
    assert ["low", "high"] == [*kinds_of(stretches)][-2:]


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_kind_has_a_name(language):
    """The report of an export calls each kind by a name in each language, and no name is left over."""
    words = read_dataset(where_is_data(), language=language).words
    names = {key.removeprefix("quiz.kind."): words[key] for key in words if key.startswith("quiz.kind.")}

    assert set(kinds_of(["wrist"])) == set(names)
    assert len(names) == len(set(names.values()))


def test_nobody_tells_kinds_apart_by_name():
    """What differs between kinds is a field of the row: no file compares a question's kind with a name."""
    found, seen = [], 0
    for path in sorted([*PROGRAM.rglob("*.py"), *PROGRAM.rglob("*.js")]):
        for number, line in enumerate(path.read_text("utf-8").splitlines(), start=1):
            seen += 1
            named = COMPARED.search(line)
            if named is not None and named[1] in QUIZ_KINDS:
                found.append(f"{path.relative_to(PROGRAM).as_posix()}:{number}: {line.strip()}")

    assert [] == found
    assert seen > 0


@pytest.mark.parametrize(
    "line",
    ['if item.kind == "tap":', "alike: item.kind === 'look_alike',", 'if one.kind in ("seam", "tap"):'],
)
def test_a_comparison_is_found(line):
    """Each way to tell kinds apart by name is seen."""
    named = COMPARED.search(line)

    assert named is not None and named[1] in QUIZ_KINDS

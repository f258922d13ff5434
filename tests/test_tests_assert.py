"""No test passes on nothing: where it looks for faults, it says that there is something to look at."""

from __future__ import annotations

import pytest

from tests.hollow import hollow
from tests.projects import ROOT


def modules():
    """Return the text of every module of tests and program by its dotted name."""
    found = {
        ".".join(path.relative_to(root).with_suffix("").parts): path.read_text("utf-8")
        for root, folder in ((ROOT, ROOT / "tests"), (ROOT / "generator", ROOT / "generator" / "wristward"))
        for path in sorted(folder.rglob("*.py"))
    }
    assert {"tests.conftest", "tests.test_tests_assert", "wristward.cli.main"} <= set(found)
    return found


def test_no_test_passes_on_nothing():
    """Each test fails if what it looks through is empty."""
    assert [] == hollow(modules())


@pytest.mark.parametrize(
    "body",
    [
        "for a in given():\n  assert a",
        "for a in (1, 2):\n  for b in given(a.c):\n    assert b",
        "for a in sorted(given()):\n  with raises(E):\n    a()",
        "for a in [*given()]:\n  assert a",
        "for a in {b for b in (1, 2) if b > 2}:\n  assert a",
        "assert all(a for a in given())",
        "assert not any(a for a in given())",
        "assert not [a for a in given() if a]",
        "assert [] == sorted(a for a in given() if a)",
        "found = {a: 1 for a in given()}\nassert {} == {a: b for a, b in found.items()}",
        "bad = [a for a in given() if a]\nassert bad == []",
        "bad = []\nfor a in given():\n  bad.append(a)\nassert [] == bad",
        "bad, all_ = [], given()\nfor a in all_:\n  bad += [a]\nassert [] == bad, 'what'",
        "assert set() == {a for a in given()} - {1}",
        "assert {a for a in given()} <= {1}",
        "for a, b in zip(given(), (1, 2)):\n  assert a",
        "for a in FOUND:\n  assert a",
        "for a in fixture:\n  assert a",
    ],
)
def test_what_passes_on_nothing_is_found(body):
    """Loops, ``all``, and lists of faults over something that may be empty are no check by themselves."""
    assert ["tests.test_a.test_b"] == hollow({"tests.test_a": _module(body, "FOUND = sorted(given())")})


@pytest.mark.parametrize(
    "body",
    [
        "pass",
        "assert 1 == given()",
        "for a in given():\n  assert a\nassert given()",
        "for a in (1, 2):\n  assert a",
        "for a in FEW.items():\n  assert a",
        "for a, few in FEW.items():\n  for b in few:\n    assert b",
        "for a, b in zip(given(), (1, 2), strict=True):\n  assert a",
        "for a in range(3):\n  assert a",
        "assert all(a for a in sorted((1, 2)))",
        "found = given()\nassert found and [] == [a for a in found]",
        "bad = []\nfor a in (1, 2):\n  bad.append(a)\nassert [] == bad",
        "assert [] == given()",
        "with raises(E):\n  given()",
        "for a in checked():\n  assert a",
        "found = checked()\nassert {} == {a: b for a, b in found.items()}",
        "assert [] == [b for a in checked() for b in faults(a)]",
        "assert [] == [b for a in checked() for b in a.parts]",
        "checked()",
    ],
)
def test_what_fails_on_nothing_is_left(body):
    """A collection that is written, or answered for by what gives it, may be looped over; one other check is enough."""
    constants = "FEW = {1: (1, 2)}\ndef checked():\n  assert given()\n  return given()"

    assert [] == hollow({"tests.test_a": _module(body, constants)})


def test_fixtures_answer_for_what_they_give():
    """A fixture of the folder or above that checks is as good as a check, and so is a helper that is imported."""
    test = _module("for a in fixture:\n  assert a", "")
    checks, other = "def fixture():\n  assert 1", "def other():\n  assert 1"

    assert [] == hollow({"tests.b.test_a": test, "tests.conftest": checks})
    assert ["tests.b.test_a.test_b"] == hollow({"tests.b.test_a": test, "tests.c.conftest": checks})
    assert [] == hollow(
        {
            "tests.test_a": _module("for a in helper():\n  assert a", "from tests.o import other as helper"),
            "tests.o": other,
        }
    )


def test_what_must_fail_may_pass_on_nothing():
    """A test that is expected to fail fails if it has nothing to look at."""
    body = _module("for a in given():\n  assert a", "").replace(
        "def test_b", "@pytest.mark.xfail(strict=True)\ndef test_b"
    )

    assert [] == hollow({"tests.test_a": body})


def _module(body, constants):
    return f"{constants}\n\ndef test_b(fixture):\n" + "\n".join(f"  {line}" for line in body.splitlines())

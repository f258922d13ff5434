"""Nothing of the program is there for the tests alone."""

from __future__ import annotations

import re

import pytest

from tests.projects import ROOT
from tests.unused import unused

PROGRAM = ROOT / "generator"
CALLED = {
    r"cli\.main\.main": "the command that is installed",
    r"project\.reading\._Records\.find_class": "what pickle calls",
    r"quiz\.items\.\w+\.items": "the questions of a kind, whose row names the file",
    r"site\.plugin\.WristwardPlugin\.on_\w+": "what mkdocs calls",
    r"site\.search\._Reader\.handle_\w+": "what the reader of HTML calls",
    r"site\.serve\._Preview\.serve_request": "what the preview's server calls",
    r"site\.\w+\._\w+\.emit": "what logging calls",
}
"""What is called from outside, or by a name that is put together: pattern within the package, and by whom."""


def modules():
    """Return the text of every module of the package by its name within it."""
    package = PROGRAM / "wristward"
    return {
        ".".join(path.relative_to(PROGRAM).with_suffix("").parts): path.read_text("utf-8")
        for path in sorted(package.rglob("*.py"))
    }


def test_what_the_program_defines_it_uses():
    """Each public function, class, constant and method of the program is used by the program, or called from outside."""
    found = [name.removeprefix("wristward.") for name in unused(modules())]
    left = [name for name in found if not any(re.fullmatch(pattern, name) for pattern in CALLED)]

    assert [] == left
    assert [] == [pattern for pattern in CALLED if not any(re.fullmatch(pattern, name) for name in found)]


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("def f(): pass", "from a import f\nf()", []),
        ("def f(): pass", "from a import f as g\nx = [g]\nx", []),
        ("def f(): pass", "import a", ["a.f"]),
        ("def f(): pass", "from a import f", ["a.f"]),
        ("def f(): pass", "def f(): pass\nf()", ["a.f"]),
        ("def f(): f()", "", ["a.f"]),
        ("def f(): pass\ndef _g(): f()", "", []),
        ("F: int = 1\nG = H = 2\nprint(G)", "", ["a.F", "a.H"]),
        ("class C:\n  x: C\n  def m(self): return C.m", "", ["a.C", "a.C.m"]),
        ("class C:\n  def m(self): pass", "from a import C\nC().m()", []),
        ("class C:\n  def m(self): pass\n  def _n(self): pass", "from a import C\nC()", ["a.C.m"]),
        ("def f(x: 'C'): pass\nf(1)\nclass C: pass", "", ["a.C"]),
    ],
)
def test_what_nobody_uses_is_found(one, other, expected):
    """A use inside itself, an import alone and something of the same name elsewhere are no use."""
    assert expected == unused({"a": one, "b": other})


def test_a_module_taken_whole_is_a_use():
    """What is asked of a module that is imported as a whole counts as used there, and nowhere else."""
    sources = {"p.a": "def f(): pass\ndef g(): pass", "p.b": "from p import a\na.f()", "p.c": "def f(): pass"}

    assert ["p.a.g", "p.c.f"] == unused(sources)

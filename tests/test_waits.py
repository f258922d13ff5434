"""No test waits for an amount of time: a busy machine needs more, and a quick one less."""

from __future__ import annotations

import re

import pytest

from tests.projects import ROOT

WAITS = re.compile(r"\b(?:sleep|wait_for_timeout|setTimeout)\(")
LOOKING_AGAIN = {
    "tests/bench/test_commands.py": "between two looks at the memory that another process holds, or at its page",
    "tests/conftest.py": "between two tries for a lock that another process holds",
    "tests/preview.py": "between two looks at a page that another process serves",
}
"""What may pause, once, and for what: the end of the wait is a condition, which nothing tells of by itself."""


def waits(text):
    """Return the number of each line that waits for a time; ``setTimeout`` without one is the next turn, not a wait."""
    return [
        text.count("\n", 0, found.start()) + 1
        for found in WAITS.finditer(text)
        if not found[0].startswith("set") or _has_second(text[found.end() :])
    ]


def _has_second(text):
    depth = 0
    for letter in text:
        depth += (letter in "([{") - (letter in ")]}")
        if depth < 0:
            return False
        if letter == "," and depth == 0:
            return True
    return False


def test_no_test_waits_for_a_time():
    """Tests wait for what they are about to look at; only those named pause between two looks."""
    paths = [path for ending in ("py", "js") for path in sorted((ROOT / "tests").rglob(f"*.{ending}"))]
    found = {path.relative_to(ROOT).as_posix(): waits(path.read_text("utf-8")) for path in paths}
    # Here stand the samples.
    assert 3 < len(found.pop("tests/test_waits.py"))

    assert dict.fromkeys(LOOKING_AGAIN, 1) == {name: len(lines) for name, lines in found.items() if lines}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("import time\ntime.sleep(2)", [2]),
        ("await asyncio.sleep(1)", [1]),
        ("page.wait_for_timeout(60)", [1]),
        ("new Promise((go) => setTimeout(go, 50))", [1]),
        ("setTimeout(() => go(1, 2), 50)", [1]),
        ("setTimeout(() => go(1, 2))", []),
        ("requestAnimationFrame(() => setTimeout(done))", []),
        ("page.wait_for_selector('.w-ready')", []),
    ],
)
def test_a_wait_is_found(text, expected):
    """Each way to wait for a time is found with its line, and waiting for a condition is not."""
    assert expected == waits(text)

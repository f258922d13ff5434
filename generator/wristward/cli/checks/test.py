"""Run every check: lint and types first, then pytest on two workers, whose summary comes last and whose exit code counts."""

from __future__ import annotations

import os
import subprocess
import sys
from argparse import Namespace
from collections.abc import Iterator
from pathlib import Path

from wristward.cli.browser import VARIABLE, BrowserError
from wristward.cli.checks.browser import find_browser
from wristward.cli.checks.players import PlayersError, players_folder, type_check
from wristward.cli.errors import CommandError
from wristward.locate import BROWSER, checkout

PYTHON = [sys.executable, "-m"]
TYPED_SCRIPTS = ("tsconfig.json", "types/worker/tsconfig.json")
"""Relative to ``browser/``: pages, and the worker, which has other globals than a page."""

WORKERS = 2
"""The suite is sized for two cores; some tests measure time and would disturb each other on more."""

SPREAD = ["-n", str(WORKERS), "--dist", "loadfile", "--no-loadscope-reorder"]
"""A file's tests go to one worker, so that what they share, a built site or all questions, is made once; files are begun in
the tests' own order, not by how many tests they have, which says little of how long they take."""


def run_tests(options: Namespace) -> int:
    """Lint, check types, find a browser and the players of exports, run pytest.

    Args:
        options: ``long`` (bool) and ``rest``, words for pytest.

    Returns:
        The exit code of the first check that fails, or 0. Pytest's "no test ran" (5) is a failure too.

    Raises:
        CommandError: If this is no checkout of the project, or no browser can be found or installed.
    """
    root = checkout()
    if root is None or not (root / "tests").is_dir():
        raise CommandError("the tests are not part of the installed package (run this in a clone of the project)")
    environment = {**os.environ, "PYTHONHASHSEED": "0"}
    # One thread a worker: two solvers that each take both cores are slower than two that take one each.
    environment.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        for name, command in _quick(root / ".cache"):
            code = _run(command, root, environment)
            if code != 0:
                print(f"wristward: {name} found something to mend; the tests did not run", file=sys.stderr)
                return code
        environment[VARIABLE] = find_browser()
        players_folder(root / ".cache")
    except (BrowserError, PlayersError) as error:
        raise CommandError(str(error)) from error
    chosen = [] if any(word.startswith(("-n", "--numprocesses")) for word in options.rest) else SPREAD
    long = ["--long"] if options.long else []
    return _run([*PYTHON, "pytest", *chosen, *long, *options.rest], root, environment)


def _quick(cache: Path) -> Iterator[tuple[str, list[str]]]:
    """Yield (name, command) of what reads the code without running it; what a command needs is installed as its turn comes."""
    yield "ruff check", [*PYTHON, "ruff", "check", "."]
    yield "ruff format", [*PYTHON, "ruff", "format", "--check", "--quiet", "."]
    yield "mypy", [*PYTHON, "mypy"]
    for project in TYPED_SCRIPTS:
        yield "tsc", type_check(cache, BROWSER / project)


def _run(command: list[str], root: Path, environment: dict[str, str]) -> int:
    sys.stdout.flush()
    return subprocess.call(command, cwd=root, env=environment)

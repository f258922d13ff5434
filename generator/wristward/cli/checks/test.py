"""Run every check: lint first, then pytest on two workers, whose summary comes last and whose exit code counts."""

from __future__ import annotations

import os
import subprocess
import sys
from argparse import Namespace
from pathlib import Path

from wristward.cli.browser import VARIABLE, BrowserError
from wristward.cli.checks.browser import find_browser
from wristward.cli.checks.players import PlayersError, players_folder
from wristward.cli.errors import CommandError
from wristward.locate import checkout

WORKERS = 2
"""The suite is sized for two cores; some tests measure time and would disturb each other on more."""

SPREAD = ["-n", str(WORKERS), "--dist", "loadfile"]
"""A file's tests go to one worker, so that what they share, a built site or all questions, is made once."""


def run_tests(options: Namespace) -> int:
    """Lint, find a browser and the players of exports, run pytest.

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
    for check in (["check", "."], ["format", "--check", "--quiet", "."]):
        code = _run(["-m", "ruff", *check], root, environment)
        if code != 0:
            print(f"wristward: ruff {check[0]} found something to mend; the tests did not run", file=sys.stderr)
            return code
    try:
        environment[VARIABLE] = find_browser()
        players_folder(root / ".cache")
    except (BrowserError, PlayersError) as error:
        raise CommandError(str(error)) from error
    chosen = [] if any(word.startswith(("-n", "--numprocesses")) for word in options.rest) else SPREAD
    return _run(["-m", "pytest", *chosen, *(["--long"] if options.long else []), *options.rest], root, environment)


def _run(words: list[str], root: Path, environment: dict[str, str]) -> int:
    sys.stdout.flush()
    return subprocess.call([sys.executable, *words], cwd=root, env=environment)

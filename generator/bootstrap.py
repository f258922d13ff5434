"""Make the project's environment on a fresh machine, then hand over to the commands.

Standard library only: this runs before anything is installed. It refuses to touch an environment that it did
not find or make at ``.venv`` beside the project's ``pyproject.toml``.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

OLDEST_PYTHON = (3, 11)
ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
# The commands that need more than the site itself does.
EXTRA_OF_COMMAND = {"test": "test"}


class SetupError(Exception):
    """The environment could not be made; the text says what to do about it."""


def start(arguments: list[str] | None = None) -> int:
    """Run the command in the project's own environment, making that first where it is missing.

    Args:
        arguments: What stands behind ``python3 -m generator``; by default the process's own arguments.

    Returns:
        The exit code: the command's own, or 1 with one line on standard error when the environment fails.
    """
    arguments = sys.argv[1:] if arguments is None else arguments
    if sys.version_info < OLDEST_PYTHON:
        return _refuse("Python {}.{} or later is needed; this is {}.{}".format(*OLDEST_PYTHON, *sys.version_info))
    extra = EXTRA_OF_COMMAND.get(arguments[0], "") if arguments else ""
    try:
        make_environment(extra)
    except SetupError as error:
        return _refuse(str(error))
    if Path(sys.prefix).resolve() == ENVIRONMENT.resolve():
        return _run_commands(arguments)
    return _run_again([str(environment_python()), "-m", "generator", *arguments])


def make_environment(extra: str) -> None:
    """Create ``.venv`` and install the project with one extra, unless a stamp says that this was done.

    Args:
        extra: Name of an optional dependency group of ``pyproject.toml``, or "" for the site alone.

    Raises:
        SetupError: If the environment cannot be created or the packages cannot be installed.
    """
    if _stamp(extra).is_file() and _stamp(extra).read_text("utf-8") == _wanted_stamp(extra):
        return
    uv = shutil.which("uv")
    if not environment_python().is_file():
        print("Making the environment in .venv (once) …", file=sys.stderr, flush=True)
        _create(uv)
    project = f"{ROOT}[{extra}]" if extra else str(ROOT)
    print(f"Installing {'the tests and ' if extra else ''}the site's packages (once) …", file=sys.stderr, flush=True)
    finished = subprocess.run([*install_command(uv), "--editable", project], cwd=ROOT, stdout=sys.stderr)
    if finished.returncode != 0:
        raise SetupError(f"the packages could not be installed (exit code {finished.returncode}; see the lines above)")
    # Written last, so that an interrupted installation is tried again.
    _stamp(extra).write_text(_wanted_stamp(extra), "utf-8")
    if extra:
        _stamp("").write_text(_wanted_stamp(""), "utf-8")


def install_command(uv: str | None) -> list[str]:
    """Return the words that install into the environment, up to what is to be installed.

    Args:
        uv: Where uv is, or None: then the pip of the Python that runs this serves the environment from outside, and
            only a Python without one puts a copy inside. Neither compiles what it installs: of the thousands of
            modules, a site imports a part, and Python compiles each when it first does. That halves the time.
    """
    python = str(environment_python())
    if uv is not None:
        return [uv, "pip", "install", "--quiet", "--python", python]
    pip = [sys.executable, "-m", "pip", "--python", python] if _has_pip() else [python, "-m", "pip"]
    return [*pip, "install", "-qq", "--disable-pip-version-check", "--no-compile"]


def environment_python() -> Path:
    """Return where the environment's Python is, whether or not it exists yet."""
    if os.name == "nt":
        return ENVIRONMENT / "Scripts" / "python.exe"
    return ENVIRONMENT / "bin" / "python"


def _create(uv: str | None) -> None:
    if uv is not None:
        command = [uv, "venv", "--quiet", "--python", sys.executable, str(ENVIRONMENT)]
    else:
        command = [sys.executable, "-m", "venv", *(["--without-pip"] if _has_pip() else []), str(ENVIRONMENT)]
    if subprocess.run(command, stdout=sys.stderr).returncode != 0:
        # A half-made folder would be taken for an environment next time.
        shutil.rmtree(ENVIRONMENT, ignore_errors=True)
        raise SetupError(
            "the environment could not be made with 'python3 -m venv' "
            "(on Debian and Ubuntu it is in the package python3-venv; or install uv)"
        )


def _has_pip() -> bool:
    """Say whether the Python that runs this has a pip; the oldest Python that may brings one that can work outside."""
    return importlib.util.find_spec("pip") is not None


def _stamp(extra: str) -> Path:
    return ENVIRONMENT / f"wristward-{extra or 'site'}.stamp"


def _wanted_stamp(extra: str) -> str:
    """What was asked for: another place, Python or list of packages asks for another installation."""
    asked = hashlib.sha256((ROOT / "pyproject.toml").read_bytes())
    asked.update(f"{ROOT}\n{extra}\n".encode())
    return asked.hexdigest() + "\n"


def _run_commands(arguments: list[str]) -> int:
    # Not at the top: before the environment is there, this import would fail.
    from wristward.cli.main import main

    return main(arguments)


def _run_again(command: list[str]) -> int:
    if os.name == "nt":
        # Windows has no exec that keeps the console; wait for the child and pass its answer on.
        return subprocess.call(command)
    sys.stdout.flush()
    sys.stderr.flush()
    os.execv(command[0], command)


def _refuse(text: str) -> int:
    print(f"wristward: {text}", file=sys.stderr)
    return 1

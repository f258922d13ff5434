"""The command ``new``: a small course of one's own, and what to type next."""

from __future__ import annotations

import shlex
from argparse import Namespace
from pathlib import Path

from wristward.cli.errors import CommandError
from wristward.locate import checkout
from wristward.site.course import CourseError, write_course


def new_course(options: Namespace) -> int:
    """Write the course and say where it is and how it is shown.

    Raises:
        CommandError: If the folder is not empty or cannot be written.
    """
    try:
        files = write_course(options.folder)
    except CourseError as error:
        raise CommandError(str(error)) from error
    print(f"A course in {options.folder}:")
    for name in files:
        print(f"  {name}")
    print("Show it, and edit it while it is shown:")
    for line in _next_commands(options.folder):
        print(f"  {line}")
    return 0


def _next_commands(folder: Path) -> list[str]:
    if checkout() is not None:
        return [f"python3 -m generator serve --config {shlex.quote((folder / 'mkdocs.yml').as_posix())}"]
    return [f"cd {shlex.quote(str(folder))}", "wristward serve"]

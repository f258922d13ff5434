"""Files that a command writes: a name that fits, and the whole content or nothing."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from wristward.cli.errors import CommandError


def check_target(target: Path, suffix: str) -> None:
    if target.suffix.lower() != suffix:
        raise CommandError(f"{target}: the file's name must end with '{suffix}'")
    if target.is_dir():
        raise CommandError(f"{target}: this is a folder (give a file's name)")
    if not target.absolute().parent.is_dir():
        raise CommandError(f"{target.parent}: there is no such folder")


def write_whole(target: Path, content: bytes) -> None:
    """Write a file beside its place and move it there, so that a reader finds the old one or the new one.

    Raises:
        CommandError: If it cannot be written.
    """
    name = None
    try:
        handle, name = tempfile.mkstemp(dir=target.absolute().parent, prefix=".wristward-export-")
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        os.chmod(name, 0o644)
        os.replace(name, target)
    except OSError as error:
        if name is not None and os.path.exists(name):
            os.unlink(name)
        raise CommandError(f"{target}: cannot be written ({error.strerror or error})") from error

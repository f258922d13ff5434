"""Which files a data folder holds, and what they may be called. Nothing outside the folder is ever read."""

from __future__ import annotations

import os
from collections.abc import Iterable
from functools import cache
from pathlib import Path, PurePosixPath

from wristward.data.reading.text import MAX_BYTES
from wristward.errors import Problem, allowed, nearest

NOT_DATA = ("schema", "variants")
"""Folders beside the data: what is written for editors, and overlays of this very data."""


def shown_name(folder: Path) -> str:
    """Return how messages name a folder: as given where that is relative, else by its own name."""
    return folder.as_posix() if not folder.is_absolute() else folder.name


@cache
def fits(name: str, pattern: str) -> bool:
    """Say whether a file's relative name fits a pattern; "*" stands for anything but "/"."""
    path = PurePosixPath(name)
    return path.match(pattern) and len(path.parts) == len(PurePosixPath(pattern).parts)


def list_files(folder: Path, patterns: Iterable[str]) -> tuple[dict[str, Path], list[Problem]]:
    """List the YAML files of a folder.

    Args:
        folder: The data folder.
        patterns: What files may be called, relative to the folder, with "/" and "*".

    Returns:
        Paths by their name relative to the folder (with "/"), sorted by name, and a problem for every YAML
        file that would not be read and for every one that lies outside the folder.
    """
    shown, patterns = shown_name(folder), sorted(patterns)
    if not folder.is_dir():
        what = "is not a folder" if folder.exists() else "there is no such folder"
        return {}, [Problem(shown, 1, 1, f"{what} (allowed: a folder of data)")]
    home = folder.resolve()
    files: dict[str, Path] = {}
    problems: list[Problem] = []
    for parent, folders, names in os.walk(folder):
        inside = PurePosixPath(Path(parent).relative_to(folder).as_posix())
        for name in sorted(folders):
            if Path(parent, name).is_symlink() and not _within(Path(parent, name), home):
                problems.append(_outside(f"{shown}/{inside / name}"))
        kept = [name for name in folders if not name.startswith(".")]
        folders[:] = sorted(name for name in kept if inside != PurePosixPath(".") or name not in NOT_DATA)
        for name in sorted(names):
            relative = (inside / name).as_posix()
            if name.startswith(".") or not name.endswith((".yaml", ".yml")):
                continue
            if not any(fits(relative, pattern) for pattern in patterns):
                problems.append(Problem(f"{shown}/{relative}", 1, 1, _stranger(relative, patterns)))
            elif not _within(Path(parent, name), home):
                problems.append(_outside(f"{shown}/{relative}"))
            else:
                files[relative] = Path(parent, name)
    return dict(sorted(files.items())), problems


def read_bytes(path: Path, shown: str) -> tuple[bytes, list[Problem]]:
    """Return a file's bytes, at most one more than a data file may have."""
    try:
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except OSError as error:
        return b"", [Problem(shown, 1, 1, f"cannot be read: {(error.strerror or 'unknown reason').lower()}")]
    if len(data) > MAX_BYTES:
        size = path.stat().st_size
        return b"", [Problem(shown, 1, 1, f"the file has {size:,} bytes (allowed: at most {MAX_BYTES:,})")]
    return data, []


def _within(path: Path, home: Path) -> bool:
    return path.resolve().is_relative_to(home)


def _outside(shown: str) -> Problem:
    return Problem(shown, 1, 1, "leads outside the data folder (allowed: files inside it)")


def _stranger(relative: str, patterns: list[str]) -> str:
    near = nearest(relative, [pattern for pattern in patterns if "*" not in pattern])
    guess = f"; did you mean '{near}'?" if near is not None else ""
    return f"this file is not read{guess} {allowed(patterns)}"

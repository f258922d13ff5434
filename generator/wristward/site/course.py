"""A course of an educator's own: the small working site that ``course_template/`` beside this module holds, copied out.

Nothing that is there already is overwritten, and a copy that fails half-way is taken away again.
"""

from __future__ import annotations

import contextlib
from pathlib import Path

TEMPLATE = Path(__file__).resolve().parent / "course_template"


class CourseError(Exception):
    """The course cannot be written; the text is the whole message."""


def course_files() -> dict[str, bytes]:
    """Return the content of each file of a new course by its name relative to the course's folder, with "/"."""
    paths = sorted(path for path in TEMPLATE.rglob("*") if path.is_file())
    return {path.relative_to(TEMPLATE).as_posix(): path.read_bytes() for path in paths}


def write_course(folder: Path) -> list[str]:
    """Write a new course.

    Args:
        folder: A folder that is not there yet or holds nothing; folders above it are made.

    Returns:
        The names of the files written.

    Raises:
        CourseError: If the folder holds something, is no folder, or cannot be written; nothing is then left in it.
    """
    if folder.exists() and not folder.is_dir():
        raise CourseError(f"{folder} is a file (allowed: a new or an empty folder)")
    if folder.is_dir() and any(folder.iterdir()):
        raise CourseError(f"{folder} is not empty (allowed: a new or an empty folder)")
    was_there = folder.is_dir()
    files, written = course_files(), []
    try:
        for name, content in files.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            written.append(path)
            path.write_bytes(content)
    except OSError as error:
        _take_away(written, folder if was_there else folder.parent)
        raise CourseError(f"{folder} cannot be written: {(error.strerror or 'unknown reason').lower()}") from error
    return list(files)


def _take_away(written: list[Path], until: Path) -> None:
    """Remove files and the folders that are empty then, up to the one that was there before."""
    for path in reversed(written):
        with contextlib.suppress(OSError):
            path.unlink()
        for parent in path.parents:
            if parent == until:
                break
            # A folder that still holds something stays.
            with contextlib.suppress(OSError):
                parent.rmdir()

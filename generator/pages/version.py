"""The version hash that every page carries: it changes when data, program or words change, and only then."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from pathlib import Path

SHOWN = 10
"""Digits that a page shows: enough to tell every version of a project apart."""

PROGRAM = Path(__file__).resolve().parent.parent
WATCHED_PROGRAM_FILES = ("*.py", "*.js", "*.css", "*.html")
WATCHED_DATA_FILES = ("*.yaml",)


def version_hash(data_folders: Iterable[Path]) -> str:
    """Return the hash of the program's and the data's files by their names and bytes.

    Args:
        data_folders: The data folder and any overlays, in the order in which they are read.

    Returns:
        Hexadecimal digits; equal on every machine, whatever the line ends and the place of the folders. Pages show
        the first ``SHOWN`` of them.
    """
    digest = hashlib.sha256()
    for folder, patterns in ((PROGRAM, WATCHED_PROGRAM_FILES), *((data, WATCHED_DATA_FILES) for data in data_folders)):
        for path in files_below(Path(folder), patterns):
            digest.update(path.relative_to(folder).as_posix().encode() + b"\0")
            digest.update(path.read_bytes().replace(b"\r\n", b"\n") + b"\0")
    return digest.hexdigest()


def files_below(folder: Path, patterns: Iterable[str]) -> list[Path]:
    """Return the files that match, sorted by their path below the folder; the packaged copy of the data is left out."""
    found = {path for pattern in patterns for path in folder.rglob(pattern) if path.is_file()}
    names = {path: path.relative_to(folder).as_posix() for path in found}
    return sorted((path for path in found if not names[path].startswith("_anatomy_data/")), key=names.__getitem__)

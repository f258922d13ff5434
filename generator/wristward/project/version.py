"""The version hash that every page carries: it changes when data, program or words change, and only then."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from functools import cache
from pathlib import Path

from wristward.locate import PACKAGE

SHOWN = 10
"""Digits that a page shows: enough to tell every version of a project apart."""

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
    digest = hashlib.sha256(_whole_program().encode())
    for folder in data_folders:
        digest.update(_folder_hash(Path(folder), WATCHED_DATA_FILES).encode())
    return digest.hexdigest()


@cache
def _whole_program() -> str:
    """Read once: a preview goes on with the program it started with, also when its files change."""
    return _folder_hash(PACKAGE, WATCHED_PROGRAM_FILES)


def _folder_hash(folder: Path, patterns: Iterable[str]) -> str:
    digest = hashlib.sha256()
    for path in files_below(folder, patterns):
        digest.update(path.relative_to(folder).as_posix().encode() + b"\0")
        digest.update(path.read_bytes().replace(b"\r\n", b"\n") + b"\0")
    return digest.hexdigest()


@cache
def program_hash(*layers: str) -> str:
    """Return the hash of some layers' Python files, read once: what a result of theirs depends on.

    Args:
        layers: Folders of the program, such as "measure".
    """
    return hashlib.sha256("".join(_folder_hash(PACKAGE / layer, ("*.py",)) for layer in layers).encode()).hexdigest()


def files_below(folder: Path, patterns: Iterable[str]) -> list[Path]:
    """Return the files that match, sorted by their path below the folder; the packaged copy of the data is left out."""
    found = {path for pattern in patterns for path in folder.rglob(pattern) if path.is_file()}
    names = {path: path.relative_to(folder).as_posix() for path in found}
    return sorted((path for path in found if not names[path].startswith("_anatomy_data/")), key=names.__getitem__)

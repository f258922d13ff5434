"""A dataset kept by the bytes of its files: what was read and found right is not read and checked again.

What is kept is Python's own serial form of frozen records. It is taken back through a list of the classes that a
dataset is made of; anything else in it is a miss, so that a cache that came with somebody's course can run nothing.
"""

from __future__ import annotations

import hashlib
import io
import os
import pathlib
import pickle
import sys
from collections.abc import Collection, Sequence
from importlib import import_module
from importlib.metadata import version as installed_version
from pathlib import Path
from typing import Any

from wristward.data.dataset import Dataset
from wristward.data.read import read_dataset
from wristward.data.reading.overrides import Override
from wristward.data.reading.tree import Mark
from wristward.data.records.record import Record
from wristward.data.words.languages import ENGLISH
from wristward.data.words.phrase import Phrase, Place
from wristward.data.words.traced import AskedWords
from wristward.project.store import FolderStore
from wristward.project.version import program_hash

HELD = (Dataset, Mark, Override, Phrase, Place, AskedWords)
"""What a dataset holds beside records, and plain values."""

MOST_BYTES = 64 * 1024 * 1024
PROTOCOL = 5


def read_kept(
    folder: Path,
    overlays: Sequence[Path] = (),
    *,
    cache: Path,
    language: str = ENGLISH,
    every_language: bool = False,
    arms: Collection[str] | None = None,
) -> Dataset:
    """Read and check a data folder, or return what the same bytes gave before.

    Args:
        folder: The data folder.
        overlays: Folders laid over it in this order.
        cache: Folder of what is kept; may be removed at any time. Where there is none yet nothing is kept: what only
            looks something up leaves no folder behind.
        language: As for ``read_dataset``, as are the others.
        every_language: Whether all other languages are read and checked as well.
        arms: The arms drawn otherwise that are read; all by default.

    Raises:
        DataError: With every problem of every file; nothing is kept then.
        ValueError: If there are no words in the language.
    """
    store, folders = FolderStore(cache / "data"), [folder, *overlays]
    asked = f"{language} {every_language} {None if arms is None else sorted(arms)}"
    files = _files_hash(folders)
    key = f"data {program_hash('data')} {_libraries()} {asked} {files}"
    kept = None if files is None else _taken(store.get(key))
    if kept is not None:
        return kept
    dataset = read_dataset(folder, overlays, language=language, every_language=every_language, arms=arms)
    # What changed while it was read is read again the next time.
    if files is not None and cache.is_dir() and _files_hash(folders) == files:
        store.put(key, pickle.dumps(dataset, PROTOCOL))
        store.prune(MOST_BYTES)
    return dataset


def _libraries() -> str:
    return f"{sys.version} pydantic={installed_version('pydantic')}"


def _files_hash(folders: Sequence[Path]) -> str | None:
    """Return the hash of everything that decides what is read, or None where something cannot be read."""
    digest = hashlib.sha256()
    try:
        for folder in folders:
            digest.update(f"{os.fspath(folder)}\0{type(folder).__name__}\0".encode())
            for path in sorted(folder.rglob("*")):
                link = os.readlink(path) if path.is_symlink() else ""
                digest.update(f"{path.relative_to(folder).as_posix()}\0{link}\0{path.is_dir()}\0".encode())
                if path.suffix in (".yaml", ".yml") and path.is_file():
                    digest.update(hashlib.sha256(path.read_bytes()).digest())
    except OSError:
        return None
    return digest.hexdigest()


class _Records(pickle.Unpickler):
    """Makes records and what a dataset holds beside them, and nothing else."""

    def find_class(self, module: str, name: str) -> Any:
        """Return a class that may stand in a dataset.

        Raises:
            UnpicklingError: If it may not.
        """
        if module.startswith("pathlib") and name in ("PosixPath", "WindowsPath"):
            return getattr(pathlib, name)
        if module.startswith("wristward.data."):
            found = getattr(import_module(module), name, None)
            if found in HELD or (isinstance(found, type) and issubclass(found, Record)):
                return found
        raise pickle.UnpicklingError(f"{module}.{name} is no part of a dataset")


def _taken(content: bytes | None) -> Dataset | None:
    if content is None:
        return None
    try:
        found = _Records(io.BytesIO(content)).load()
    except Exception:  # whatever a broken entry says: it is a miss
        return None
    return found if isinstance(found, Dataset) else None

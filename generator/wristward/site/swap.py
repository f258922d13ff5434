"""Put a finished site in the place of the last one in two renames, so that readers see the old or the new one whole.

    site                          the last good site
    .wristward-site-new           being written
    .wristward-site-previous      the last good site, between the two renames only

A process killed at any moment leaves one of these states, and the next build leads each back to a whole ``site`` before it begins.
"""

from __future__ import annotations

import contextlib
import filecmp
import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import IO


class BusyError(Exception):
    """Another process is writing the same site."""


@contextlib.contextmanager
def replacing(site: Path) -> Iterator[Path]:
    """Give an empty folder to build into, and swap it in for the site when the block ends without an error.

    Args:
        site: Folder of the finished site; need not exist.

    Yields:
        The folder to write. It is removed again when the block raises, and the site is then as it was.

    Raises:
        BusyError: If another process is inside this block for the same site.
    """
    with _locked(site):
        _restore(site)
        new, previous = _beside(site, "new"), _beside(site, "previous")
        new.mkdir(parents=True)
        try:
            yield new
            _keep_times(site, new)
            if site.exists():
                site.rename(previous)
            new.rename(site)
        except BaseException:
            _restore(site)
            raise
        shutil.rmtree(previous, ignore_errors=True)


def _keep_times(last: Path, new: Path) -> None:
    """Give each file that holds what it held the time that it had: who copies a site on copies what changed."""
    for path in new.rglob("*"):
        before = last / path.relative_to(new)
        # A time that cannot be set costs a copy.
        with contextlib.suppress(OSError):
            if path.is_file() and before.is_file() and filecmp.cmp(before, path, shallow=False):
                facts = before.stat()
                os.utime(path, ns=(facts.st_atime_ns, facts.st_mtime_ns))


def _restore(site: Path) -> None:
    new, previous = _beside(site, "new"), _beside(site, "previous")
    if previous.exists() and not site.exists():
        previous.rename(site)
    shutil.rmtree(new, ignore_errors=True)
    shutil.rmtree(previous, ignore_errors=True)


def _beside(site: Path, what: str) -> Path:
    return site.parent / f".wristward-{site.name}-{what}"


@contextlib.contextmanager
def _locked(site: Path) -> Iterator[None]:
    """Hold a lock that the system lets go when this process ends, however it ends."""
    site.parent.mkdir(parents=True, exist_ok=True)
    with open(_beside(site, "lock"), "a+b") as file:
        try:
            _lock(file)
        except OSError as error:
            raise BusyError(f"{site}: another build of this site is running") from error
        yield


def _lock(file: IO[bytes]) -> None:
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)

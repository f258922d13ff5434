"""Keep solved sections on disk by their content key, so that a rebuild solves only what changed.

The solver says a section's key and its bytes; this stores them and knows neither. A file that was cut short,
altered or cannot be read is a miss, never an error: whatever is lost here can be solved again.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import tempfile
from pathlib import Path

DIGEST_BYTES = 32
MOST_BYTES = 256 * 1024 * 1024
"""Some forty complete solutions of one arm; older entries make room."""


class FolderStore:
    """A folder of entries, each in a file named after its key, with a digest of its bytes in front."""

    def __init__(self, folder: Path) -> None:
        self._folder = Path(folder)

    def get(self, key: str) -> bytes | None:
        """Return the bytes stored under a key, or None where there are none that are whole."""
        path = self._path(key)
        try:
            with path.open("rb") as file:
                digest, content = file.read(DIGEST_BYTES), file.read()
        except OSError:
            return None
        if hashlib.sha256(content).digest() != digest:
            return None
        with contextlib.suppress(OSError):
            os.utime(path)  # what is used stays longest
        return content

    def put(self, key: str, content: bytes) -> None:
        """Store bytes under a key, whole or not at all; a full or read-only disk only costs the reuse."""
        path = self._path(key)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(dir=path.parent, prefix=".new-")
        except OSError:
            return
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(hashlib.sha256(content).digest())
                file.write(content)
            os.replace(name, path)
        except OSError:
            with contextlib.suppress(OSError):
                os.unlink(name)

    def prune(self, most_bytes: int = MOST_BYTES) -> None:
        """Remove the entries unused for longest until the rest fits."""
        entries = []
        for path in sorted(self._folder.glob("??/*")):
            with contextlib.suppress(OSError):
                facts = path.stat()
                entries.append((facts.st_mtime, facts.st_size, path))
        entries.sort(reverse=True)
        total = 0
        for _, size, path in entries:
            total += size
            if total > most_bytes:
                with contextlib.suppress(OSError):
                    path.unlink()

    def _path(self, key: str) -> Path:
        # Hashed again: a key is any text, a file name is not.
        name = hashlib.sha256(key.encode()).hexdigest()
        return self._folder / name[:2] / name[2:]

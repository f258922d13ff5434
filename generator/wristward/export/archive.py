"""A zip file that is the same bytes whenever and wherever it is made, and is put in its place whole."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from pathlib import PurePosixPath

EPOCH = (1980, 1, 1, 0, 0, 0)
"""The earliest time that a zip can say; a real one would make two exports of one quiz differ."""

UNIX = 3
READABLE = 0o100644 << 16


def zip_bytes(files: Mapping[str, bytes]) -> bytes:
    """Return files as a zip, the manifest first, the others by name.

    Raises:
        ValueError: If a name would lead outside the folder it is unpacked in, or is no plain file name.
    """
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name in sorted(files, key=lambda one: (one != "imsmanifest.xml", one)):
            _check_name(name)
            info = zipfile.ZipInfo(name, EPOCH)
            info.create_system, info.external_attr = UNIX, READABLE
            info.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(info, files[name], compresslevel=9)
    return made.getvalue()


def _check_name(name: str) -> None:
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or "\\" in name or ":" in name or str(path) != name:
        raise ValueError(f"'{name}' is no name for a file inside an archive")

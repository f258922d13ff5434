"""Where the data that comes with the program lies."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def where_is_data() -> Path:
    """Return the folder of the shipped data: inside the installed package, else beside it (a checkout).

    Raises:
        FileNotFoundError: If neither is there.
    """
    inside, beside = _PACKAGE / "_anatomy_data", _PACKAGE.parent / "anatomy_data"
    for folder in (inside, beside):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"no anatomy data at {inside} nor at {beside} (allowed: a folder of data)")

"""Where the program, its browser files and the data that comes with it lie. Standard library alone."""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent
BROWSER = PACKAGE / "browser"
"""Scripts and styles, in rooms."""


def where_is_data() -> Path:
    """Return the folder of the shipped data: inside the installed package, else beside it (a checkout).

    Raises:
        FileNotFoundError: If neither is there.
    """
    inside, beside = PACKAGE / "_anatomy_data", _above() / "anatomy_data"
    for folder in (inside, beside):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"no anatomy data at {inside} nor at {beside} (allowed: a folder of data)")


def checkout() -> Path | None:
    """Return the copy of the project that the program runs from, or None where it was installed from a wheel."""
    root = _above()
    return root if (root / "pyproject.toml").is_file() and (root / "anatomy_data").is_dir() else None


def _above() -> Path:
    """Return the folder that would hold the checkout: the package stands two folders below it."""
    return PACKAGE.parents[1]

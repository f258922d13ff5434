"""Where the data is: beside a course's or this project's ``mkdocs.yml``, else inside the installed package."""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent.parent
FOLDER_NAME = "anatomy_data"


def packaged_data() -> Path:
    """Return the data that came with the program: inside an installed wheel, or the folder beside a checkout's.

    Raises:
        FileNotFoundError: If neither is there, which means a broken installation.
    """
    for folder in (PACKAGE / f"_{FOLDER_NAME}", PACKAGE.parent / FOLDER_NAME):
        if (folder / "region.yaml").is_file():
            return folder
    raise FileNotFoundError(f"{PACKAGE.parent / FOLDER_NAME}: the anatomical data is not there (reinstall wristward)")

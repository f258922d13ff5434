"""What the data commands share: finding the folder, reading it, solving what is asked."""

from __future__ import annotations

import json
from pathlib import Path

from generator.anatomy.forearm import Forearm
from generator.cli import CommandError
from generator.cli_progress import Progress
from generator.data.locate import where_is_data
from generator.data.read import read_dataset
from generator.pages.store import FolderStore
from generator.section.sweep import solve_all

FOLDER = Path("anatomy_data")
WORKERS = 2


def read_data(options):
    """Return the data that the options name: a folder given, else the one here, else the packaged one.

    Raises:
        CommandError: If a folder given is not there.
        DataError: If the data is wrong.
    """
    folder = options.data
    if folder is None:
        folder = FOLDER if (FOLDER / "region.yaml").is_file() else where_is_data()
    for given in (folder, *options.overlay):
        if not given.is_dir():
            raise CommandError(f"{given}: there is no such folder")
    return read_dataset(folder, options.overlay)


def print_json(report) -> None:
    """Print a report as JSON, with letters as they are and no number that JSON does not have."""
    print(json.dumps(report, indent=1, ensure_ascii=False, allow_nan=False))


def solve_data(dataset, options):
    """Return the section of the reference arm at every whole millimetre, solving what the cache does not have."""
    store = FolderStore(options.cache / "sections")
    forearm = Forearm.from_dataset(dataset)
    sections = solve_all(forearm, store=store, workers=WORKERS, progress=Progress("Solving sections"))
    store.prune()
    return sections

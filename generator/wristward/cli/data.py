"""What the data commands share: finding the folders, reading them, solving what is asked."""

from __future__ import annotations

import json
from argparse import Namespace
from collections.abc import Collection, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from wristward.cli.errors import CommandError
from wristward.cli.progress import Progress
from wristward.data.arms import DRAWN
from wristward.data.dataset import Dataset
from wristward.data.words.languages import ENGLISH, languages_in
from wristward.errors import one_of
from wristward.locate import where_is_data
from wristward.project import version
from wristward.project.reading import read_kept
from wristward.project.solved import Report, Solved
from wristward.section.section import Section

if TYPE_CHECKING:
    from wristward.site.settings import Settings

FOLDER = Path("anatomy_data")
CACHE = Path(".cache")


def read_data(options: Namespace, *, every_language: bool = False, arms: Collection[str] | None = ()) -> Dataset:
    """Return the data that the options name, with overlays, in the language they name or the site has.

    A folder given counts alone; else what the site's configuration names, with the overlays given laid over it; else
    the folder here; else the packaged one.

    Args:
        options: Of the command.
        every_language: Whether all other languages are read and checked as well.
        arms: Which of the arms that draw something otherwise are read and checked; None for all.

    Raises:
        CommandError: If a folder given is not there, the configuration cannot be read, or there are no words in the
            language.
        DataError: If the data is wrong.
    """
    folder, overlays = data_folders(options)
    for given in (folder, *overlays):
        if not given.is_dir():
            raise CommandError(f"{given}: there is no such folder")
    language = _language(options, (folder, *overlays))
    return read_kept(
        folder, overlays, cache=_cache(options), language=language, every_language=every_language, arms=arms
    )


def data_folders(options: Namespace) -> tuple[Path, list[Path]]:
    """Return the data folder and the overlays that the options name, whether or not they are there."""
    settings = _settings(options) if options.data is None else None
    if settings is not None:
        return settings.data, [*settings.overlays, *options.overlay]
    if options.data is not None:
        return options.data, list(options.overlay)
    return (FOLDER if (FOLDER / "region.yaml").is_file() else where_is_data()), list(options.overlay)


def print_json(report: object) -> None:
    """Print a report as JSON, with letters as they are and no number that JSON does not have."""
    print(json.dumps(report, indent=1, ensure_ascii=False, allow_nan=False))


def solve_data(dataset: Dataset, options: Namespace) -> dict[int, Section]:
    """Return the section of the drawn arm at every whole millimetre, solving what the cache does not have."""
    return solved_data(dataset, options).sections


def solve_arms_data(dataset: Dataset, names: Sequence[str], options: Namespace) -> Mapping[str, Mapping[int, Section]]:
    """Return the sections in which arms differ from the drawn one, solving what the cache does not have."""
    return solved_data(dataset, options).arm_sections(names)


def shown_version(options: Namespace) -> str:
    """Return the hash of program and data as pages show it."""
    folder, overlays = data_folders(options)
    return version.version_hash((folder, *overlays))[: version.SHOWN]


def solved_data(dataset: Dataset, options: Namespace) -> Solved:
    """Return what solves a dataset, into the cache that the options or the site name."""
    return Solved(dataset, cache=_cache(options), progress=_progress)


def _cache(options: Namespace) -> Path:
    if options.cache is not None:
        return Path(options.cache)
    settings = _settings(options)
    return settings.cache if settings is not None else CACHE


def _progress(arms: Sequence[str]) -> Report:
    return Progress(f"Solving {'sections' if arms == [DRAWN] else ', '.join(arms)}")


def _language(options: Namespace, folders: Sequence[Path]) -> str:
    from wristward.site.settings import SettingsError, chosen_language

    known = languages_in(folders)
    if options.language is not None and options.language not in known:
        raise CommandError(f"--language is '{options.language}' (allowed: {one_of(known)})")
    settings = _settings(options) if options.language is None and options.data is None else None
    if settings is None:
        language: str | None = options.language
        return language or ENGLISH
    try:
        return chosen_language(folders, option=settings.language, theme=settings.theme_language)
    except SettingsError as error:
        raise CommandError(str(error)) from error


def _settings(options: Namespace) -> Settings | None:
    """Return the folders of the site's configuration, or None where there is none and none was asked for."""
    if "settings" not in options:
        options.settings = _settings_read(options)
    settings: Settings | None = options.settings
    return settings


def _settings_read(options: Namespace) -> Settings | None:
    from wristward.site.settings import SettingsError, read_settings

    config_file = options.config
    if config_file is None:
        config_file = Path("mkdocs.yml")
        if not config_file.is_file():
            return None
    try:
        return read_settings(config_file)
    except SettingsError as error:
        raise CommandError(str(error)) from error

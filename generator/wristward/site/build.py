"""Build a site with mkdocs into a folder beside the last one, and put it in its place when it is whole."""

from __future__ import annotations

import logging
import sys
from collections.abc import Callable
from pathlib import Path

from mkdocs.commands.build import build as mkdocs_build
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, ConfigurationError
from mkdocs.exceptions import BuildError as MkDocsBuildError

from wristward.errors import DataError
from wristward.site.plugin import ASSETS, WristwardPlugin
from wristward.site.settings import in_words
from wristward.site.swap import BusyError, replacing

OURS = ASSETS
"""A folder that every finished site has, and nothing else."""

Report = Callable[[int, int], None]


class SiteError(Exception):
    """The site could not be built; the text holds every problem, one a line. The last site is as it was."""


class _Lines(logging.Handler):
    """Collects what mkdocs and the plugin complain about, without mkdocs' own colours and prefixes."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        line = record.getMessage()
        # mkdocs announces a page's error before the error itself, which has its file and line already.
        if not line.startswith("Error reading page ") or not line.endswith(":"):
            self.lines.append(line)


def build_site(
    config_file: Path, *, site: Path | None = None, progress: Report | None = None, arms: bool | None = None
) -> Path:
    """Build the site that a configuration describes.

    Args:
        config_file: The mkdocs.yml.
        site: Folder of the finished site; by default the configuration's ``site_dir``.
        progress: Called with (done, total) while sections are solved.
        arms: Whether the arms that are drawn otherwise are in the site; by default as the configuration says.

    Returns:
        The folder of the finished site.

    Raises:
        SiteError: If the configuration, the data or a page has a problem, or another build is running.
    """
    target = site if site is not None else site_folder(config_file)
    _check_target(target)
    complaints = _Lines()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(complaints)
    # Without a handler of its own a bare logger would print warnings a second time.
    logger.propagate = False
    try:
        with replacing(target.resolve()) as folder:
            _build_into(config_file, folder, progress, arms)
    except (Abort, ConfigurationError, MkDocsBuildError) as error:
        raise SiteError(_said(complaints.lines, error)) from error
    except (BusyError, DataError) as error:
        raise SiteError(str(error)) from error
    finally:
        logger.removeHandler(complaints)
    for line in complaints.lines:
        print(line, file=sys.stderr)
    return target


def _check_target(site: Path) -> None:
    """Refuse to put a site in the place of anything but a site: what is replaced is deleted."""
    if site.is_dir() and any(site.iterdir()) and not (site / OURS).is_dir():
        raise SiteError(f"{site} holds something else than a site (allowed: a new or an empty folder, or a built site)")
    if site.exists() and not site.is_dir():
        raise SiteError(f"{site} is a file (allowed: a new or an empty folder, or a built site)")


def site_folder(config_file: Path) -> Path:
    """Return where the configuration wants the site.

    Raises:
        SiteError: If the configuration cannot be read.
    """
    return Path(_load(config_file).site_dir)


def watched_folders(config_file: Path) -> tuple[Path, ...]:
    """Return what a preview watches: the configuration's own file and folders, and those of the plugin."""
    config = _load(config_file)
    folders = [Path(config.docs_dir), Path(config.config_file_path)]
    for plugin in _plugins(config):
        folders.extend(plugin.watched_folders(config))
    return tuple(folders)


def _load(config_file: Path, **changes: str) -> MkDocsConfig:
    if not config_file.is_file():
        raise SiteError(f"{config_file}: there is no such file (run this in a project's folder, or give --config)")
    try:
        return load_config(str(config_file), **changes)
    except (Abort, ConfigurationError) as error:
        said = in_words(config_file, error) if isinstance(error, ConfigurationError) else f"{config_file}: {error}"
        raise SiteError(said) from error


def _plugins(config: MkDocsConfig) -> list[WristwardPlugin]:
    return [plugin for plugin in config.plugins.values() if isinstance(plugin, WristwardPlugin)]


def _build_into(config_file: Path, folder: Path, progress: Report | None, arms: bool | None) -> None:
    config = _load(config_file, site_dir=str(folder))
    for plugin in _plugins(config):
        plugin.progress = progress
        plugin.arms = arms
    config.plugins.on_startup(command="build", dirty=False)
    try:
        mkdocs_build(config)
    finally:
        config.plugins.on_shutdown()


def _said(lines: list[str], error: Exception) -> str:
    """Return what was complained about; mkdocs' closing word counts only when there was nothing else."""
    return "\n".join(lines) if lines else str(error)

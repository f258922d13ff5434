"""Where a site's configuration says that its data lies, for commands that need the data and not the site."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from mkdocs.exceptions import ConfigurationError
from mkdocs.utils.yaml import yaml_load

from wristward.data.words.languages import ENGLISH, languages_in
from wristward.errors import one_of
from wristward.locate import where_is_data

PLUGIN = "wristward"


class SettingsError(Exception):
    """The configuration cannot be read; the text is the whole message."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """Folders of one site, and its language."""

    data: Path
    overlays: tuple[Path, ...]
    cache: Path
    language: str | None
    """The plugin's option."""

    theme_language: str | None


def chosen_language(folders: Sequence[Path], *, option: str | None, theme: str | None) -> str:
    """Return the language of a site: what the plugin's option says, else the theme's, else English.

    Raises:
        SettingsError: If there are no words in it.
    """
    language = option or theme or ENGLISH
    known = languages_in(folders)
    if language in known:
        return language
    if option is not None:
        raise SettingsError(f"mkdocs.yml: language of wristward is '{language}' (allowed: {one_of(known)})")
    raise SettingsError(
        f"mkdocs.yml: language of the theme is '{language}', and there are no words in it (allowed: {one_of(known)}; "
        f"the option 'language' of wristward may name another than the theme's)"
    )


def read_settings(config_file: Path) -> Settings | None:
    """Return the folders that a mkdocs.yml names, or None where it does not use the plugin.

    Folders inside the working directory are returned relative to it, as an author would name them.

    Raises:
        SettingsError: If the file cannot be read.
    """
    try:
        with config_file.open("rb") as file:
            config = yaml_load(file)
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        raise SettingsError(f"{error.filename or config_file}: cannot be read: {reason}") from error
    except ConfigurationError as error:
        raise SettingsError(in_words(config_file, error)) from error
    options = _options(config.get("plugins"))
    if options is None:
        return None
    beside = config_file.parent
    data = options.get("data_dir")
    theme = config.get("theme")
    return Settings(
        data=where_is_data() if data is None else beside / str(data),
        overlays=tuple(beside / str(folder) for folder in options.get("overlays") or ()),
        cache=beside / str(options.get("cache_dir") or ".cache"),
        language=options.get("language"),
        theme_language=theme.get("language") if isinstance(theme, dict) else None,
    )


def in_words(config_file: Path, error: ConfigurationError) -> str:
    """Return what mkdocs has against a configuration in one line, with the place where YAML cannot be read."""
    # Raised while PyYAML's own error was handled, which holds the place; only the data layer may know it by name.
    cause = error.__cause__ or error.__context__
    mark, problem = getattr(cause, "problem_mark", None), getattr(cause, "problem", None)
    if mark is None:
        return f"{config_file}: {' '.join(str(error).split())}"
    return f"{config_file}:{mark.line + 1}:{mark.column + 1}: {problem}"


def _options(plugins: object) -> dict[str, Any] | None:
    """Return the plugin's options; plugins are a list of names and one-entry maps, or one map."""
    entries = list(plugins.items()) if isinstance(plugins, dict) else []
    for plugin in plugins if isinstance(plugins, list) else ():
        entries.extend(plugin.items() if isinstance(plugin, dict) else [(plugin, None)])
    return next((options or {} for name, options in entries if name == PLUGIN), None)

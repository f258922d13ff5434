"""The languages that the words for readers are in: which there are, what a translation may say, what falls back.

English is complete; every other language says what it can, and the rest is English.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from itertools import chain
from pathlib import Path, PurePosixPath

from wristward.data.checks.plain import fields_of, named_in_braces, unfilled
from wristward.data.reading.tree import Mark, Node
from wristward.data.words.keys import flat_words
from wristward.data.words.phrase import Phrase
from wristward.data.words.told import TOLD
from wristward.errors import Problem, one_of, quoted, unknown

ENGLISH = "en"
WORDS = ("reader/*.yaml", "reader/*/*.yaml")
"""Files of words: ``reader/de/figure.yaml``, or all of a language in ``reader/de.yaml``."""

LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Za-z]{2,8})?")
SETTINGS = {"language.decimal": (",", "."), "language.names": ("latin", "name")}
"""Words that say how a language is written, and what each may be."""


LISTS = ("lint.",)
"""Beginnings of the keys under which entries stand with a semicolon between each two. Those of English hold everywhere."""


def is_words(name: str) -> bool:
    """Say whether a file of the data holds words for readers."""
    return name.startswith("reader/")


def language_of_file(name: str) -> str:
    """Return the language of a file of words: "de" of "reader/de/figure.yaml"."""
    return PurePosixPath(name).parts[1].removesuffix(".yaml")


def languages_in(folders: Iterable[Path]) -> list[str]:
    """Return the languages of which these data folders have words, English among them, sorted."""
    found = {ENGLISH}
    for folder in folders:
        for path in chain.from_iterable(map(folder.glob, WORDS)):
            name = language_of_file(path.relative_to(folder).as_posix())
            if LANGUAGE.fullmatch(name):
                found.add(name)
    return sorted(found)


def check_language_name(name: str, shown: str) -> list[Problem]:
    """Return a problem if a file of words stands under what is no language."""
    language = language_of_file(name)
    if LANGUAGE.fullmatch(language):
        return []
    text = f"{quoted(language)} is no language (allowed: two or three small letters, as 'de', or more, as 'es-MX')"
    return [Problem(shown, 1, 1, text)]


def check_translation(root: Node, english: Mapping[str, frozenset[str] | None]) -> list[Problem]:
    """Return a problem for each word of a translation that English does not have, or that is filled in otherwise.

    Args:
        root: A file's tree.
        english: The names in braces of each English word; None where a text has none to be compared with.
    """
    problems = []
    said = [key for key, names in english.items() if names is not None]
    for path, key, entry in flat_words(root.entries):
        if not isinstance(entry, str):
            continue
        if key.startswith(TOLD):
            # Of the data's own entries; a course may have taken the one away that a packaged translation speaks of.
            continue
        if key not in english:
            problems.append(root.key_mark(path).problem(unknown("key", key, said)))
            continue
        asked, named = fields_of(entry), english[key]
        known = named if named is not None else asked
        mark = root.at(path).mark
        problems += unfilled(mark, key, asked, known)
        problems += [
            mark.problem(f"'{key}' leaves out '{{{name}}}' (allowed: {named_in_braces(known)})")
            for name in sorted(known - asked)
        ]
    return problems


def check_settings(words: Mapping[str, str], place: Callable[[str], Mark]) -> list[Problem]:
    """Return a problem for each setting of a language that is something else than is allowed; ``place`` finds a key."""
    return [
        place(key).problem(f"'{key}' is {quoted(words[key])} (allowed: {one_of(options)})")
        for key, options in SETTINGS.items()
        if key in words and words[key] not in options
    ]


def said_in(language: str, own: Mapping[str, str], english: Mapping[str, str]) -> dict[str, str]:
    """Return the words of a language, English in the place of those that it lacks."""
    if language == ENGLISH:
        return dict(english)
    decimal = own.get("language.decimal", english.get("language.decimal", "."))
    own = {
        key: f"{text}; {english[key]}" if key in english and key.startswith(LISTS) else text
        for key, text in own.items()
    }
    keys = [*english, *(key for key in own if key not in english)]
    return {
        key: Phrase(own.get(key, english.get(key, "")), language=language if key in own else ENGLISH, decimal=decimal)
        for key in keys
    }

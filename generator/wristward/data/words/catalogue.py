"""The words of one reading: taken file by file from each folder, put together by language, held against English."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from wristward.data.checks.plain import check_fields, fields_of
from wristward.data.reading.overlay import merge
from wristward.data.reading.tree import Mark, Node
from wristward.data.words.keys import flat_words, read_words
from wristward.data.words.languages import (
    ENGLISH,
    check_settings,
    check_translation,
    is_words,
    language_of_file,
    said_in,
)
from wristward.errors import Problem

Trees = Mapping[str, Node]


class Catalogue:
    """Collects the files of words of every folder."""

    def __init__(self, language: str, languages: Iterable[str]) -> None:
        """Begin with nothing.

        Args:
            language: What readers are spoken to in.
            languages: What is read besides; English is.
        """
        self._language, self._languages = language, {ENGLISH, language, *languages}
        self._words: dict[str, dict[str, str]] = {}
        self._fields: dict[str, frozenset[str] | None] = {}
        """Names in braces of each English word, as the lowest folder has them."""
        self._translations: list[Node] = []

    def reads(self, name: str) -> bool:
        """Say whether a file of words is of a language that is read."""
        return language_of_file(name) in self._languages

    def take(self, name: str, root: Node, *, over: Trees | None) -> list[Problem]:
        """Take a file of words, and return its problems; ``over`` are all trees below an overlay's."""
        if language_of_file(name) != ENGLISH:
            self._translations.append(root)
            return []
        for _, key, entry in flat_words(root.entries):
            if isinstance(entry, str):
                self._fields.setdefault(key, frozenset(fields_of(entry)))
        return check_fields(_words_below(over), root) if over is not None else []

    def put_together(self, trees: Trees) -> tuple[dict[str, Mark], list[Problem]]:
        """Read the merged trees into words by language, and return the place of each key, and problems."""
        problems: list[Problem] = []
        places: dict[str, Mark] = {}
        for language in sorted(self._languages):
            own = {name: root for name, root in trees.items() if is_words(name) and language_of_file(name) == language}
            self._words[language], found = read_words(own, problems)
            problems += check_settings(self._words[language], found.__getitem__)
            places = {**places, **found} if language == ENGLISH else {**found, **places}
        return places, problems

    def said(self, *, spoken: Collection[str], told: Collection[str]) -> tuple[dict[str, str], list[Problem]]:
        """Return the words of the language, English where it lacks some, and hold every translation against English.

        Args:
            spoken: Keys by which entries of the data may be named, also where English does not name them.
            told: Keys under which a translation says what data files say in English.
        """
        known = dict.fromkeys(spoken) | self._fields
        problems = [problem for root in self._translations for problem in check_translation(root, known)]
        english = self._words[ENGLISH]
        # A word that an overlay takes out of English is gone in every language.
        named = {*english, *spoken, *told}
        own = {key: text for key, text in self._words[self._language].items() if key in named}
        return said_in(self._language, own, english), problems

    def fallbacks(self) -> dict[str, tuple[str, ...]]:
        """Return the English keys that each other language does not have, in the order of their files."""
        english = self._words[ENGLISH]
        others = {language: said for language, said in self._words.items() if language != ENGLISH}
        return {language: tuple(key for key in english if key not in said) for language, said in others.items()}


def _words_below(trees: Trees) -> Node:
    """Return all English words so far as one tree: a file of another name may say siblings of theirs."""
    below = Node({}, Mark("", 1, 1))
    for name, root in trees.items():
        if is_words(name) and language_of_file(name) == ENGLISH and isinstance(root.value, dict):
            below, _ = merge(below, root)
    return below

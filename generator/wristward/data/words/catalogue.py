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
    """Collects the files of words of every folder, and problems."""

    def __init__(self, language: str, languages: Iterable[str], problems: list[Problem]) -> None:
        """Begin with nothing.

        Args:
            language: What readers are spoken to in.
            languages: What is read besides; English is.
            problems: Where problems are added.
        """
        self.language, self.problems = language, problems
        self._languages = {ENGLISH, language, *languages}
        self._fields: dict[str, frozenset[str] | None] = {}
        """Names in braces of each English word, as the lowest folder has them."""
        self._translations: list[Node] = []

    def reads(self, name: str) -> bool:
        """Say whether a file of words is of a language that is read."""
        return language_of_file(name) in self._languages

    def take(self, name: str, root: Node, *, over: Trees | None) -> None:
        """Take a file of words; ``over`` are all trees below an overlay's."""
        if language_of_file(name) != ENGLISH:
            self._translations.append(root)
            return
        if over is not None:
            self.problems += check_fields(_words_below(over), root)
        for _, key, entry in flat_words(root.value if isinstance(root.value, dict) else {}):
            if isinstance(entry, str):
                self._fields.setdefault(key, frozenset(fields_of(entry)))

    def put_together(self, trees: Trees) -> dict[str, Mark]:
        """Read the merged trees into words by language, and return the place of each key."""
        self._words: dict[str, dict[str, str]] = {}
        places: dict[str, Mark] = {}
        for language in sorted(self._languages):
            own = {name: root for name, root in trees.items() if is_words(name) and language_of_file(name) == language}
            self._words[language], found = read_words(own, self.problems)
            self.problems += check_settings(self._words[language], found.__getitem__)
            places = {**places, **found} if language == ENGLISH else {**found, **places}
        return places

    def said(self, *, spoken: Collection[str], told: Collection[str]) -> dict[str, str]:
        """Return the words of the language, English where it lacks some, and hold every translation against English.

        Args:
            spoken: Keys by which entries of the data may be named, also where English does not name them.
            told: Keys under which a translation says what data files say in English.
        """
        for root in self._translations:
            self.problems += check_translation(root, dict.fromkeys(spoken) | self._fields)
        english = self._words[ENGLISH]
        # A word that an overlay takes out of English is gone in every language.
        named = {*english, *spoken, *told}
        own = {key: text for key, text in self._words[self.language].items() if key in named}
        return said_in(self.language, own, english)

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

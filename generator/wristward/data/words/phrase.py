"""One text of the catalogue, which knows what it is written in, how numbers look there, and where it stands."""

from __future__ import annotations

import re
from typing import NamedTuple

from wristward.data.checks.plain import fields_of, named_in_braces, unfilled
from wristward.data.reading.tree import Mark
from wristward.errors import DataError

_NUMBERS = re.compile(r"[-−+]?\d+(\.\d+)?(\s?[–+]\s?\d+(\.\d+)?)*")
"""A number, a span or a sum of numbers: what a value in braces must be as a whole for its decimal signs to change."""


class Place(NamedTuple):
    """Where a text stands in a file of words."""

    key: str
    mark: Mark


class Phrase(str):
    """What a reader sees. ``format`` writes numbers with the language's decimal sign, and keeps the language."""

    __slots__ = ("decimal", "language", "place")
    decimal: str
    language: str | None
    place: Place | None

    def __new__(
        cls, text: str, *, language: str | None = None, decimal: str = ".", place: Place | None = None
    ) -> Phrase:
        """Take a text.

        Args:
            text: What a reader sees.
            language: What it is written in: "en" where it fell back. None on an English site, where nothing has to be
                marked.
            decimal: Between whole and tenths, on the whole page the same.
            place: Where it stands, if anywhere.
        """
        phrase = super().__new__(cls, text)
        phrase.language, phrase.decimal, phrase.place = language, decimal, place
        return phrase

    def format(self, *args: object, **values: object) -> str:
        """Return the text with its names filled in; ``8.5`` becomes "8,5" where the language has it so.

        Raises:
            DataError: If it asks for what is not given, at its place.
            LookupError, ValueError or AttributeError: The same of a text that stands nowhere.
        """
        try:
            filled = super().format(*args, **{name: with_sign(value, self.decimal) for name, value in values.items()})
        except (LookupError, ValueError, AttributeError):
            if self.place is None:
                raise
            key, mark = self.place
            problems = unfilled(mark, key, fields_of(self), values.keys())
            wrong = mark.problem(f"'{key}' cannot be filled in (allowed: {named_in_braces(values)})")
            raise DataError(problems or [wrong]) from None
        return filled if self.language is None else Phrase(filled, language=self.language, decimal=self.decimal)

    def __getnewargs_ex__(self) -> tuple[tuple[str], dict[str, object]]:
        """Let copies be made."""
        return (str(self),), {"language": self.language, "decimal": self.decimal, "place": self.place}


def with_sign(value: object, decimal: str) -> object:
    """Return a value as it is put into words: numbers, and text that is nothing but numbers, with this decimal sign."""
    if decimal == "." or isinstance(value, bool):
        return value
    text = str(value)
    return text.replace(".", decimal) if _NUMBERS.fullmatch(text) else value


def language_of(text: str) -> str | None:
    """Return the language that a text is known to be in, or None for text of no catalogue and for English sites."""
    return text.language if isinstance(text, Phrase) else None

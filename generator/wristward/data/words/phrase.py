"""Words in a language other than English: text that knows its language, and how that language writes a number.

English words stay plain text: nothing has to be marked or changed in them.
"""

from __future__ import annotations

import re

_NUMBERS = re.compile(r"[-−+]?\d+(\.\d+)?(\s?[–+]\s?\d+(\.\d+)?)*")
"""A number, a span or a sum of numbers: what a value in braces must be as a whole for its decimal signs to change."""


class Phrase(str):
    """One text of the catalogue. ``format`` writes numbers with the language's decimal sign, and keeps the language."""

    __slots__ = ("decimal", "language")

    def __new__(cls, text: str, *, language: str, decimal: str = ".") -> Phrase:
        """Take a text.

        Args:
            text: What a reader sees.
            language: What it is written in: "en" where it fell back.
            decimal: Between whole and tenths, on the whole page the same.
        """
        phrase = super().__new__(cls, text)
        phrase.language, phrase.decimal = language, decimal
        return phrase

    def format(self, *args: object, **values: object) -> Phrase:
        """Return the text with its names filled in; ``8.5`` becomes "8,5" where the language has it so."""
        filled = super().format(*args, **{name: with_sign(value, self.decimal) for name, value in values.items()})
        return Phrase(filled, language=self.language, decimal=self.decimal)

    def __getnewargs_ex__(self) -> tuple[tuple[str], dict[str, str]]:
        """Let copies be made."""
        return (str(self),), {"language": self.language, "decimal": self.decimal}


def with_sign(value: object, decimal: str) -> object:
    """Return a value as it is put into words: numbers, and text that is nothing but numbers, with this decimal sign."""
    if decimal == "." or isinstance(value, bool):
        return value
    text = str(value)
    return text.replace(".", decimal) if _NUMBERS.fullmatch(text) else value


def language_of(text: str) -> str | None:
    """Return the language that a text is known to be in, or None for text of no catalogue and for English sites."""
    return text.language if isinstance(text, Phrase) else None

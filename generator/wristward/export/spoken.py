"""Text in an export whose language is another than the export's: it says so where it stands, as on the pages."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from string import Formatter

from wristward.data.words.phrase import Phrase, language_of


def other_language(text: str, language: str) -> str | None:
    """Return the language of a text where it is known and another than that of what is around it, else None."""
    own = language_of(text)
    return None if own in (None, language) else own


def spoken_html(text: str, language: str) -> str:
    """Return plain text as HTML, marked where it is in another language than the document."""
    said = escape(text)
    other = other_language(text, language)
    return said if other is None else f'<span lang="{other}">{said}</span>'


def lang_attribute(text: str, language: str) -> str:
    """Return `` lang="en"`` for an element that holds nothing else than text in another language, else ""."""
    other = other_language(text, language)
    return "" if other is None else f' lang="{other}"'


def pieces(template: str, **values: Sequence[str]) -> list[str]:
    """Return a text piece by piece, each in one language: what stands in the template, and each value in its own.

    Args:
        template: A text of the catalogue.
        values: By the names in its braces: the pieces that stand there.
    """
    found = []
    for words, name, _, _ in Formatter().parse(template):
        if words:
            found.append(like(template, words))
        found += values.get(name, []) if name is not None else []
    return found


def joined(between: str, texts: Sequence[str]) -> list[str]:
    """Return texts with the same words between each two, piece by piece."""
    return [piece for text in texts for piece in (between, text)][1:]


def stripped(text: str) -> str:
    """Return a text of the catalogue without the line's end that YAML leaves it."""
    return like(text, text.strip())


def like(text: str, words: str) -> str:
    """Return words in the language of a text of the catalogue."""
    return Phrase(words, language=text.language, decimal=text.decimal) if isinstance(text, Phrase) else words

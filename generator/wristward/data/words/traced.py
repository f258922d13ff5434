"""The words as the program asks for them: what is not there, or cannot be filled in, is told in its author's file.

Which words a site asks for depends on its pages; a missing one shows only when it is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping

from wristward.data.checks.plain import fields_of, named_in_braces, unfilled
from wristward.data.reading.tree import Mark
from wristward.errors import DataError


class AskedWords(dict[str, str]):
    """The words by dotted key; what is asked for and cannot be said is told with the place in the author's file."""

    def __init__(self, words: Mapping[str, str], places: Mapping[str, Mark]) -> None:
        """Take the words and the place of each key that stands in a file."""
        self._places = dict(places)
        super().__init__(
            {
                key: Said(text, key, places[key]) if type(text) is str and key in places else text
                for key, text in words.items()
            }
        )

    def __missing__(self, key: str) -> str:
        """Refuse to say nothing.

        Raises:
            DataError: At the words beside which this one should stand.
        """
        parents = [key.rsplit(".", count)[0] + "." for count in range(1, key.count(".") + 1)]
        beside = (place for parent in parents for other, place in self._places.items() if other.startswith(parent))
        place = next(beside, next(iter(self._places.values()), None))
        if place is None:
            raise KeyError(key)
        raise DataError([place.problem(f"'{key}' is missing, here or in another file of words (allowed: any text)")])


class Said(str):
    """A word that knows where it stands; filled in with too little it says so there."""

    __slots__ = ("_key", "_place")

    def __new__(cls, text: str, key: str, place: Mark) -> Said:
        """Return the text with its key and the key's place."""
        said = super().__new__(cls, text)
        said._key, said._place = key, place
        return said

    def __getnewargs__(self) -> tuple[str, str, Mark]:
        """Return what a copy is made of."""
        return str(self), self._key, self._place

    def format(self, *given: object, **values: object) -> str:
        """Return the words filled in.

        Raises:
            DataError: If they ask for what is not given.
        """
        try:
            return super().format(*given, **values)
        except (LookupError, ValueError, AttributeError):
            problems = unfilled(self._place, self._key, fields_of(self), values.keys())
            wrong = self._place.problem(f"'{self._key}' cannot be filled in (allowed: {named_in_braces(values)})")
            raise DataError(problems or [wrong]) from None

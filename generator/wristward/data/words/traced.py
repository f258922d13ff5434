"""The words as the program asks for them: what is not there, or cannot be filled in, is told in its author's file.

Which words a site asks for depends on its pages; a missing one shows only when it is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping

from wristward.data.reading.tree import Mark
from wristward.data.words.phrase import Phrase, Place
from wristward.errors import DataError


class AskedWords(dict[str, str]):
    """The words by dotted key; what is asked for and cannot be said is told with the place in the author's file."""

    def __init__(self, words: Mapping[str, str], places: Mapping[str, Mark]) -> None:
        """Take the words and the place of each key that stands in a file."""
        self._places = dict(places)
        super().__init__(
            {key: _placed(text, Place(key, places[key])) if key in places else text for key, text in words.items()}
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


def _placed(text: str, place: Place) -> Phrase:
    if isinstance(text, Phrase):
        return Phrase(text, language=text.language, decimal=text.decimal, place=place)
    return Phrase(text, place=place)

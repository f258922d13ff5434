"""Say things from the readers' catalogue; no wording of its own."""

from __future__ import annotations

from collections.abc import Mapping

from wristward.measure.text import height_words, in_cm


class Words:
    """The catalogue, asked by dotted key."""

    def __init__(self, catalogue: Mapping[str, str]) -> None:
        self._catalogue = catalogue

    def __call__(self, key: str, **values: object) -> str:
        """Return the words under a key with the values in braces filled in.

        Raises:
            DataError: If there is no such key, or the words ask for a value that was not given.
        """
        return self._catalogue[key].format(**values)


class Heights:
    """Heights and ranges above the crease, in words."""

    def __init__(self, words: Mapping[str, str], *, top_z_mm: float) -> None:
        self._words = words
        self._top_z_mm = top_z_mm

    def at(self, z_mm: float) -> str:
        """Return "19.5 cm above the wrist crease", with both ends by name, and what lies beyond the lower one."""
        if z_mm < 0:
            return self._words["height.below"].format(cm=in_cm(-z_mm))
        if z_mm == self._top_z_mm:
            return self._words["height.top"].format(cm=in_cm(z_mm))
        return height_words(z_mm, self._words)

    def between(self, first_z_mm: float, second_z_mm: float) -> str:
        """Return a range, proximal end first whatever the order given; what lies beyond the drawn arm is cut off."""
        high = min(max(first_z_mm, second_z_mm), self._top_z_mm)
        low = max(min(first_z_mm, second_z_mm), 0)
        return self._words["height.down"].format(high=in_cm(high), low=in_cm(low))

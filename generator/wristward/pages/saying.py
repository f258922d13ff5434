"""Say things from the readers' catalogue; no wording of its own."""

from __future__ import annotations

from collections.abc import Mapping

from wristward.measure.text import in_cm


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

    def __init__(self, words: Words, *, top_z_mm: float) -> None:
        self._words = words
        self._top_z_mm = top_z_mm

    def at(self, z_mm: float) -> str:
        """Return "19.5 cm above the wrist crease", with the creases by name."""
        if z_mm == 0:
            return self._words("site.height.wrist")
        which = "elbow" if z_mm == self._top_z_mm else "above"
        return self._words(f"site.height.{which}", cm=in_cm(z_mm))

    def between(self, first_z_mm: float, second_z_mm: float) -> str:
        """Return a range, proximal end first whatever the order given; what lies beyond the drawn arm is cut off."""
        high = min(max(first_z_mm, second_z_mm), self._top_z_mm)
        low = max(min(first_z_mm, second_z_mm), 0)
        return self._words("site.height.range", high=in_cm(high), low=in_cm(low))

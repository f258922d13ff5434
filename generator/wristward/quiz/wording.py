"""Say things from the readers' catalogue, under ``quiz.``; no wording of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wristward.block.coverage_report import territory_name
from wristward.data.dataset import Dataset
from wristward.data.records.source import SourceRecord
from wristward.measure.directions import Directions
from wristward.measure.text import band_words, height_words
from wristward.quiz.item import LEAST_CONFIDENCE

USUAL = 0.9
"""What fewer limbs than this have is asked about with the words that not all have it."""


class Wording:
    """Names and sentences of one dataset."""

    def __init__(self, dataset: Dataset) -> None:
        """Take the checked data."""
        self._words: Mapping[str, str] = dataset.words
        self._structures = dataset.structures
        self.directions = Directions.of(dataset.region.frame)
        branches = dataset.branches.branches if dataset.has("branches") else {}
        self._lacking = {id_ for id_, record in branches.items() if record.prevalence < USUAL}

    def say(self, key: str, **values: object) -> str:
        """Return the words under ``quiz.<key>``.

        Raises:
            KeyError: If there are none, or a value is missing.
        """
        return self._words[f"quiz.{key}"].format(**values)

    def has(self, key: str) -> bool:
        """Say whether the catalogue has words under ``quiz.<key>``."""
        return f"quiz.{key}" in self._words

    def name(self, structure_id: str) -> str:
        """Return a structure's name."""
        return self._structures[structure_id].name

    def event(self, event_id: str) -> str:
        """Return what happens along a trunk, and that some limbs lack it where more than a few do."""
        says = self.say(f"event.{event_id}")
        return self.say("where_present", event=says) if event_id in self._lacking else says

    def names(self, structure_ids: Iterable[str]) -> str:
        """Return names joined by "and"."""
        return self.say("and").join(self.name(one) for one in structure_ids)

    def height(self, z_mm: float) -> str:
        """Return "12.5 cm above the distal wrist crease"."""
        return height_words(z_mm, self._words, in_full=True)

    def band(self, *, low_mm: float, high_mm: float) -> str:
        """Return "5 to 8.5 cm"."""
        return band_words(self._words, low_mm=low_mm, high_mm=high_mm)

    def territory(self, territory_id: str) -> str:
        """Return a territory's name, as the pages about blocks have it."""
        return territory_name(self._words, territory_id)

    def has_variant(self, variant_id: str) -> bool:
        """Say whether the pages about blocks name a variant."""
        return f"teach.variant.{variant_id}" in self._words

    def variant(self, variant_id: str) -> str:
        """Return a variant's name, as the pages about blocks have it."""
        return self._words[f"teach.variant.{variant_id}"]


def known_events(dataset: Dataset, wording: Wording) -> list[str]:
    """Return the ids of events that may be keyed: not merely guessed, and with words."""
    records = dataset.branches.branches
    return [id_ for id_, r in records.items() if r.confidence >= LEAST_CONFIDENCE and wording.has(f"event.{id_}")]


def source_name(source: SourceRecord) -> str:
    """Return what a source is called: its title, or what it is good for where it has none."""
    return source.title or source.what

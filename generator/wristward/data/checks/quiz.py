"""Checks of quiz_items.yaml that look beyond one field."""

from __future__ import annotations

from collections.abc import Iterator

from wristward.data.checks.part import Fault
from wristward.data.dataset import Dataset
from wristward.data.records.quiz import QuizItemsFile
from wristward.errors import unknown

HEIGHTS = "heights"
"""A topic that is neither a structure nor an operation nor a stretch."""


def check_items(file: QuizItemsFile, dataset: Dataset) -> Iterator[Fault]:
    """Yield each topic that is nothing, and each item whose section or height is not said."""
    operations = dataset.operations.operations if dataset.has("operations") else {}
    known = {*dataset.structures, *operations, *dataset.region.asked_stretches(), HEIGHTS}
    for id_, item in file.items.items():
        for index, topic in enumerate(item.topics):
            if topic not in known:
                yield ("items", id_, "topics", index), unknown("topic", topic, known)
        needs = item.shows_section or item.form in ("tap", "height")
        if needs and item.z_mm is None:
            yield ("items", id_), "'z_mm' is missing: the section or height asked about"
        if item.form == "tap" and item.target is None:
            yield ("items", id_), "'target' is missing: what the marker must hit"
        if item.form == "tap" and not item.shows_section:
            yield ("items", id_), "'shows_section' is missing: a marker needs the section (allowed: true)"

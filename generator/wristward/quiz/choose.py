"""Which items an educator's fence asks for: by kind, topic, height or id; the same as in ``browser/quiz/compose.js``."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from wristward.quiz.compose import fits
from wristward.quiz.item import Item, level_topic


def choose(
    items: Iterable[Item],
    *,
    kinds: Sequence[str] | None = None,
    topics: Sequence[str] | None = None,
    levels_mm: Sequence[int] | None = None,
    ids: Sequence[str] | None = None,
) -> tuple[Item, ...]:
    """Return the items that fit; what is None asks for nothing.

    Args:
        items: Where to choose from.
        kinds: One of these kinds.
        topics: One of these topics, each as ``compose.fits`` has it.
        levels_mm: Asked about the same band of 10 mm as one of these heights.
        ids: One of these ids.
    """
    bands = None if levels_mm is None else {level_topic(z_mm) for z_mm in levels_mm}
    return tuple(
        item
        for item in items
        if (kinds is None or item.kind in kinds)
        and (topics is None or any(fits(item, topic) for topic in topics))
        and (bands is None or not bands.isdisjoint(item.topics))
        and (ids is None or item.id in ids)
    )

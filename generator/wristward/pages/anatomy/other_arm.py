"""An arm that is drawn otherwise: only the sections in which it differs are solved; and what pages say about it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from generator.anatomy.forearm import Forearm, plan_bytes
from generator.data.dataset import Dataset
from generator.measure.text import capital
from generator.pages.teach_branches import short_label
from generator.section.model import Section
from generator.section.solve import SMOOTH
from generator.section.sweep import Store, solve_all


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherArm:
    """An arm as a site shows it."""

    own: Mapping[int, Section]
    """Sections in which it differs from the drawn arm, by height, mm."""

    measures: Mapping[int, tuple]
    """What was measured on each of these."""


def differing_heights(drawn: Forearm, other: Forearm) -> list[int]:
    """Return the whole heights at which an arm's section differs from the drawn arm's, proximal first, mm.

    A section is smoothed with its neighbours', so it differs where what is drawn differs within their reach.
    """
    reach = max(SMOOTH)
    heights = range(int(drawn.bottom_z_mm), int(drawn.top_z_mm) + 1)
    apart = {z for z in heights if plan_bytes(drawn.plan(z_mm=z)) != plan_bytes(other.plan(z_mm=z))}
    return sorted({z for one in apart for z in range(one - reach, one + reach + 1) if z in heights}, reverse=True)


def solve_arm(
    dataset: Dataset,
    name: str,
    *,
    store: Store,
    workers: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> dict[int, Section]:
    """Solve the sections in which an arm differs from the drawn one.

    Args:
        dataset: Data of the drawn arm; ``name`` is among its ``arms``.
        name: The arm.
        store: Where solved sections are looked up and kept.
        workers: Processes to use.
        progress: Called with (done, of).

    Returns:
        Right sections of the arm by height, proximal first; elsewhere the drawn arm's hold.
    """
    other = Forearm.from_dataset(dataset.arms[name])
    heights = differing_heights(Forearm.from_dataset(dataset), other)
    return solve_all(other, z_mm=heights, store=store, workers=workers, progress=progress)


def arm_words(atlas, name: str) -> dict:
    """Return what is said of an arm: what differs, how common it is and after whom, and which facts it lifts and why."""
    arm, words = atlas.dataset.region.arms[name], atlas.dataset.words
    relations = {relation.id: relation for relation in atlas.dataset.relations}
    return {
        "differs": words[f"arms.differs.{name}"].strip(),
        "common": list(_how_common(atlas, arm)),
        "lifted": [
            {"says": relations[id_].says, "because": words[f"arms.lifts.{name}.{id_}"].strip()} for id_ in arm.lifts
        ],
    }


def _how_common(atlas, arm) -> Iterator[dict[str, str]]:
    dataset, words = atlas.dataset, atlas.words
    found = [(f"teach.variant.{id_}", dataset.parts["branches"].variants[id_]) for id_ in arm.variants]
    found += [(f"block.event.{id_}", dataset.parts["branches"].branches[id_]) for id_ in arm.branches]
    for what, record in found:
        span = getattr(record, "interval", None)
        low, high = (f"{100 * share:g}" for share in span) if span is not None else ("", "")
        text = words(
            "arms.common",
            what=capital(words(what)),
            percent=f"{100 * record.prevalence:g}",
            interval=words("arms.interval", low=low, high=high) if span is not None else "",
        )
        more = getattr(record, "disagreement", None)
        yield {
            "text": text if more is None else f"{text}. {more.rstrip('.')}",
            "source": words("arms.source", source=short_label(atlas, record.source), confidence=record.confidence),
            "key": record.source,
        }

"""What pages say about an arm that is drawn otherwise."""

from __future__ import annotations

from collections.abc import Iterator

from wristward.data.records.branch import BranchRecord, VariantRecord
from wristward.data.records.region import ReferenceArm
from wristward.measure.text import capital
from wristward.pages.atlas import Atlas
from wristward.pages.facts import short_label


def arm_words(atlas: Atlas, name: str) -> dict[str, object]:
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


def _how_common(atlas: Atlas, arm: ReferenceArm) -> Iterator[dict[str, str]]:
    dataset, words = atlas.dataset, atlas.words
    found: list[tuple[str, VariantRecord | BranchRecord]]
    found = [(f"teach.variant.{id_}", dataset.branches.variants[id_]) for id_ in arm.variants]
    found += [(f"block.event.{id_}", dataset.branches.branches[id_]) for id_ in arm.branches]
    for what, record in found:
        span = record.interval
        low, high = (f"{100 * share:g}" for share in span) if span is not None else ("", "")
        text = words(
            "arms.common",
            what=capital(words(what)),
            percent=f"{100 * record.prevalence:g}",
            interval=words("arms.interval", low=low, high=high) if span is not None else "",
        )
        more = record.disagreement
        yield {
            "text": text if more is None else f"{text}. {more.rstrip('.')}",
            "source": words("arms.source", source=short_label(atlas, record.source), confidence=record.confidence),
            "key": record.source,
        }

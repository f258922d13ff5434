"""What questions are made from: one dataset with its sections and words, and limbs drawn once for every kind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wristward.block.blocks import block_model
from wristward.block.sampler import Limbs, draw_limbs
from wristward.data.dataset import Dataset
from wristward.quiz.wording import Wording, known_events
from wristward.section.section import Section

LIMBS = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """One dataset as every kind of question takes it."""

    dataset: Dataset
    sections: Mapping[int, Section]
    """Right, mean-arm sections by whole mm."""

    wording: Wording
    limbs: Limbs | None
    """Drawn limbs that orders are judged on; None where the data has no branches."""

    known: Sequence[str]
    """Events of branches that may be keyed; none where the data has no branches."""


def given_of(dataset: Dataset, sections: Mapping[int, Section], *, seed: int) -> Given:
    """Return what questions are made from.

    Args:
        dataset: The checked data.
        sections: Right, mean-arm sections by whole mm.
        seed: Of the limbs.
    """
    wording, limbs, known = Wording(dataset), None, []
    if dataset.has("branches"):
        limbs = draw_limbs(block_model(dataset), count=LIMBS, seed=seed)
        known = known_events(dataset, wording)
    return Given(dataset=dataset, sections=sections, wording=wording, limbs=limbs, known=known)

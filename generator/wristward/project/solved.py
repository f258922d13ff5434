"""One arm's data solved and measured: each thing when first asked for, and kept on disk by content.

Commands and pages both come here, so that what one has solved the other finds.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from wristward.anatomy.forearm import Forearm, plan_bytes
from wristward.bridge.setting import setting_of
from wristward.data.arms import DRAWN
from wristward.data.dataset import Dataset
from wristward.project.measured import Measured, measure_all
from wristward.project.store import FolderStore
from wristward.section.section import Section
from wristward.section.solve import SMOOTH
from wristward.section.sweep import Store, solve_all

Report = Callable[[int, int], None]
"""Called with (done, total)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherArm:
    """An arm that is drawn otherwise, as a site shows it."""

    own: Mapping[int, Section]
    """Sections in which it differs from the drawn arm, by height, mm."""

    measures: Measured
    """What was measured on each of these."""


class Solved:
    """The sections and measures of a dataset."""

    def __init__(
        self,
        dataset: Dataset,
        *,
        cache: Path,
        workers: int | None = None,
        progress: Callable[[str], Report | None] | None = None,
    ) -> None:
        """Prepare; nothing is solved yet.

        Args:
            dataset: Data of the drawn arm, with those drawn otherwise.
            cache: Folder of what was solved and measured; made when needed, may be removed at any time.
            workers: Processes that solve; by default as many as this process may use processors.
            progress: Given an arm's name, returns what is told how far its sections are.
        """
        self.dataset = dataset
        self._workers = workers or usable_processors()
        self._progress = progress if progress is not None else lambda arm: None
        self._store = FolderStore(cache / "sections")
        self._measures_store = FolderStore(cache / "measures")

    @cached_property
    def sections(self) -> dict[int, Section]:
        """The section of the drawn arm at every whole millimetre, proximal first."""
        sections = solve_all(
            Forearm.from_dataset(self.dataset),
            store=self._store,
            workers=self._workers,
            progress=self._progress(DRAWN),
        )
        self._store.prune()
        return sections

    @cached_property
    def measures(self) -> Measured:
        """What was measured on each section of the drawn arm."""
        return self._measured(self.dataset, self.sections)

    def arm_sections(self, name: str) -> dict[int, Section]:
        """Return the sections in which an arm of ``dataset.arms`` differs from the drawn one, proximal first."""
        sections = solve_arm(
            self.dataset, name, store=self._store, workers=self._workers, progress=self._progress(name)
        )
        self._store.prune()
        return sections

    def other_arm(self, name: str) -> OtherArm:
        """Return an arm of ``dataset.arms`` with its own sections measured."""
        own = self.arm_sections(name)
        return OtherArm(own=own, measures=self._measured(self.dataset.arms[name], own))

    def _measured(self, dataset: Dataset, sections: Mapping[int, Section]) -> Measured:
        measures = measure_all(sections, partners=setting_of(dataset).partners, store=self._measures_store)
        self._measures_store.prune()
        return measures


def usable_processors() -> int:
    """Return how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def differing_heights(drawn: Forearm, other: Forearm) -> list[int]:
    """Return the whole heights at which an arm's section differs from the drawn arm's, proximal first, mm.

    A section is smoothed with its neighbours', so it differs where what is drawn differs within their reach.
    """
    reach_mm = max(SMOOTH)
    heights = range(int(drawn.bottom_z_mm), int(drawn.top_z_mm) + 1)
    apart = {z for z in heights if plan_bytes(drawn.plan(z_mm=z)) != plan_bytes(other.plan(z_mm=z))}
    return sorted({z for one in apart for z in range(one - reach_mm, one + reach_mm + 1) if z in heights}, reverse=True)


def solve_arm(
    dataset: Dataset,
    name: str,
    *,
    store: Store,
    workers: int = 1,
    progress: Report | None = None,
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

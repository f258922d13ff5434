"""One arm's data solved and measured: each thing when first asked for, and kept on disk by content.

Commands and pages both come here, so that what one has solved the other finds.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from wristward.anatomy.forearm import Forearm
from wristward.bridge.setting import setting_of
from wristward.data.arms import DRAWN
from wristward.data.dataset import Dataset
from wristward.project.measured import Measured, measure_all
from wristward.project.store import FolderStore
from wristward.section import sweep
from wristward.section.section import Section
from wristward.section.solve import solve_section
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
        progress: Callable[[Sequence[str]], Report | None] | None = None,
    ) -> None:
        """Prepare; nothing is solved yet.

        Args:
            dataset: Data of the drawn arm, with those drawn otherwise.
            cache: Folder of what was solved and measured; made when needed, may be removed at any time.
            workers: Processes that solve; by default as many as this process may use processors.
            progress: Given the names of arms that are solved together, returns what is told how far they are.
        """
        self.dataset = dataset
        self._workers = workers or usable_processors()
        self._progress = progress if progress is not None else lambda arms: None
        self._store = FolderStore(cache / "sections")
        self._measures_store = FolderStore(cache / "measures")

    @cached_property
    def forearm(self) -> Forearm:
        """The arm that the dataset describes."""
        return Forearm.from_dataset(self.dataset)

    @cached_property
    def sections(self) -> dict[int, Section]:
        """The section of the drawn arm at every whole millimetre, proximal first."""
        sections = solve_all(
            self.forearm,
            store=self._store,
            workers=self._workers,
            progress=self._progress([DRAWN]),
        )
        self._store.prune()
        return sections

    def section_at(self, z_mm: float) -> Section:
        """Return the section of the dataset's own arm at a height, mm; one at a whole height is kept."""
        if z_mm != round(z_mm):
            return solve_section(self.forearm, z_mm=z_mm)
        return solve_all(self.forearm, z_mm=[round(z_mm)], store=self._store)[round(z_mm)]

    @cached_property
    def measures(self) -> Measured:
        """What was measured on each section of the drawn arm."""
        return self._measured(self.dataset, self.sections)

    def arm_sections(self, names: Sequence[str]) -> dict[str, Mapping[int, Section]]:
        """Return the sections in which arms of ``dataset.arms`` differ from the drawn one, each arm's proximal first."""
        progress = self._progress(names)
        sections = solve_arms(self.dataset, names, store=self._store, workers=self._workers, progress=progress)
        self._store.prune()
        return sections

    def other_arms(self, names: Sequence[str]) -> dict[str, OtherArm]:
        """Return arms of ``dataset.arms`` with their own sections measured."""
        return {
            name: OtherArm(own=own, measures=self._measured(self.dataset.arms[name], own))
            for name, own in self.arm_sections(names).items()
        }

    def _measured(self, dataset: Dataset, sections: Mapping[int, Section]) -> Measured:
        measures = measure_all(
            sections, partners=setting_of(dataset).partners, store=self._measures_store, workers=self._workers
        )
        self._measures_store.prune()
        return measures


def usable_processors() -> int:
    """Return how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def solve_arms(
    dataset: Dataset,
    names: Sequence[str],
    *,
    store: Store,
    workers: int = 1,
    progress: Report | None = None,
) -> dict[str, Mapping[int, Section]]:
    """Solve the sections in which arms differ from the drawn one, all as one piece of work.

    Args:
        dataset: Data of the drawn arm; the names are among its ``arms``.
        names: The arms.
        store: Where solved sections are looked up and kept.
        workers: Processes to use.
        progress: Called with (done, of) of all arms together.

    Returns:
        Right sections of each arm by height, proximal first; elsewhere the drawn arm's hold.
    """
    drawn = Forearm.from_dataset(dataset)
    heights = range(int(drawn.top_z_mm), int(drawn.bottom_z_mm) - 1, -1)
    asked = [(Forearm.from_dataset(dataset.arms[name]), heights) for name in names]
    besides = sweep.section_keys(drawn, heights) if names else {}
    found = sweep.solve_arms(asked, besides=besides, store=store, workers=workers, progress=progress)
    return dict(zip(names, found, strict=True))

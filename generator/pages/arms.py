"""The sections of an arm that is drawn otherwise: those that differ from the drawn arm's, and no others, are solved."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from generator.anatomy.forearm import Forearm, plan_bytes
from generator.data.dataset import Dataset
from generator.section.model import Section
from generator.section.solve import SMOOTH
from generator.section.sweep import Store, solve_all


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


def whole_arm(drawn: Mapping[int, Section], own: Mapping[int, Section]) -> dict[int, Section]:
    """Return every section of an arm: its own where it has them, else the drawn arm's."""
    return {**drawn, **own}

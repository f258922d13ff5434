"""Every whole millimetre of the forearm, from a store where it can, solved in parallel where it must."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from typing import Protocol

from threadpoolctl import threadpool_limits

from generator.anatomy.forearm import Forearm
from generator.anatomy.plan import Plan
from generator.section.key import section_bytes, section_from_bytes, section_key
from generator.section.model import Section
from generator.section.solve import solve_plan


class Store(Protocol):
    """Where solved sections are kept; a broken or missing entry is a miss."""

    def get(self, key: str) -> bytes | None:
        """Return what was put under a key, or None."""

    def put(self, key: str, data: bytes) -> None:
        """Keep bytes under a key."""


class NoStore:
    """A store that keeps nothing."""

    def get(self, key: str) -> bytes | None:
        """Return None."""
        return None

    def put(self, key: str, data: bytes) -> None:
        """Forget."""


def solve_all(
    forearm: Forearm,
    *,
    z_mm: Iterable[int] | None = None,
    pose: str = "supinated",
    store: Store | None = None,
    workers: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> dict[int, Section]:
    """Solve the sections of the mean right arm.

    Args:
        forearm: Resolved forearm.
        z_mm: Heights, mm; every whole millimetre from elbow to wrist crease by default.
        pose: "supinated".
        store: Where solved sections are looked up and kept.
        workers: Processes to use; 1 solves in this one.
        progress: Called with (done, of) as sections are there.

    Returns:
        Sections by height, proximal first.
    """
    store = store if store is not None else NoStore()
    heights = list(range(int(forearm.top_z_mm), int(forearm.bottom_z_mm) - 1, -1)) if z_mm is None else list(z_mm)
    found: dict[int, Section] = {}
    missing: list[tuple[int, str, Plan]] = []
    for z in heights:
        plan = forearm.plan(z_mm=z, pose=pose)
        key = section_key(plan)
        section = _stored(store, key)
        if section is None:
            missing.append((z, key, plan))
        else:
            found[z] = section
    report = progress if progress is not None else _quiet
    report(len(found), len(heights))
    for (z, key, _), section in zip(missing, _solve_many([plan for _, _, plan in missing], workers), strict=True):
        store.put(key, section_bytes(section))
        found[z] = section
        report(len(found), len(heights))
    return {z: found[z] for z in heights}


def _stored(store: Store, key: str) -> Section | None:
    data = store.get(key)
    if data is None:
        return None
    try:
        return section_from_bytes(data)
    except ValueError:
        return None


def _solve_many(plans: list[Plan], workers: int):
    if workers <= 1 or len(plans) < 8:
        with threadpool_limits(1):
            yield from map(solve_plan, plans)
        return
    with ProcessPoolExecutor(max_workers=workers, initializer=_one_thread) as pool:
        yield from pool.map(solve_plan, plans, chunksize=4)


def _one_thread() -> None:
    """Keep each worker to one thread of linear algebra; two fighting over two cores took five times as long."""
    threadpool_limits(1)


def _quiet(done: int, of: int) -> None:
    """Report nothing."""

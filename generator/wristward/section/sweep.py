"""Every whole millimetre of the forearm, from a store where it can, solved in parallel where it must."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from typing import Protocol

from threadpoolctl import threadpool_limits

from wristward.anatomy.forearm import Forearm
from wristward.anatomy.plan import Plan
from wristward.section.key import plan_digest, section_bytes, section_from_bytes, section_key
from wristward.section.section import Section
from wristward.section.solve import SMOOTH, Raw, finish, smoothed_with, solve_raw

RUN_MM = 20
"""Heights that one worker solves in a row; it solves two more at each end to smooth with."""


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
    missing: dict[int, str] = {}
    plans: dict[int, Plan] = {}
    for z, key, near in _keyed(forearm, heights, pose):
        section = _stored(store, key)
        if section is None:
            missing[z] = key
            plans.update(near)
        else:
            found[z] = section
    report = progress if progress is not None else _quiet
    report(len(found), len(heights))
    for z, section in _solve_many(sorted(missing, reverse=True), plans, workers):
        store.put(missing[z], section_bytes(section))
        found[z] = section
        report(len(found), len(heights))
    return {z: found[z] for z in heights}


def section_keys(forearm: Forearm, z_mm: Iterable[int], *, pose: str = "supinated") -> dict[int, str]:
    """Return the keys under which sections are kept, by height."""
    return {z: key for z, key, _ in _keyed(forearm, z_mm, pose)}


def _keyed(forearm: Forearm, heights: Iterable[int], pose: str) -> Iterator[tuple[int, str, dict[int, Plan]]]:
    """Yield each height's key and the plans it is made of, by height; a plan is drawn up once for all it serves."""
    plans: dict[int, Plan] = {}
    digests: dict[int, bytes] = {}
    for z in heights:
        steps = smoothed_with(forearm, z_mm=z)
        for height in (z + step for step in steps):
            if height not in plans:
                plans[height] = forearm.plan(z_mm=height, pose=pose)
                digests[height] = plan_digest(plans[height])
        key = section_key({step: digests[z + step] for step in steps})
        yield z, key, {z + step: plans[z + step] for step in steps}


def _stored(store: Store, key: str) -> Section | None:
    data = store.get(key)
    if data is None:
        return None
    try:
        return section_from_bytes(data)
    except ValueError:
        return None


def _solve_many(heights: list[int], plans: dict[int, Plan], workers: int) -> Iterator[tuple[int, Section]]:
    """Yield sections by height; each worker takes a run of neighbouring heights, which share their margins."""
    runs = _runs(heights)
    if workers <= 1 or len(heights) < 8:
        with threadpool_limits(1):
            for run in runs:
                yield from _solve_run(run, plans)
        return
    with ProcessPoolExecutor(max_workers=workers, initializer=_one_thread) as pool:
        tasks = [pool.submit(_solved_run, run, _near(run, plans)) for run in runs]
        for task in tasks:
            yield from task.result()


def _runs(heights: list[int]) -> list[list[int]]:
    runs: list[list[int]] = []
    for z in heights:
        if runs and len(runs[-1]) < RUN_MM and runs[-1][-1] - z == 1:
            runs[-1].append(z)
        else:
            runs.append([z])
    return runs


def _near(run: list[int], plans: dict[int, Plan]) -> dict[int, Plan]:
    reach = max(SMOOTH)
    return {z: plan for z, plan in plans.items() if run[-1] - reach <= z <= run[0] + reach}


def _solve_run(run: list[int], plans: dict[int, Plan]) -> Iterator[tuple[int, Section]]:
    reach = max(SMOOTH)
    raws: dict[int, Raw] = {}
    for z in run:
        for height in range(z + reach, z - reach - 1, -1):
            if height in plans and height not in raws:
                raws[height] = solve_raw(plans[height])
        raws.pop(z + reach + 1, None)
        yield z, finish({step: raws[z + step] for step in range(-reach, reach + 1) if z + step in raws})


def _solved_run(run: list[int], plans: dict[int, Plan]) -> list[tuple[int, Section]]:
    return list(_solve_run(run, plans))


def _one_thread() -> None:
    """Keep each worker to one thread of linear algebra; two fighting over two cores took five times as long."""
    threadpool_limits(1)


def _quiet(done: int, of: int) -> None:
    """Report nothing."""

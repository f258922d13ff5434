"""Every whole millimetre of the forearm, from a store where it can, solved in parallel where it must."""

from __future__ import annotations

import zlib
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from contextlib import ExitStack
from dataclasses import dataclass
from typing import Protocol, TypeVar

from threadpoolctl import threadpool_limits

from wristward.anatomy.forearm import Forearm
from wristward.anatomy.plan import Plan
from wristward.section.key import plan_digest, section_bytes, section_from_bytes, section_key
from wristward.section.section import Section
from wristward.section.solve import SMOOTH, Raw, finish, smoothed_with, solve_raws

H = TypeVar("H")

RUN_MM = 16
"""Heights that are solved together."""

FEW = 8
"""Fewer sections are not worth starting processes for."""


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
    heights = range(int(forearm.top_z_mm), int(forearm.bottom_z_mm) - 1, -1) if z_mm is None else z_mm
    asked = [(forearm, heights)]
    return _solve(asked, _as_it_is, besides={}, pose=pose, store=store, workers=workers, progress=progress)[0]


def solve_arms(
    arms: Sequence[tuple[Forearm, Iterable[int]]],
    *,
    besides: Mapping[int, str] | None = None,
    pose: str = "supinated",
    store: Store | None = None,
    workers: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> list[Folded]:
    """Solve sections of several mean right arms as one piece of work, which keeps every process busy to its end.

    Args:
        arms: Each resolved forearm with the heights asked for, mm.
        besides: Keys by height, as ``section_keys`` gives them, of sections that are there: no arm's is solved that is one.
        pose: "supinated".
        store: Where solved sections are looked up and kept.
        workers: Processes to use; 1 solves in this one.
        progress: Called with (done, of) of all arms together as sections are there.

    Returns:
        Each arm's sections by height, in the order asked for; folded, since together they would fill the memory.
    """
    besides = {} if besides is None else besides
    found = _solve(arms, _folded, besides=besides, pose=pose, store=store, workers=workers, progress=progress)
    return [Folded(sections) for sections in found]


class Folded(Mapping[int, Section]):
    """Sections by height, mm, each kept as few bytes and made anew whenever it is asked for."""

    def __init__(self, folded: Mapping[int, bytes]) -> None:
        """Take the sections as ``_folded`` makes them."""
        self._folded = dict(folded)

    def __getitem__(self, z_mm: int) -> Section:
        """Return the section at a height."""
        return section_from_bytes(zlib.decompress(self._folded[z_mm]))

    def __iter__(self) -> Iterator[int]:
        """Yield the heights in the order asked for."""
        return iter(self._folded)

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self._folded)


def _as_it_is(section: Section, data: bytes) -> Section:
    return section


def _folded(section: Section, data: bytes) -> bytes:
    return zlib.compress(data, 1)


def _solve(
    arms: Sequence[tuple[Forearm, Iterable[int]]],
    hold: Callable[[Section, bytes], H],
    *,
    besides: Mapping[int, str],
    pose: str,
    store: Store | None,
    workers: int,
    progress: Callable[[int, int], None] | None,
) -> list[dict[int, H]]:
    """Return what ``hold`` makes of each section and its bytes, by arm and height."""
    store = store if store is not None else NoStore()
    asked: list[dict[int, str]] = []
    found: dict[str, H] = {}
    missing: dict[str, tuple[int, int]] = {}
    plans: list[dict[int, Plan]] = []
    for arm, (forearm, z_mm) in enumerate(arms):
        asked.append({})
        plans.append({})
        for z, key, near in _keyed(forearm, z_mm, pose):
            if besides.get(z) == key:
                continue
            asked[arm][z] = key
            if key in found or key in missing:
                continue
            stored = _stored(store, key)
            if stored is None:
                missing[key] = (arm, z)
                plans[arm].update(near)
            else:
                found[key] = hold(*stored)
    report = progress if progress is not None else _quiet
    of = len(found) + len(missing)
    report(len(found), of)
    keys = {place: key for key, place in missing.items()}
    for arm, z, section in _solve_many(sorted(keys, key=lambda place: (place[0], -place[1])), plans, workers):
        data = section_bytes(section)
        store.put(keys[arm, z], data)
        found[keys[arm, z]] = hold(section, data)
        report(len(found), of)
    return [{z: found[key] for z, key in heights.items()} for heights in asked]


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


def _stored(store: Store, key: str) -> tuple[Section, bytes] | None:
    data = store.get(key)
    if data is None:
        return None
    try:
        return section_from_bytes(data), data
    except ValueError:
        return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Neighbouring heights of one arm, and the plans that their sections are made of."""

    arm: int
    heights: tuple[int, ...]
    """Proximal first, mm."""

    plans: Mapping[int, Plan]

    def solve(self, raws: dict[tuple[int, int], Raw]) -> list[tuple[int, int, Section]]:
        """Return the sections by arm and height.

        Args:
            raws: Margins that are known already, by arm and height; afterwards those of this run, of which the next
                one needs the last.
        """
        known = {z: raws[self.arm, z] for z in self.plans if (self.arm, z) in raws}
        fresh = sorted(self.plans.keys() - known.keys(), reverse=True)
        known.update(zip(fresh, solve_raws([self.plans[z] for z in fresh]), strict=True))
        raws.clear()
        raws.update(((self.arm, z), raw) for z, raw in known.items())
        steps = range(-max(SMOOTH), max(SMOOTH) + 1)
        return [
            (self.arm, z, finish({step: known[z + step] for step in steps if z + step in known})) for z in self.heights
        ]


def _solve_many(
    places: Sequence[tuple[int, int]], plans: Sequence[Mapping[int, Plan]], workers: int
) -> Iterator[tuple[int, int, Section]]:
    """Yield sections by arm and height, whatever is done first."""
    if workers <= 1 or len(places) < FEW:
        raws: dict[tuple[int, int], Raw] = {}
        with threadpool_limits(1):
            for run in _runs(places, plans):
                yield from run.solve(raws)
        return
    share = -(-len(places) // workers)
    queues = [deque(_runs(places[start : start + share], plans)) for start in range(0, len(places), share)]
    with ExitStack() as stack:
        # A process for each stretch: it keeps the margins that its next run begins with.
        processes = [stack.enter_context(ProcessPoolExecutor(1, initializer=_one_thread)) for _ in queues]
        working: dict[Future[list[tuple[int, int, Section]]], int] = {}
        idle = list(range(len(queues)))
        while True:
            for worker in idle:
                if not queues[worker]:
                    queues[worker] = _far_half(max(queues, key=len))
                if queues[worker]:
                    working[processes[worker].submit(_solve_here, queues[worker].popleft())] = worker
            if not working:
                return
            done, _ = wait(working, return_when=FIRST_COMPLETED)
            idle = [working.pop(future) for future in done]
            for future in done:
                yield from future.result()


def _far_half(queue: deque[Run]) -> deque[Run]:
    """Take the last half of a stretch away from whom it was meant for."""
    return deque(reversed([queue.pop() for _ in range((len(queue) + 1) // 2)]))


def _runs(places: Sequence[tuple[int, int]], plans: Sequence[Mapping[int, Plan]]) -> list[Run]:
    """Return runs of neighbouring heights, each at most ``RUN_MM`` long."""
    groups: list[list[tuple[int, int]]] = []
    for arm, z in places:
        if groups and len(groups[-1]) < RUN_MM and groups[-1][-1] == (arm, z + 1):
            groups[-1].append((arm, z))
        else:
            groups.append([(arm, z)])
    reach = max(SMOOTH)
    runs = []
    for group in groups:
        arm, heights = group[0][0], tuple(z for _, z in group)
        near = range(heights[-1] - reach, heights[0] + reach + 1)
        runs.append(Run(arm=arm, heights=heights, plans={z: plans[arm][z] for z in near if z in plans[arm]}))
    return runs


_RAWS: dict[tuple[int, int], Raw] = {}
"""The margins that a process of its own solved last."""


def _solve_here(run: Run) -> list[tuple[int, int, Section]]:
    return run.solve(_RAWS)


def _one_thread() -> None:
    """Keep each worker to one thread of linear algebra; two fighting over two cores took five times as long."""
    threadpool_limits(1)


def _quiet(done: int, of: int) -> None:
    """Report nothing."""

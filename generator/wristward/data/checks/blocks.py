"""Checks of the block files that look beyond one field: orders, alternatives, conversions, variants.

An order can hold in every limb, with both distributions kept, just where the upper event is at no height more often
below than the lower one (Strassen's theorem); that is what is checked here, on the truncated normals.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from statistics import NormalDist

from wristward.data.checks.part import Fault
from wristward.data.dataset import Dataset
from wristward.data.records.branch import BlockRecord, BranchesFile, BranchRecord
from wristward.data.records.practice import nerves_of
from wristward.data.records.region import Landmark
from wristward.data.records.scenario import DrugsFile, OperationsFile, TerritoriesFile
from wristward.errors import quoted, unknown

CONVERSION_MM = 0.6
"""A converted height may differ this much from landmark and distance before it must say why."""

_STEP_MM = 0.5
_EXCESS = 1e-9


def check_branches(file: BranchesFile, dataset: Dataset) -> Iterator[Fault]:
    """Yield what is wrong with branches.yaml as a whole."""
    yield from _check_orders(file)
    for index, group in enumerate(file.alternatives):
        total = sum(file.branches[name].prevalence for name in group.of if name in file.branches)
        if total > 1 + 1e-9:
            yield (
                ("alternatives", index, "of"),
                f"the prevalences of '{group.id}' add up to {quoted(round(total, 6))}, must be at most 1",
            )
    for name, branch in file.branches.items():
        yield from _check_studies(name, branch, dataset.region.landmarks)
        for key, other in (
            ("present_with", branch.present_with),
            ("beside_trunk_until", branch.beside_trunk_until),
        ):
            if other == name:
                yield ("branches", name, key), f"'{name}' names itself"
            elif (
                key == "present_with"
                and other in file.branches
                and file.branches[other].prevalence != branch.prevalence
            ):
                yield (
                    ("branches", name, "prevalence"),
                    f"prevalence is {quoted(branch.prevalence)}, must be {quoted(file.branches[other].prevalence)} as of '{other}'",
                )
    for nerve, block in file.blocks.items():
        yield from _check_block(nerve, block)
    for index, statement in enumerate(file.practice):
        for path, nerve in nerves_of(statement).items():
            if nerve not in file.blocks:
                yield ("practice", index, *path), unknown("block", nerve, file.blocks)


def _check_orders(file: BranchesFile) -> Iterator[Fault]:
    seen: dict[str, str] = {}
    for index, order in enumerate(file.orders):
        for place, name in enumerate(order.chain):
            if name in seen:
                yield (
                    ("orders", index, "chain", place),
                    f"'{name}' also stands in order '{seen[name]}' (allowed: one order for each)",
                )
            seen.setdefault(name, order.id)
        for place, (upper, lower) in enumerate(zip(order.chain, order.chain[1:], strict=False)):
            if upper in file.branches and lower in file.branches:
                found = where_crossing(file.branches[upper], file.branches[lower])
                if found is not None:
                    z_mm, upper_share, lower_share = found
                    yield (
                        ("orders", index, "chain", place + 1),
                        f"'{upper}' cannot lie above '{lower}' in every limb: below z {quoted(z_mm)} mm lie "
                        f"{100 * upper_share:.1f} % of the first but only {100 * lower_share:.1f} % of the second",
                    )


def where_crossing(upper: BranchRecord, lower: BranchRecord) -> tuple[float, float, float] | None:
    """Return where an order fails the most.

    Returns:
        (z_mm, share of the upper event below it, share of the lower event below it), or None if the order can hold.
    """
    low, high = min(upper.min_z_mm, lower.min_z_mm), max(upper.max_z_mm, lower.max_z_mm)
    worst = None
    for step in range(int((high - low) / _STEP_MM) + 2):
        z_mm = min(low + step * _STEP_MM, high)
        a, b = share_below(upper, z_mm), share_below(lower, z_mm)
        if a > b + _EXCESS and (worst is None or a - b > worst[1] - worst[2]):
            worst = (z_mm, a, b)
    return worst


def share_below(branch: BranchRecord, z_mm: float) -> float:
    """Return the share of limbs whose event lies below z_mm, from the truncated normal."""
    if z_mm <= branch.min_z_mm:
        return 0.0
    if z_mm >= branch.max_z_mm:
        return 1.0
    normal = NormalDist(branch.mean_z_mm, branch.sd_mm)
    low, high = normal.cdf(branch.min_z_mm), normal.cdf(branch.max_z_mm)
    return (normal.cdf(z_mm) - low) / (high - low)


def _check_studies(name: str, branch: BranchRecord, landmarks: Mapping[str, Landmark]) -> Iterator[Fault]:
    first: set[str] = set()
    for index, study in enumerate(branch.studies):
        path = ("branches", name, "studies", index)
        if study.id in first:
            yield (*path, "id"), f"'{study.id}' is used twice in '{name}'"
        first.add(study.id)
        printed = study.published
        landmark = landmarks.get(printed.landmark) if printed is not None and printed.landmark is not None else None
        if printed is None or landmark is None or study.conversion is not None or study.z_mm is None:
            continue
        expected = printed.converted_mm(landmark.z_mm)
        if expected is not None and abs(expected - study.z_mm) > CONVERSION_MM:
            yield (
                (*path, "z_mm"),
                f"z_mm is {quoted(study.z_mm)}, but the printed value from '{printed.landmark}' gives "
                f"{quoted(round(expected, 1))} (a 'conversion' may say why)",
            )


def _check_block(nerve: str, block: BlockRecord) -> Iterator[Fault]:
    for index, name in enumerate(block.unwanted):
        if name in block.wanted:
            yield ("blocks", nerve, "unwanted", index), f"'{name}' is wanted as well"
    for index, name in enumerate(block.decisive):
        if name not in block.unwanted:
            yield ("blocks", nerve, "decisive", index), unknown("unwanted event", name, block.unwanted)


def check_territories(file: TerritoriesFile, dataset: Dataset) -> Iterator[Fault]:
    """Yield each territory in no part of the limb, and each variant that names an alternative its factor does not have."""
    for name, territory in file.territories.items():
        if territory.part not in file.parts:
            yield ("territories", name, "part"), unknown("part", territory.part, file.parts)
        for index, pattern in enumerate(territory.variants):
            for factor, alternative in pattern.when.items():
                if factor in file.factors and alternative not in file.factors[factor].alternatives:
                    text = unknown("alternative", alternative, file.factors[factor].alternatives)
                    yield ("territories", name, "variants", index, "when", factor), text


def check_operations(file: OperationsFile, dataset: Dataset) -> Iterator[Fault]:
    """Yield each territory that stands under the wrong layer."""
    territories = dataset.territories.territories if dataset.has("territories") else {}
    for name, operation in file.operations.items():
        for key, named in (("skin", operation.skin), ("deep", operation.deep)):
            for index, territory in enumerate(named):
                if territory in territories and territories[territory].layer != key:
                    yield (
                        ("operations", name, key, index),
                        f"'{territory}' is {territories[territory].layer} (allowed: {key})",
                    )


def check_drugs(file: DrugsFile, dataset: Dataset) -> Iterator[Fault]:
    """Yield each limit whose id stands twice in a drug."""
    for name, drug in file.drugs.items():
        first: set[str] = set()
        for index, limit in enumerate(drug.limits):
            if limit.id in first:
                yield ("drugs", name, "limits", index, "id"), f"'{limit.id}' is used twice in '{name}'"
            first.add(limit.id)

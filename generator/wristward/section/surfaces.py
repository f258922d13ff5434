"""Bones and sheets keep discs off. Of all discs few are near one, so only those are asked about."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol, TypeVar

import numpy as np

from wristward.anatomy.arrays import Flags, Floats, Indexes
from wristward.anatomy.plan import Bone, Plan, Sheet
from wristward.section.parting import DISC_GAP_MM, NEAR_MM
from wristward.section.star import Stars

BONE_GAP_MM = 0.7
STEP_MM = 1e-3
"""Step of the differences that say which way is out."""


Part = TypeVar("Part")


class Distance(Protocol):
    """Several surfaces; each place is asked about one of them."""

    def __call__(self, places_mm: Floats, row: Indexes) -> Floats:
        """Return the distances of places (n, 2) outside the surfaces of these rows, shape (n,), mm."""


class Bones:
    """Distances to bones."""

    def __init__(self, bones: Sequence[Bone]) -> None:
        self._centres_mm = np.array([bone.centre_mm for bone in bones])
        self._outlines = Stars(np.array([bone.radii_mm for bone in bones]))

    def __call__(self, places_mm: Floats, row: Indexes) -> Floats:
        """Return the distances outside the bones of these rows."""
        offset = places_mm - self._centres_mm[row]
        return self._outlines.distance(offset[:, 0], offset[:, 1], row)


class Sheets:
    """Distances to sheets of finite thickness."""

    def __init__(self, sheets: Sequence[Sheet]) -> None:
        self._half_mm = np.array([sheet.thickness_mm / 2 for sheet in sheets])
        most = max(len(sheet.line_mm) for sheet in sheets)
        # A shorter line repeats its end: a segment without length is as far as that.
        lines = np.array([np.pad(sheet.line_mm, ((0, most - len(sheet.line_mm)), (0, 0)), "edge") for sheet in sheets])
        along = np.diff(lines, axis=1)
        length2 = (along * along).sum(axis=2, keepdims=True)
        self._start, self._along = lines[:, :-1], along
        self._per_length = np.divide(along, length2, out=np.zeros_like(along), where=length2 > 1e-12)

    def __call__(self, places_mm: Floats, row: Indexes) -> Floats:
        """Return the distances outside the sheets of these rows."""
        along, per_length = self._along[row], self._per_length[row]
        offset = places_mm[:, None] - self._start[row]
        share = offset[..., 0] * per_length[..., 0] + offset[..., 1] * per_length[..., 1]
        offset -= np.clip(share, 0.0, 1.0)[..., None] * along
        offset *= offset
        away: Floats = np.sqrt((offset[..., 0] + offset[..., 1]).min(axis=1)) - self._half_mm[row]
        return away


class Surface:
    """The n-th bone or the n-th sheet of every plan that has one, and the discs it keeps off."""

    def __init__(self, distance: Distance, discs: Indexes, row: Indexes, wanted_mm: Floats) -> None:
        """Take a surface.

        Args:
            distance: Distance to it, in each plan's row.
            discs: Numbers of the discs that it keeps off, shape (k,).
            row: Its row for each of them.
            wanted_mm: Distance that each is to keep.
        """
        self._distance = distance
        self._discs, self._row, self._wanted_mm = discs, row, wanted_mm

    def look(self, places_mm: Floats) -> None:
        """Find the discs that are near now."""
        lack = self._wanted_mm - self._distance(places_mm[self._discs], self._row)
        near = np.flatnonzero(lack > -NEAR_MM)
        self._near = self._discs[near], self._row[near], self._wanted_mm[near]

    def keep_off(self, places_mm: Floats) -> None:
        """Push out those that are too near, along the gradient of their distance."""
        discs, row, wanted_mm = self._near
        if not len(discs):
            return
        lack = wanted_mm - self._distance(places_mm[discs], row)
        push_out(places_mm, discs, lack, self._distance, row, only=lack > 0)


def push_out(
    places_mm: Floats,
    discs: Indexes,
    amount_mm: Floats,
    distance: Distance,
    row: Indexes,
    *,
    only: Flags | bool = True,
) -> None:
    """Move places along the gradient of a distance by the given amounts, mm, negative ones inward."""
    moving = np.flatnonzero((np.abs(amount_mm) > 1e-9) & only)
    if not len(moving):
        return
    here, row = places_mm[discs[moving]], row[moving]
    probes = np.concatenate([here, here + (STEP_MM, 0.0), here + (0.0, STEP_MM)])
    base, right, up = distance(probes, np.tile(row, 3)).reshape(3, -1)
    slope = np.stack([right - base, up - base], axis=1)
    size = np.hypot(slope[:, 0], slope[:, 1])
    places_mm[discs[moving]] = here + (amount_mm[moving] / np.maximum(size, 1e-12))[:, None] * slope


def surfaces_of(plans: Sequence[Plan], plan_of: Indexes, radius_mm: Floats, skin_share: Floats) -> list[Surface]:
    """Return the surfaces of several plans: their first bones, their second ones, …, then their sheets.

    Args:
        plans: What they are taken from.
        plan_of: Number of each disc's plan, shape (n,).
        radius_mm: Of each disc.
        skin_share: Share of each disc outside the fascia; a sheet is nothing to one that is mostly in the fat.
    """
    every = np.ones(len(plan_of), dtype=bool)
    bones = _surfaces(Bones, [plan.bones for plan in plans], plan_of, radius_mm + BONE_GAP_MM, every)
    return bones + _surfaces(
        Sheets, [plan.sheets for plan in plans], plan_of, radius_mm + DISC_GAP_MM, skin_share < 0.5
    )


def _surfaces(
    kind: Callable[[Sequence[Part]], Distance],
    groups: Sequence[Sequence[Part]],
    plan_of: Indexes,
    wanted_mm: Floats,
    kept_off: Flags,
) -> list[Surface]:
    surfaces = []
    for n in range(max(len(group) for group in groups)):
        has = np.array([n < len(group) for group in groups])
        discs = np.flatnonzero(has[plan_of] & kept_off)
        row = (np.cumsum(has) - 1)[plan_of[discs]]
        distance = kind([group[n] for group in groups if n < len(group)])
        surfaces.append(Surface(distance, discs, row, wanted_mm[discs]))
    return surfaces

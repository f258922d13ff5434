"""Knots of nerves, vessels and digit tendons, one track a structure, and the rules they follow at a height."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.anatomy.curves import ellipse_axes
from wristward.anatomy.knots import Catalogue, Surface, collect
from wristward.anatomy.plan import Beside, Disc, Run
from wristward.anatomy.track import Track, smoothstep
from wristward.data.kinds import ROUND, StructureKind
from wristward.data.records.level import LevelRecord, NerveKnot, TendonKnot, VesselKnot
from wristward.data.records.structure import Beside as BesideRecord
from wristward.data.records.structure import CourseRun, StructureRecord

DiscKnot = TendonKnot | NerveKnot | VesselKnot

RUN_BLEND_MM = 8.0
"""Length over which a nerve leaves one seam for the next; drawn, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DiscTrack:
    """A nerve, vessel or digit tendon over its course."""

    id: str
    kind: StructureKind
    from_z_mm: float
    to_z_mm: float
    at_mm: Track | None
    area: Track
    shape: Track
    """Width to height, then cosine and sine of twice the tilt, so that a tilt of 179° is next to 1°."""

    course: tuple[CourseRun, ...]
    beside: tuple[BesideRecord, ...]
    part_of: str | None

    @classmethod
    def read_all(cls, levels: Iterable[LevelRecord], catalogue: Catalogue, surface: Surface) -> tuple[DiscTrack, ...]:
        """Collect nerves, vessels and digit tendons, those placed by ``beside`` alone included."""
        knots = collect(levels, _discs)
        found = (cls._read(name, record, knots.get(name, []), surface) for name, record in catalogue.items())
        return tuple(track for track in found if track is not None)

    @classmethod
    def _read(
        cls, name: str, record: StructureRecord, knots: Sequence[tuple[float, DiscKnot]], surface: Surface
    ) -> DiscTrack | None:
        if record.kind not in ROUND:
            return None
        at = None
        if knots:
            z = [z for z, _ in knots]
            at = Track(z, [_disc_point(knot, height, surface) for height, knot in knots])
            area = Track(z, [_disc_area(knot) for _, knot in knots])
            shape = Track(z, [_disc_shape(knot) for _, knot in knots])
        elif record.diameter_mm is None:
            return None
        else:
            area = Track([0.0], [np.pi * record.diameter_mm**2 / 4])
            shape = Track([0.0], [(1.0, 1.0, 0.0)])
        from_z_mm, to_z_mm = record.ends_mm()
        return cls(
            id=name,
            kind=record.kind,
            from_z_mm=from_z_mm,
            to_z_mm=to_z_mm,
            at_mm=at,
            area=area,
            shape=shape,
            course=record.course,
            beside=record.beside,
            part_of=record.part_of,
        )

    def present(self, z_mm: float) -> bool:
        """Say whether the structure is cut at this height."""
        return self.to_z_mm <= z_mm <= self.from_z_mm

    def at(self, z_mm: float) -> Disc:
        """Return the ellipse and its rules at a height."""
        ratio, cosine, sine = self.shape.at(z_mm)
        half_width, half_height = ellipse_axes(area_mm2=self.area.scalar(z_mm), width_to_height=max(ratio, 1.0))
        return Disc(
            id=self.id,
            kind=self.kind,
            at_mm=None if self.at_mm is None else self.at_mm.at(z_mm),
            half_width_mm=half_width,
            half_height_mm=half_height,
            tilt_deg=float(np.degrees(np.arctan2(sine, cosine)) / 2),
            runs=tuple(run for run in (_run(part, z_mm) for part in self.course) if run is not None),
            beside=tuple(rule for rule in (_beside(part, z_mm) for part in self.beside) if rule is not None),
            part_of=self.part_of,
        )


def _run(part: CourseRun, z_mm: float) -> Run | None:
    strength = _within(z_mm, part.from_z_mm, part.to_z_mm, RUN_BLEND_MM)
    if strength == 0:
        return None
    return Run(
        strength=strength,
        seam=(part.seam[0], part.seam[1]) if part.seam is not None else None,
        on=part.on,
        inside=part.in_,
    )


def _beside(part: BesideRecord, z_mm: float) -> Beside | None:
    start = part.from_z_mm if part.from_z_mm is not None else np.inf
    stop = part.to_z_mm if part.to_z_mm is not None else -np.inf
    strength = _within(z_mm, start, stop, part.blend_mm if part.blend_mm is not None else 10.0)
    if strength == 0:
        return None
    return Beside(structure=part.structure, gap_mm=part.gap_mm, bearing_deg=part.bearing_deg, strength=strength)


def _within(z_mm: float, from_z_mm: float, to_z_mm: float, blend_mm: float) -> float:
    above = smoothstep(1 - (z_mm - from_z_mm) / blend_mm) if z_mm > from_z_mm else 1.0
    below = smoothstep(1 - (to_z_mm - z_mm) / blend_mm) if z_mm < to_z_mm else 1.0
    return min(above, below)


def _discs(level: LevelRecord) -> dict[str, DiscKnot]:
    return {**level.tendons, **level.nerves, **level.vessels}


def _disc_point(knot: DiscKnot, z_mm: float, surface: Surface) -> Floats:
    if isinstance(knot, TendonKnot) or knot.bearing_deg is None:
        return np.array(knot.at, dtype=float)
    share = knot.depth_share if knot.depth_share is not None else 0.55
    return surface.point_under_skin(z_mm, bearing_deg=knot.bearing_deg, depth_share=share)


def _disc_area(knot: DiscKnot) -> float:
    return np.pi * knot.diameter_mm**2 / 4 if isinstance(knot, VesselKnot) else knot.area_mm2


def _disc_shape(knot: DiscKnot) -> tuple[float, float, float]:
    ratio = knot.width_to_height if knot.width_to_height is not None else 1.15
    tilt = np.radians(2 * (knot.tilt_deg if knot.tilt_deg is not None else 0.0))
    return ratio, float(np.cos(tilt)), float(np.sin(tilt))

"""Knots of the level files, one track a structure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.anatomy.curves import (
    THETA,
    curve_through,
    middle_line,
    ring_centroid,
    smooth_ring,
    star_radii,
    star_ring,
)
from wristward.anatomy.plan import Belly, Bone, Sheet
from wristward.anatomy.track import Track, smoothstep
from wristward.data.records.level import LevelRecord, MuscleKnot, Wrap
from wristward.data.records.structure import Muscle, StructureRecord

K = TypeVar("K")

Catalogue = Mapping[str, StructureRecord]

SPINE_POINTS = 9
SHEET_POINTS = 25
TAPER_MM = 12.0
"""Length over which a belly that starts or ends inside the region grows or shrinks, unless the catalogue says; drawn, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """Skin and deep fascia, star-shaped about the skin outline's centroid."""

    centre: Track
    skin: Track
    depth: Track
    fill: Track | None

    @classmethod
    def from_levels(cls, levels: Iterable[LevelRecord]) -> Surface:
        """Read the outlines of levels that give skin and fascia."""
        rows = []
        for level in levels:
            if level.skin is None or level.fascia is None:
                continue
            ring = smooth_ring(np.array(level.skin.outline, dtype=float), passes=2)
            centre = ring_centroid(ring)
            depth = _around(level.fascia.depth_mm)
            rows.append((level.z_mm, centre, star_radii(ring, centre), depth, level.fill))
        z = [row[0] for row in rows]
        fills = [(row[0], row[4]) for row in rows if row[4] is not None]
        return cls(
            centre=Track(z, [row[1] for row in rows]),
            skin=Track(z, [row[2] for row in rows]),
            depth=Track(z, [row[3] for row in rows]),
            fill=Track([f[0] for f in fills], [f[1] for f in fills]) if fills else None,
        )

    def at(self, z_mm: float) -> tuple[Floats, Floats, Floats]:
        """Return centre (2,), skin radii and fascia radii (BEARINGS,) at a height, mm."""
        skin = self.skin.at(z_mm)
        return self.centre.at(z_mm), skin, skin - self.depth.at(z_mm)

    def fill_at(self, z_mm: float) -> float | None:
        """Return the share of free space that muscle fills, or None."""
        return None if self.fill is None else self.fill.scalar(z_mm)

    def point_under_skin(self, z_mm: float, *, bearing_deg: float, depth_share: float) -> Floats:
        """Return the point at a bearing, a share of the way from skin (0) to fascia (1)."""
        centre, skin, fascia = self.at(z_mm)
        angle = np.radians(bearing_deg)
        outer, inner = (np.interp(angle % (2 * np.pi), THETA, radii, period=2 * np.pi) for radii in (skin, fascia))
        point: Floats = centre + (outer + (inner - outer) * depth_share) * np.array([np.cos(angle), np.sin(angle)])
        return point


def _around(pairs: Iterable[tuple[float, float]]) -> Floats:
    """Return depths at every bearing from a few (bearing, depth) pairs, smooth and periodic."""
    table = sorted((float(b) % 360, float(d)) for b, d in pairs)
    bearings = np.array([b for b, _ in table])
    depths = np.array([d for _, d in table])
    if len(table) < 3:
        return np.asarray(np.interp(np.degrees(THETA), bearings, depths, period=360), dtype=float)
    wrapped = np.concatenate([bearings - 360, bearings, bearings + 360])
    track = Track(wrapped, np.tile(depths, 3))
    return np.array([track.scalar(b) for b in np.degrees(THETA)])


@dataclass(frozen=True, slots=True, kw_only=True)
class BoneTrack:
    """A bone over the heights that cut it."""

    id: str
    from_z_mm: float
    to_z_mm: float
    centre: Track
    radii: Track

    @classmethod
    def read_all(cls, levels: Iterable[LevelRecord], catalogue: Catalogue) -> tuple[BoneTrack, ...]:
        """Collect the outlines of every bone."""
        tracks = []
        for name, knots in collect(levels, lambda level: level.bones).items():
            rings = [smooth_ring(np.array(knot.outline, dtype=float)) for _, knot in knots]
            centres = [ring_centroid(ring) for ring in rings]
            z = [z for z, _ in knots]
            radii = [star_radii(ring, centre) for ring, centre in zip(rings, centres, strict=True)]
            from_z_mm, to_z_mm = catalogue[name].ends_mm()
            tracks.append(
                cls(
                    id=name,
                    from_z_mm=from_z_mm,
                    to_z_mm=to_z_mm,
                    centre=Track(z, centres),
                    radii=Track(z, radii),
                )
            )
        return tuple(tracks)

    def present(self, z_mm: float) -> bool:
        """Say whether a section at this height cuts the bone."""
        return self.to_z_mm <= z_mm <= self.from_z_mm

    def at(self, z_mm: float) -> Bone:
        """Return the bone's outline at a height."""
        centre, radii = self.centre.at(z_mm), self.radii.at(z_mm)
        return Bone(id=self.id, centre_mm=centre, radii_mm=radii, ring_mm=star_ring(centre, radii))


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTrack:
    """A membrane, aponeurosis or retinaculum over its heights."""

    id: str
    from_z_mm: float
    to_z_mm: float
    course: Track
    """Its points; along the fascia: bearing from, bearing to, depth inside the fascia."""

    along_fascia: bool

    thickness: Track

    @classmethod
    def read_all(cls, levels: Iterable[LevelRecord], catalogue: Catalogue) -> tuple[SheetTrack, ...]:
        """Collect every sheet; one is described either by lines or along the fascia."""
        tracks = []
        for name, knots in collect(levels, lambda level: level.sheets).items():
            lines = [
                (z, curve_through(np.array(k.line, dtype=float), SHEET_POINTS)) for z, k in knots if k.line is not None
            ]
            arcs = [
                (z, (k.along_fascia.from_deg, k.along_fascia.to_deg, k.along_fascia.inset_mm))
                for z, k in knots
                if k.along_fascia is not None
            ]
            course = (
                Track([z for z, _ in lines], [line.ravel() for _, line in lines])
                if lines
                else Track([z for z, _ in arcs], [arc for _, arc in arcs])
            )
            from_z_mm, to_z_mm = catalogue[name].ends_mm()
            tracks.append(
                cls(
                    id=name,
                    from_z_mm=from_z_mm,
                    to_z_mm=to_z_mm,
                    course=course,
                    along_fascia=not lines,
                    thickness=Track([z for z, _ in knots], [k.thickness_mm for _, k in knots]),
                )
            )
        return tuple(tracks)

    def present(self, z_mm: float) -> bool:
        """Say whether the sheet is there at this height."""
        return self.to_z_mm <= z_mm <= self.from_z_mm

    def at(self, z_mm: float, surface: Surface) -> Sheet:
        """Return the sheet's middle line at a height."""
        thickness = self.thickness.scalar(z_mm)
        if not self.along_fascia:
            line = self.course.at(z_mm).reshape(-1, 2)
        else:
            start, stop, inset = self.course.at(z_mm)
            centre, _, fascia = surface.at(z_mm)
            bearing = np.radians(np.linspace(start, stop, SHEET_POINTS))
            reach = np.interp(bearing % (2 * np.pi), THETA, fascia, period=2 * np.pi) - inset - thickness / 2
            line = centre + reach[:, None] * np.stack([np.cos(bearing), np.sin(bearing)], axis=1)
        return Sheet(id=self.id, line_mm=line, thickness_mm=thickness)


@dataclass(frozen=True, slots=True, kw_only=True)
class BellyTrack:
    """A muscle over the heights where it is belly or tendon."""

    id: str
    from_z_mm: float
    to_z_mm: float
    last_fibres_z_mm: float
    starts_inside: bool
    ends_inside: bool
    taper_mm: float | None
    area: Track
    spine: Track
    """Its points; round a bone: bearing from, bearing to, distance from it."""

    wrap_bone: str | None
    stiffness: float
    part_of: str | None

    @classmethod
    def read_all(
        cls, levels: Iterable[LevelRecord], catalogue: Catalogue, bones: Iterable[BoneTrack]
    ) -> tuple[BellyTrack, ...]:
        """Collect every muscle's knots; one that wraps a bone does so at all its levels or turns to points."""
        by_id = {bone.id: bone for bone in bones}
        tracks = []
        for name, knots in collect(levels, lambda level: level.muscles).items():
            record = catalogue[name]
            if not isinstance(record, Muscle):
                continue
            wraps = [knot.spine for _, knot in knots if isinstance(knot.spine, Wrap)]
            all_wrap = len(wraps) == len(knots) and len({w.wrap for w in wraps}) == 1
            z = [z for z, _ in knots]
            if all_wrap:
                spine = Track(z, [(w.from_deg, w.to_deg, w.offset_mm) for w in wraps])
            else:
                spine = Track(z, [points.ravel() for points in _spines(knots, by_id)])
            from_z_mm, to_z_mm = record.ends_mm()
            tracks.append(
                cls(
                    id=name,
                    from_z_mm=from_z_mm,
                    to_z_mm=to_z_mm,
                    last_fibres_z_mm=record.belly.to_z_mm if record.belly is not None else from_z_mm,
                    starts_inside=not record.goes_on.proximal,
                    ends_inside=not record.goes_on.distal,
                    taper_mm=record.taper_mm,
                    area=Track(z, [knot.area_mm2 for _, knot in knots]),
                    spine=spine,
                    wrap_bone=wraps[0].wrap if all_wrap else None,
                    stiffness=record.stiffness,
                    part_of=record.part_of,
                )
            )
        return tuple(tracks)

    def present(self, z_mm: float) -> bool:
        """Say whether the muscle or its tendon is cut at this height."""
        return self.to_z_mm <= z_mm <= self.from_z_mm and self._taper(z_mm) > 0

    def _taper(self, z_mm: float) -> float:
        return self._shown(z_mm, smoothstep)

    def _spread(self, z_mm: float) -> float:
        """Return the share of the spine that is drawn; a wide sheet opens evenly, or its ends would run."""
        return self._taper(z_mm) if self.taper_mm is None else self._shown(z_mm, lambda x: min(1.0, max(0.0, x)))

    def _shown(self, z_mm: float, rise: Callable[[float], float]) -> float:
        length_mm = TAPER_MM if self.taper_mm is None else self.taper_mm
        share = 1.0
        if self.starts_inside:
            share *= rise((self.from_z_mm - z_mm) / length_mm)
        if self.ends_inside:
            share *= rise((z_mm - self.to_z_mm) / length_mm)
        return share

    def at(self, z_mm: float, bones: tuple[BoneTrack, ...]) -> Belly:
        """Return the area and the spine at a height."""
        if self.wrap_bone is not None:
            spine = _wrap(next(b for b in bones if b.id == self.wrap_bone).at(z_mm), *self.spine.at(z_mm))
        else:
            spine = self.spine.at(z_mm).reshape(-1, 2)
        # A muscle begins and ends as a point, not as a hair-thin line that would cut its neighbours in two.
        middle = spine[SPINE_POINTS // 2]
        spine = middle + (spine - middle) * self._spread(z_mm)
        return Belly(
            id=self.id,
            area_mm2=self.area.scalar(z_mm) * self._taper(z_mm),
            spine_mm=spine,
            stiffness=self.stiffness,
            tissue="muscle" if z_mm >= self.last_fibres_z_mm else "tendon",
            part_of=self.part_of,
        )


def _spines(knots: Iterable[tuple[float, MuscleKnot]], bones: dict[str, BoneTrack]) -> list[Floats]:
    """Return each knot's spine; one taken from a traced outline runs the way the one before it does."""
    spines: list[Floats] = []
    for z_mm, knot in knots:
        if isinstance(knot.spine, Wrap):
            spine = knot.spine
            points = _wrap(bones[spine.wrap].at(z_mm), spine.from_deg, spine.to_deg, spine.offset_mm)
        elif knot.outline is None:
            points = curve_through(np.array(knot.spine, dtype=float), SPINE_POINTS)
        else:
            points = middle_line(smooth_ring(np.array(knot.outline, dtype=float)), SPINE_POINTS)
            if spines and np.linalg.norm(points[::-1] - spines[-1]) < np.linalg.norm(points - spines[-1]):
                points = points[::-1]
        spines.append(points)
    return spines


def _wrap(bone: Bone, from_deg: float, to_deg: float, offset_mm: float) -> Floats:
    bearing = np.radians(np.linspace(from_deg, to_deg, SPINE_POINTS))
    reach = np.interp(bearing % (2 * np.pi), THETA, bone.radii_mm, period=2 * np.pi) + offset_mm
    points: Floats = bone.centre_mm + reach[:, None] * np.stack([np.cos(bearing), np.sin(bearing)], axis=1)
    return points


def collect(
    levels: Iterable[LevelRecord], of: Callable[[LevelRecord], Mapping[str, K]]
) -> dict[str, list[tuple[float, K]]]:
    """Return the knots ``of`` each level by structure as (z, knot), in the order of the levels."""
    found: dict[str, list[tuple[float, K]]] = {}
    for level in levels:
        for name, knot in of(level).items():
            found.setdefault(name, []).append((float(level.z_mm), knot))
    return found

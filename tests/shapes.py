"""A cast of shapes and sections whose measures can be worked out on paper. All in mm, section frame."""

from __future__ import annotations

import math
from dataclasses import replace

from wristward.data.records.region import Frame
from wristward.measure.directions import Directions
from wristward.section.section import Point, Ring, Section, Solved

FRAME = Frame.model_validate(
    {
        "arm": "right",
        "pose": "supinated",
        "seen_from": "the hand toward the elbow",
        "x": {"plus": "ulnar", "minus": "radial"},
        "y": {"plus": "volar", "minus": "dorsal"},
        "z": "proximal to the distal wrist crease",
    }
)
WAYS = Directions.of(FRAME)


def box(left: float, bottom: float, right: float, top: float) -> Ring:
    """A rectangle, anticlockwise."""
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def disc(x: float, y: float, radius: float, points: int = 64) -> Ring:
    """A circle, anticlockwise; the polygon lies inside it."""
    turns = [2 * math.pi * k / points for k in range(points)]
    return tuple((x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns)


def star_crossing_itself() -> Ring:
    """A bow tie: two triangles that meet in (0, 0), one turned each way."""
    return ((-4.0, -4.0), (4.0, 4.0), (4.0, -4.0), (-4.0, 4.0))


def solved(
    name: str,
    ring: Ring,
    *,
    kind: str = "muscle",
    tissue: str | None = None,
    layer: str = "subfascial",
    part_of: str | None = None,
    centre: Point | None = None,
) -> Solved:
    """A structure; its centre is the mean of its vertices unless given."""
    middle = centre or (sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring))
    return Solved(
        id=name,
        kind=kind,
        tissue=tissue or kind,
        layer=layer,
        ring_mm=ring,
        centre_mm=middle,
        area_mm2=0.0,
        part_of=part_of,
    )


def section(*structures: Solved, z_mm: float = 100.0, side: str = "right") -> Section:
    """A cut with skin 100 mm wide and 80 mm deep about (0, 0), and fascia 5 mm under it."""
    return Section(
        z_mm=z_mm,
        side=side,
        skin_mm=box(-50.0, -40.0, 50.0, 40.0),
        fascia_mm=box(-45.0, -35.0, 45.0, 35.0),
        structures=tuple(structures),
    )


def mirrored(cut: Section) -> Section:
    """The same section of the other arm: x changes sign, rings stay anticlockwise."""
    return _moved(replace(cut, side="left" if cut.side == "right" else "right"), lambda x, y: (-x, y), turn=True)


def scaled(cut: Section, factor: float) -> Section:
    """The same section with every length multiplied."""
    return _moved(cut, lambda x, y: (factor * x, factor * y), turn=False)


def _moved(cut: Section, move, *, turn: bool) -> Section:
    def ring(points: Ring) -> Ring:
        new = tuple(move(x, y) for x, y in points)
        return new[::-1] if turn else new

    return replace(
        cut,
        skin_mm=ring(cut.skin_mm),
        fascia_mm=ring(cut.fascia_mm),
        structures=tuple(replace(s, ring_mm=ring(s.ring_mm), centre_mm=move(*s.centre_mm)) for s in cut.structures),
    )

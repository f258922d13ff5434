"""The solved section: plain frozen records that every later layer reads.

Coordinates are millimetres in the section frame: +x ulnar, +y volar, seen from the hand toward the
elbow, supinated right arm (a left arm is the mirror image and is delivered already mirrored).
"""

from __future__ import annotations

from dataclasses import dataclass, field

Point = tuple[float, float]
Ring = tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """One structure cut by the section."""

    id: str
    """Key of the structure catalogue."""

    kind: str
    """bone, sheet, muscle, tendon, nerve, artery or vein, as in the catalogue."""

    tissue: str
    """What is cut here: as ``kind``, but "tendon" for a muscle distal to its last fibres."""

    layer: str
    """"subcutaneous" or "subfascial"."""

    ring_mm: Ring
    """Closed outline without the repeated last point, anticlockwise, section frame, mm."""

    centre_mm: Point
    """A point inside the outline that labels and distances start from, section frame, mm."""

    area_mm2: float
    """Area inside ``ring_mm``."""

    authored_area_mm2: float | None = None
    """Area asked for by the data, interpolated to this z."""

    target_area_mm2: float | None = None
    """Elastic target the solver aimed at (muscles only)."""

    pressure: float | None = None
    """How hard neighbours squeeze a muscle: reach beyond its natural reach, mm (muscles only)."""

    part_of: str | None = None
    """Muscle a tendon, head or layer belongs to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A transverse cut at one height. Structures are ordered from back to front for drawing."""

    z_mm: float
    """Distance proximal to the distal wrist crease in this arm, mm."""

    side: str = "right"
    """"right" or "left"."""

    arm: str = "mean"
    """Reference arm: "small", "mean" or "large"."""

    pose: str = "supinated"

    skin_mm: Ring
    fascia_mm: Ring
    structures: tuple[Solved, ...]
    warnings: tuple[str, ...] = field(default=())

    def find(self, structure_id: str) -> Solved | None:
        """Return the structure with this id, or None where it is not cut at this height."""
        for solved in self.structures:
            if solved.id == structure_id:
                return solved
        return None

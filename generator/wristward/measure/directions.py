"""What the directions of a section are called: names from the region's frame, vectors of the section.

Directions are the patient's: on a left arm, which is stored mirrored, those along x point the other way on the picture
and bearings are read on the mirror image, so that the same words and numbers come out.
"""

from __future__ import annotations

from dataclasses import dataclass

from wristward.data.records.region import Frame
from wristward.section.section import Point, Section

EIGHTHS = 8
VECTORS: tuple[Point, ...] = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
"""Of the four directions of a right arm, in their order."""


def eighth_of(bearing_deg: float) -> int:
    """Return the eighth of a turn that a bearing falls in: 0 about +x, 2 about +y, up to 7."""
    return int(((bearing_deg % 360.0) + 22.5) // 45.0) % EIGHTHS


@dataclass(frozen=True, slots=True, kw_only=True)
class Directions:
    """The directions of a region's sections."""

    names: tuple[str, ...]
    """Four, anticlockwise on the picture of a right arm from +x on."""

    eighths: tuple[str, ...]
    """What each eighth of a turn is called, in the same way."""

    @classmethod
    def of(cls, frame: Frame) -> Directions:
        """Return the directions that a region's frame names."""
        return cls(names=frame.directions(), eighths=frame.eighths())

    def vector(self, section: Section, name: str) -> Point:
        """Return the unit vector that points in a direction on this section's picture.

        Raises:
            ValueError: If the region has no such direction; the data layer reports that first.
        """
        x, y = VECTORS[self.names.index(name)]
        return (x * x_sign(section) + 0.0, y)

    def opposite(self, name: str) -> str:
        """Return the direction that points the other way.

        Raises:
            ValueError: If the region has no such direction.
        """
        return self.names[(self.names.index(name) + 2) % 4]

    def of_bearing(self, bearing_deg: float) -> str:
        """Return what the eighth of a turn that a bearing falls in is called."""
        return self.eighths[eighth_of(bearing_deg)]


def x_sign(section: Section) -> float:
    """Return 1 where x runs as on a right arm, and -1 on a left one."""
    return -1.0 if section.side == "left" else 1.0

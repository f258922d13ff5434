"""A section of the mean right arm as it is in another reference arm: larger or smaller, or the mirror image."""

from __future__ import annotations

from dataclasses import replace

from wristward.anatomy.forearm import Arm
from wristward.section.section import Point, Ring, Section

MEAN = Arm(name="mean", length_scale=1.0, girth_scale=1.0)
"""The arm that sections are solved in."""


def as_in_arm(section: Section, *, arm: Arm, side: str) -> Section:
    """Return a section of the mean right arm as it is in a reference arm of another size, or in the left one.

    Args:
        section: Section of the mean right arm.
        arm: Its ``length_scale`` is for z, its ``girth_scale`` for x and y.
        side: "right" or "left"; a left arm is the mirror image, its rings turned anticlockwise again.
    """
    girth, sign = arm.girth_scale, -1.0 if side == "left" else 1.0

    def point(given: Point) -> Point:
        # Adding zero turns -0.0 into 0.0.
        return (given[0] * girth * sign + 0.0, given[1] * girth)

    def ring(given: Ring) -> Ring:
        moved = tuple(point(one) for one in given)
        return moved[::-1] if sign < 0 else moved

    def area(given: float) -> float:
        return given * girth**2

    def stated(given: float | None) -> float | None:
        return None if given is None else area(given)

    return replace(
        section,
        z_mm=section.z_mm * arm.length_scale,
        side=side,
        arm=arm.name,
        skin_mm=ring(section.skin_mm),
        fascia_mm=ring(section.fascia_mm),
        structures=tuple(
            replace(
                solved,
                ring_mm=ring(solved.ring_mm),
                centre_mm=point(solved.centre_mm),
                area_mm2=area(solved.area_mm2),
                authored_area_mm2=stated(solved.authored_area_mm2),
                target_area_mm2=stated(solved.target_area_mm2),
            )
            for solved in section.structures
        ),
    )

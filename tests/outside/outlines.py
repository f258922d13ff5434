"""Solved outlines read with shapely alone, so that these checks do not rest on the measures they check."""

from __future__ import annotations

import shapely
from shapely.geometry import Polygon

ELBOW_Z_MM = 260.0


def outline(section, name: str):
    """Return the area of a structure and, for a muscle, of its heads and tendons; None where it is not cut."""
    parts = [
        Polygon(s.ring_mm)
        for s in section.structures
        if s.id == name or (s.part_of == name and s.kind in ("muscle", "tendon"))
    ]
    return shapely.union_all(parts) if parts else None


def skin(section) -> Polygon:
    """Return the section's skin outline."""
    return Polygon(section.skin_mm)


def at_percent(sections, percent: float):
    """Return the section nearest to a share of the way from elbow crease (0) to wrist crease (100)."""
    wanted = ELBOW_Z_MM * (1 - percent / 100)
    return sections[min(sections, key=lambda z: (abs(z - wanted), z))]


def volumes_cm3(sections, names) -> dict[str, float]:
    """Integrate each muscle's area from crease to crease, trapezoids over the solved heights, cm³."""
    heights = sorted(sections)
    total = dict.fromkeys(names, 0.0)
    for name in names:
        areas = [(shape.area if (shape := outline(sections[z], name)) is not None else 0.0) for z in heights]
        for (low, below), (high, above) in zip(
            zip(heights, areas, strict=True), list(zip(heights, areas, strict=True))[1:], strict=False
        ):
            total[name] += (high - low) * (below + above) / 2 / 1000
    return total


def in_range(sections, z_range) -> list:
    """Return the sections within a range of heights, lowest first; the nearest one where none lies within."""
    low, high = z_range
    within = [sections[z] for z in sorted(sections) if low <= z <= high]
    return within or [sections[min(sections, key=lambda z: abs(z - low))]]

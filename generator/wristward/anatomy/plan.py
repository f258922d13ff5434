"""What the solver is given at one height: every knot already interpolated, every reference resolved.

All coordinates are mm in the section frame of the mean right arm, supinated (+x ulnar, +y volar).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from wristward.anatomy.arrays import Floats
from wristward.data.kinds import StructureKind


@dataclass(frozen=True, slots=True, kw_only=True)
class Bone:
    """A bone's outline, star-shaped about its centre."""

    id: str
    centre_mm: Floats
    radii_mm: Floats
    """Centre to outline along each of ``curves.BEARINGS`` bearings."""

    ring_mm: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A membrane, aponeurosis or retinaculum: a line with a thickness."""

    id: str
    line_mm: Floats
    thickness_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Belly:
    """A muscle, or the tendon it has become: an area to be laid about a spine."""

    id: str
    area_mm2: float
    """Area the data ask for, starts and ends tapered."""

    spine_mm: Floats
    """Shape (SPINE_POINTS, 2)."""

    stiffness: float
    """Slope of the cost of reaching away from the spine; 1 for an ordinary belly."""

    tissue: Literal["muscle", "tendon"]
    part_of: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One stretch of a nerve's or vessel's course, as strong as it is here."""

    strength: float
    """1 inside the stretch, falling to 0 over the blend beyond its ends."""

    seam: tuple[str, str] | None = None
    on: str | None = None
    inside: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A stated gap to a neighbour."""

    structure: str
    gap_mm: float
    bearing_deg: float | None
    strength: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """A nerve, vessel or digit tendon: an ellipse near a stated point."""

    id: str
    kind: StructureKind
    at_mm: Floats | None
    """None for one that is placed by ``beside`` alone."""

    half_width_mm: float
    half_height_mm: float
    tilt_deg: float
    """Bearing of the ellipse's width."""

    runs: tuple[Run, ...]
    beside: tuple[Beside, ...]
    part_of: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Everything the solver needs at one height."""

    z_mm: float
    pose: str
    centre_mm: Floats
    """Point from which the skin and the fascia are star-shaped."""

    skin_radii_mm: Floats
    fascia_radii_mm: Floats
    fill: float | None
    """Share of the free space inside the fascia that muscle fills; None to lay muscles at their own area."""

    bones: tuple[Bone, ...]
    sheets: tuple[Sheet, ...]
    bellies: tuple[Belly, ...]
    discs: tuple[Disc, ...]

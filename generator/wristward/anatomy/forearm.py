"""Records to one forearm that can be asked for a plan at any height.

Knots are interpolated in z; starts, ends and courses come from the catalogue. No structure is named here.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass

import numpy as np

from wristward.anatomy.disc_knots import DiscTrack
from wristward.anatomy.knots import BellyTrack, BoneTrack, SheetTrack, Surface
from wristward.anatomy.plan import Bone, Plan
from wristward.data.dataset import Dataset


@dataclass(frozen=True, slots=True, kw_only=True)
class Arm:
    """A reference arm as two scales on the mean arm."""

    name: str
    length_scale: float
    girth_scale: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Forearm:
    """A resolved forearm, continuous from the elbow crease to the wrist crease."""

    top_z_mm: float
    bottom_z_mm: float
    surface: Surface
    bones: tuple[BoneTrack, ...]
    sheets: tuple[SheetTrack, ...]
    bellies: tuple[BellyTrack, ...]
    discs: tuple[DiscTrack, ...]
    arms: dict[str, Arm]

    @classmethod
    def from_dataset(cls, dataset: Dataset) -> Forearm:
        """Resolve checked records.

        Raises:
            ValueError: If an outline does not surround its centre; the data layer reports that first.
        """
        levels = dataset.levels_and_knots()
        surface = Surface.from_levels(levels)
        catalogue = dataset.structures
        bones = BoneTrack.read_all(levels, catalogue)
        arms = {
            name: Arm(name=name, length_scale=arm.length_scale, girth_scale=arm.girth_scale)
            for name, arm in dataset.region.arms.items()
        }
        return cls(
            top_z_mm=float(dataset.region.reference_length_mm),
            bottom_z_mm=0.0,
            surface=surface,
            bones=bones,
            sheets=SheetTrack.read_all(levels, catalogue),
            bellies=BellyTrack.read_all(levels, catalogue, bones),
            discs=DiscTrack.read_all(levels, catalogue, surface),
            arms=arms,
        )

    def plan(self, *, z_mm: float, pose: str = "supinated") -> Plan:
        """Return what the solver needs at a height of the mean right arm.

        Raises:
            ValueError: If the height lies outside the forearm or the pose is not drawn.
        """
        if not self.bottom_z_mm <= z_mm <= self.top_z_mm:
            raise ValueError(f"z_mm is {z_mm:g} (allowed: {self.bottom_z_mm:g} to {self.top_z_mm:g})")
        if pose != "supinated":
            raise ValueError(f"pose is '{pose}' (allowed: 'supinated')")
        centre, skin, fascia = self.surface.at(z_mm)
        bones: tuple[Bone, ...] = tuple(b.at(z_mm) for b in self.bones if b.present(z_mm))
        return Plan(
            z_mm=float(z_mm),
            pose=pose,
            centre_mm=centre,
            skin_radii_mm=skin,
            fascia_radii_mm=fascia,
            fill=self.surface.fill_at(z_mm),
            bones=bones,
            sheets=tuple(s.at(z_mm, self.surface) for s in self.sheets if s.present(z_mm)),
            bellies=tuple(m.at(z_mm, self.bones) for m in self.bellies if m.present(z_mm)),
            discs=tuple(d.at(z_mm) for d in self.discs if d.present(z_mm)),
        )


def plan_bytes(plan: Plan) -> bytes:
    """Return the plan as stable bytes, for a section's content key (positions to 1 µm)."""
    parts: list[str] = []

    def add(value: object) -> None:
        if isinstance(value, np.ndarray):
            parts.append(",".join(f"{v:.3f}" for v in value.ravel()))
        elif isinstance(value, float):
            parts.append(f"{value:.4f}")
        elif isinstance(value, tuple):
            parts.append(f"[{len(value)}")
            for item in value:
                add(item)
        elif is_dataclass(value):
            parts.append(type(value).__name__)
            for one in fields(value):
                add(getattr(value, one.name))
        else:
            parts.append(repr(value))

    add(plan)
    return "\n".join(parts).encode()

"""The seven kinds of structure, and every order in which they are drawn, told and listed."""

from __future__ import annotations

from typing import Literal

StructureKind = Literal["bone", "sheet", "muscle", "tendon", "nerve", "artery", "vein"]

BACK_TO_FRONT: tuple[StructureKind, ...] = ("bone", "muscle", "sheet", "tendon", "vein", "artery", "nerve")
"""As a section is drawn: discs come last, so that no belly hides a nerve."""

AS_TOLD: tuple[StructureKind, ...] = ("nerve", "artery", "vein", "muscle", "tendon", "bone", "sheet")
"""As words and tables name what is cut: what a block is about comes first."""

AS_SWITCHED: tuple[StructureKind, ...] = ("muscle", "tendon", "bone", "sheet", "nerve", "artery", "vein")
"""As the switches beside a section stand: what fills it first."""

ROUND: tuple[StructureKind, ...] = ("tendon", "vein", "artery", "nerve")
"""What is drawn as a disc of its own, back to front."""

KNOT_MAPS: dict[str, tuple[StructureKind, ...]] = {
    "bones": ("bone",),
    "sheets": ("sheet",),
    "muscles": ("muscle",),
    "tendons": ("tendon",),
    "nerves": ("nerve",),
    "vessels": ("artery", "vein"),
}
"""Which kinds of structure each map of a level may list."""

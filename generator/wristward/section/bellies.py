"""Numbers of a plan's bellies, one array each."""

from __future__ import annotations

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.anatomy.plan import Plan

TENDON_MM2 = 28.0
"""A structure cut smaller than this keeps its area: tendon gives way to nobody."""


class Bellies:
    """Arrays over the plan's bellies, shape (m,)."""

    def __init__(self, plan: Plan) -> None:
        bellies = plan.bellies
        self.authored_mm2 = np.array([belly.area_mm2 for belly in bellies])
        self.is_tendon = np.array([b.tissue == "tendon" or b.area_mm2 < TENDON_MM2 for b in bellies], dtype=bool)
        self.stiffness = np.array([belly.stiffness for belly in bellies])
        length = np.array([float(np.hypot(*np.diff(b.spine_mm, axis=0).T).sum()) for b in bellies])
        self.natural_mm = natural_reach(self.authored_mm2, length) * self.stiffness
        self.radius_mm = np.sqrt(self.authored_mm2 / np.pi) * self.stiffness
        """Radius of a disc of the belly's area, times its stiffness."""

        self.thickness_mm = self.authored_mm2 / (length + np.sqrt(self.authored_mm2))
        self.core_mm = np.minimum(1.0, 0.45 * np.sqrt(self.authored_mm2 / np.pi))
        """How near its spine a belly is pulled to it."""


def natural_reach(area_mm2: Floats, length_mm: Floats) -> Floats:
    """Return the reach at which a strip about a spine of this length has this area: πw² + 2Lw = A."""
    return (-length_mm + np.sqrt(length_mm**2 + np.pi * area_mm2)) / np.pi

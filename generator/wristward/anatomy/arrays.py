"""What arrays hold, for signatures; the shape stands in each docstring."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Indexes = NDArray[np.signedinteger]

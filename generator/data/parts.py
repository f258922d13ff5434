"""Every part a dataset may hold beside the region's core."""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec

from generator.data.part import Part

_HOME = "generator.data.block_records"

PARTS: tuple[Part, ...] = tuple(import_module(_HOME).PARTS) if find_spec(_HOME) is not None else ()

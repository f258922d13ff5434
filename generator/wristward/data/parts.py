"""Every part a dataset may hold beside the region's core."""

from __future__ import annotations

from generator.data import block_records, quiz_records
from generator.data.part import Part

PARTS: tuple[Part, ...] = (*block_records.PARTS, *quiz_records.PARTS)

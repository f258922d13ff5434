"""Every part a dataset may hold beside the region's core."""

from __future__ import annotations

from wristward.data import block_parts
from wristward.data.checks.part import Part
from wristward.data.records import quiz

PARTS: tuple[Part, ...] = (*block_parts.PARTS, *quiz.PARTS)

"""The normal distribution cut off at both ends: share below a height, and the height below which a share lies."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import ndtr, ndtri

from wristward.anatomy.arrays import Floats
from wristward.block.blocks import Event


def share_below(event: Event, z_mm: ArrayLike) -> Floats:
    """Return the share of limbs with the event whose event lies below ``z_mm``.

    Args:
        event: The event.
        z_mm: Heights, any shape, mm.

    Returns:
        Shares from 0 (at and below min_z_mm) to 1 (at and above max_z_mm), same shape.

    Source:
        Distribution function of a truncated normal; no anatomical claim.
    """
    low, high = _cut(event)
    inside = np.clip(np.asarray(z_mm, float), event.min_z_mm, event.max_z_mm)
    share: Floats = np.clip((ndtr((inside - event.mean_z_mm) / event.sd_mm) - low) / (high - low), 0.0, 1.0)
    return share


def height_at(event: Event, share: ArrayLike) -> Floats:
    """Return the height below which a share of the limbs lies, mm; the inverse of ``share_below``.

    Args:
        event: The event.
        share: From 0 to 1, any shape.
    """
    low, high = _cut(event)
    z_mm = event.mean_z_mm + event.sd_mm * ndtri(low + np.asarray(share, float) * (high - low))
    height_mm: Floats = np.clip(z_mm, event.min_z_mm, event.max_z_mm)
    return height_mm


def mean_height_mm(event: Event) -> float:
    """Return the mean after the cut, mm."""
    low, high = _cut(event)
    a, b = (event.min_z_mm - event.mean_z_mm) / event.sd_mm, (event.max_z_mm - event.mean_z_mm) / event.sd_mm
    density = (np.exp(-a * a / 2) - np.exp(-b * b / 2)) / np.sqrt(2 * np.pi)
    return float(event.mean_z_mm + event.sd_mm * density / (high - low))


def _cut(event: Event) -> tuple[float, float]:
    low = float(ndtr((event.min_z_mm - event.mean_z_mm) / event.sd_mm))
    return low, float(ndtr((event.max_z_mm - event.mean_z_mm) / event.sd_mm))

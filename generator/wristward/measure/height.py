"""Heights as every reader meets them: in pages, figures, quizzes and commands alike."""

from __future__ import annotations


def in_cm(z_mm: float) -> str:
    """Return a height in centimetres without an idle zero: 195 → "19.5", 250 → "25"."""
    return f"{z_mm / 10:.1f}".removesuffix(".0")

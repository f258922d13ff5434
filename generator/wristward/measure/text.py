"""Text as every reader meets it: in pages, figures, exports and commands alike."""

from __future__ import annotations


def in_cm(z_mm: float) -> str:
    """Return a height in centimetres without an idle zero: 195 → "19.5", 250 → "25"."""
    return f"{z_mm / 10:.1f}".removesuffix(".0")


def capital(text: str) -> str:
    """Return a text that begins with a capital; the rest stays as it is."""
    return text[:1].upper() + text[1:]

"""Text as every reader meets it: in pages, figures, exports and commands alike."""

from __future__ import annotations

from collections.abc import Mapping

Catalogue = Mapping[str, str]


def in_cm(z_mm: float) -> str:
    """Return a height in centimetres without an idle zero: 195 → "19.5", 250 → "25"."""
    return f"{z_mm / 10:.1f}".removesuffix(".0")


def height_words(z_mm: float, words: Catalogue, *, in_full: bool = False) -> str:
    """Return "12.5 cm above the wrist crease", or that it is the crease.

    Args:
        z_mm: Height, mm; beyond the crease it is negative.
        words: Readers' words; ``height.*`` is used.
        in_full: Whether the crease is called by its full name, as in questions, which stand alone; none lies beyond it.
    """
    if z_mm < 0:
        return words["height.beyond"].format(cm=in_cm(-z_mm))
    topic = "height.in_full" if in_full else "height"
    if z_mm == 0:
        return words[f"{topic}.crease"]
    return words[f"{topic}.above"].format(cm=in_cm(z_mm))


def short_height(z_mm: float, words: Catalogue) -> str:
    """Return "12.5 cm", where it is plain above what."""
    return words["height.short"].format(cm=in_cm(z_mm))


def band_words(words: Catalogue, *, low_mm: float, high_mm: float) -> str:
    """Return "5 to 8.5 cm", of heights or of distances."""
    return words["height.band"].format(low=in_cm(low_mm), high=in_cm(high_mm))


def span_words(words: Catalogue, *, low_mm: float, high_mm: float) -> str:
    """Return "from 5 to 8.5 cm above the wrist crease", the crease by name."""
    key = "height.up" if low_mm > 0 else "height.up_from_crease"
    return words[key].format(low=in_cm(low_mm), high=in_cm(high_mm))


def capital(text: str) -> str:
    """Return a text that begins with a capital; the rest stays as it is."""
    return text[:1].upper() + text[1:]

"""Text as every reader meets it: in pages, figures, exports and commands alike."""

from __future__ import annotations


def capital(text: str) -> str:
    """Return a text that begins with a capital; the rest stays as it is."""
    return text[:1].upper() + text[1:]

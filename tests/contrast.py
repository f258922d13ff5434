"""The arithmetic of contrast, as the guidelines define it."""


def luminance(colour: str) -> float:
    """Return the relative luminance of ``#rrggbb``, 0 (black) to 1 (white).

    Source:
        WCAG 2.2, definition of relative luminance.
    """
    channels = (int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: str, second: str) -> float:
    """Return the contrast ratio of two colours, 1 (none) to 21.

    Source:
        WCAG 2.2, definition of contrast ratio.
    """
    bright, dim = sorted((luminance(first), luminance(second)), reverse=True)
    return (bright + 0.05) / (dim + 0.05)

"""Paths of drawings, read as the standard says: relative pieces added up, mirrored handles worked out."""

from __future__ import annotations

import re

TOKEN = re.compile(r"[A-Za-z]|-?\d+(?:\.\d+)?")
NUMBERS = {"m": 2, "l": 2, "h": 1, "v": 1, "q": 4, "t": 2}


def pieces(path: str) -> list[tuple[str, list[tuple[float, float]]]]:
    """Return each piece of a path as M, L, Q or Z with its points: a handle before the end, all absolute."""
    out: list[tuple[str, list[tuple[float, float]]]] = []
    tokens = TOKEN.findall(path)
    at = handle = (0.0, 0.0)
    index, pen = 0, ""
    while index < len(tokens):
        if tokens[index].isalpha():
            pen, index = tokens[index], index + 1
            if pen in "zZ":
                out.append(("Z", []))
                continue
        count = NUMBERS[pen.lower()]
        numbers = [float(token) for token in tokens[index : index + count]]
        index += count
        base = at if pen.islower() else (0.0, 0.0)
        kind = pen.lower()
        if kind in "hv":
            moved = (base[0] + numbers[0], at[1]) if kind == "h" else (at[0], base[1] + numbers[0])
            points = [moved]
        else:
            points = [(base[0] + x, base[1] + y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
        if kind == "t":
            points.insert(0, (2 * at[0] - handle[0], 2 * at[1] - handle[1]))
        at = points[-1]
        handle = points[0] if kind in "qt" else at
        out.append(({"m": "M", "q": "Q", "t": "Q"}.get(kind, "L"), points))
    return out


def spelled_out(path: str) -> str:
    """Return a path with every number absolute and every handle written."""
    return "".join(kind + " ".join(f"{x:g} {y:g}" for x, y in points) for kind, points in pieces(path))

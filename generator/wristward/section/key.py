"""A section's content key and its bytes. Storing them is the caller's business."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import fields
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from wristward.anatomy.forearm import plan_bytes
from wristward.anatomy.plan import Plan
from wristward.section.section import Section, Solved

_SOLVER_LIBRARIES = ("numpy", "shapely", "contourpy")


def plan_digest(plan: Plan) -> bytes:
    """Return a short digest of a plan; five sections are made of each, and each asks for it."""
    return hashlib.sha256(plan_bytes(plan)).digest()


def section_key(digests: Mapping[int, bytes]) -> str:
    """Return the key under which a section may be stored: inputs, pose, solver source, library versions.

    Args:
        digests: Of the section's own plan (0) and those it is smoothed with, by distance in mm.
    """
    digest = hashlib.sha256(_solver_fingerprint())
    for step, plan in sorted(digests.items()):
        digest.update(f"{step}\n".encode() + plan)
    return digest.hexdigest()


@cache
def _solver_fingerprint() -> bytes:
    digest = hashlib.sha256()
    root = Path(__file__).resolve().parent
    for folder in (root, root.parent / "anatomy"):
        for path in sorted(folder.glob("*.py")):
            digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    for name in _SOLVER_LIBRARIES:
        digest.update(f"{name} {version(name)}\n".encode())
    return digest.digest()


def section_bytes(section: Section) -> bytes:
    """Return a section as stable JSON bytes."""
    return json.dumps(section, default=_plain, sort_keys=True, separators=(",", ":"), allow_nan=False).encode()


def _plain(record: Section | Solved) -> dict[str, Any]:
    """Return a record of a section as a dict; ``asdict`` would copy every vertex first."""
    return {field.name: getattr(record, field.name) for field in fields(record)}


def section_from_bytes(data: bytes) -> Section:
    """Return the section of these bytes.

    Raises:
        ValueError: If the bytes are not a section; a store treats that as a miss.
    """
    try:
        raw = json.loads(data)
        structures = tuple(
            Solved(**{**item, "ring_mm": _ring(item["ring_mm"]), "centre_mm": tuple(item["centre_mm"])})
            for item in raw.pop("structures")
        )
        raw.update(skin_mm=_ring(raw["skin_mm"]), fascia_mm=_ring(raw["fascia_mm"]), warnings=tuple(raw["warnings"]))
        return Section(structures=structures, **raw)
    except (KeyError, TypeError, AttributeError, UnicodeDecodeError) as error:
        raise ValueError(f"not a stored section: {error}") from error


def _ring(points: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in points)

"""Every section of the arm as outlines with a fixed number of vertices, packed into one short classic script.

A structure keeps its vertex count over an unbroken stretch of heights, and vertex k at one millimetre is
vertex k at the next, so the browser can move between stored millimetres by mixing two rows of numbers.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import numpy as np

from wristward.bridge.pack.digits import Packer, runs_of
from wristward.figure.legend import Legend, draw_order
from wristward.section.section import Ring, Section

QUANTUM_MM = 0.1
"""Stored step. Rounding moves a coordinate by half of it at most, the 0.05 mm that are promised."""

VERTICES = ((10.0, 12), (16.0, 16), (55.0, 32), (float("inf"), 64))
"""Vertex count by the longest outline of a stretch, mm: small nerves and vessels 12, larger ones and tendons 16, small
bellies 32, the rest 64. Twelve leave a round outline of 10 mm by less than 0.1 mm."""

OVERSAMPLING = 4
"""Starts of neighbouring rings are matched on a ring this much finer, so that vertices do not slide along it."""

SKIN, FASCIA = "skin", "fascia"


def pack_sections(sections: Mapping[int, Section], legend: Legend) -> dict[str, Any]:
    """Pack right, mean-arm sections at every whole mm.

    Args:
        sections: By height in mm, unbroken: the whole arm, or a stretch of it.
        legend: Kind of every structure (drawing order).

    Returns:
        ``{"quantum_mm", "top_mm", "runs", "data"}`` with plain values, as ``browser/section/geometry.js`` reads it: skin and
        fascia first, then structures back to front, each with its unbroken stretches.

    Raises:
        ValueError: If a height is missing.
    """
    top_mm = max(sections)
    missing = sorted(set(range(min(sections), top_mm + 1)) - set(sections))
    if missing:
        raise ValueError(f"sections are missing at z {missing[0]} mm ({len(missing)} in all)")
    packer, runs = Packer(), []
    for key, hi, lo in stretches(sections, legend):
        rings, centres, tissues, layer = stretch(sections, key, hi=hi, lo=lo)
        chained = chain_rings(rings)
        points = np.concatenate([chained, centres[:, None]], axis=1)
        whole = np.rint(points / QUANTUM_MM).astype(int)
        for axis in (0, 1):
            packer.grid(whole[:, :, axis])
        runs.append({"id": key, "hi": hi, "lo": lo, "n": chained.shape[1], "tissues": tissues, "layer": layer})
    return {"quantum_mm": QUANTUM_MM, "top_mm": top_mm, "runs": runs, "data": packer.text()}


def geometry_script(packed: dict[str, Any]) -> str:
    """Return the packed arm as a classic script that a page opened from a folder can load."""
    body = json.dumps(packed, separators=(",", ":"), sort_keys=True)
    return f"(globalThis.wristward??={{}}).packedArm={body};\n"


def chain_rings(rings: list[Ring]) -> np.ndarray:
    """Resample the rings of one stretch to a shared vertex count and give neighbours the same start.

    Args:
        rings: Closed outlines from the elbow down, mm, anticlockwise, any number of points each.

    Returns:
        Shape (stretch, n, 2), mm.
    """
    arrays = [np.asarray(ring, dtype=float) for ring in rings]
    longest = max(_perimeter(ring) for ring in arrays)
    count = next(n for limit, n in VERTICES if longest <= limit)
    chained: list[np.ndarray] = []
    for ring in arrays:
        fine = _resample(ring, count * OVERSAMPLING)
        start = 0 if not chained else _best_start(fine, chained[-1])
        chained.append(np.roll(fine, -start, axis=0)[::OVERSAMPLING])
    return np.stack(chained)


def stretches(sections: Mapping[int, Section], legend: Legend) -> list[tuple[str, int, int]]:
    """Return (id, highest, lowest z in mm) of each unbroken run of heights of every structure, back to front."""
    heights: dict[str, list[int]] = {}
    for z_mm, section in sections.items():
        for solved in section.structures:
            heights.setdefault(solved.id, []).append(z_mm)
    top_mm, bottom_mm = max(sections), min(sections)
    out = [(SKIN, top_mm, bottom_mm), (FASCIA, top_mm, bottom_mm)]
    for key in draw_order(legend, heights):
        out += [(key, hi, lo) for hi, lo in runs_of(heights[key])]
    return out


def stretch(
    sections: Mapping[int, Section], key: str, *, hi: int, lo: int
) -> tuple[list[Ring], np.ndarray, list[list[object]], str]:
    """Return rings, centres, [[from z, tissue], …] and layer of one stretch, from the elbow down."""
    if key in (SKIN, FASCIA):
        rings = [sections[z].skin_mm if key == SKIN else sections[z].fascia_mm for z in range(hi, lo - 1, -1)]
        return rings, np.zeros((len(rings), 2)), [[hi, key]], ""
    found = {z: sections[z].find(key) for z in range(hi, lo - 1, -1)}
    cuts = {z: cut for z, cut in found.items() if cut is not None}
    tissues: list[list[object]] = []
    for z_mm, cut in cuts.items():
        if not tissues or tissues[-1][1] != cut.tissue:
            tissues.append([z_mm, cut.tissue])
    layers = sorted({cut.layer for cut in cuts.values()})
    centres = np.array([cut.centre_mm for cut in cuts.values()])
    return [cut.ring_mm for cut in cuts.values()], centres, tissues, layers[0]


def _perimeter(ring: np.ndarray) -> float:
    return float(np.hypot(*(np.roll(ring, -1, axis=0) - ring).T).sum())


def _resample(ring: np.ndarray, count: int) -> np.ndarray:
    """Return ``count`` points evenly spaced along a closed ring, beginning at its most volar point."""
    closed = np.vstack([ring, ring[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    begin = along[int(np.argmax(ring[:, 1]))]
    wanted = (begin + np.arange(count) * along[-1] / count) % along[-1]
    return np.stack([np.interp(wanted, along, closed[:, k]) for k in (0, 1)], axis=1)


def _best_start(fine: np.ndarray, before: np.ndarray) -> int:
    """Return the start on a fine ring that brings its vertices closest to the ring before."""
    count = len(before)
    index = (np.arange(len(fine))[:, None] + np.arange(count)[None, :] * OVERSAMPLING) % len(fine)
    centred, previous = fine - fine.mean(axis=0), before - before.mean(axis=0)
    return int(np.argmin(((centred[index] - previous) ** 2).sum(axis=(1, 2))))

"""Every section of the arm as outlines with a fixed number of vertices, packed into one short classic script.

A structure keeps its vertex count over an unbroken stretch of heights, and vertex k at one millimetre is
vertex k at the next, so the browser can move between stored millimetres by mixing two rows of numbers.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import numpy as np

from wristward.bridge.pack.numbers import Packer, runs_of
from wristward.bridge.pack.pyramid import left_over
from wristward.figure.legend import Legend, draw_order
from wristward.section.section import Ring, Section

UNIT_MM = 0.01
"""What stored coordinates count in."""

STEP = 10
"""Units by which a stored coordinate is off its forecast, or a multiple of them: so it strays from the outline's by half of
that at most, the 0.05 mm that are promised."""

VERTICES = ((10.0, 12), (16.0, 16), (55.0, 32), (float("inf"), 64))
"""Vertex count by the longest outline of a stretch, mm: small nerves and vessels 12, larger ones and tendons 16, small
bellies 32, the rest 64. Twelve leave a round outline of 10 mm by less than 0.1 mm."""

FINER = 8
"""Starts of neighbouring rings are matched on a ring this much finer, and then between its points, so that vertices do
not slide along it."""

SKIN, FASCIA = "skin", "fascia"


def pack_sections(sections: Mapping[int, Section], legend: Legend) -> dict[str, Any]:
    """Pack right, mean-arm sections at every whole mm.

    Args:
        sections: By height in mm, unbroken: the whole arm, or a stretch of it.
        legend: Kind of every structure (drawing order).

    Returns:
        ``{"unit_mm", "step", "top_mm", "runs", "data"}`` with plain values, as ``browser/section/geometry.js`` reads it: skin and
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
        for points in (chained, centres[:, None]):
            # Rounded before a last digit, which machines disagree on, can decide anything.
            packer.append(left_over(np.round(points / UNIT_MM, 8), step=STEP))
        runs.append({"id": key, "hi": hi, "lo": lo, "n": chained.shape[1], "tissues": tissues, "layer": layer})
    return {"unit_mm": UNIT_MM, "step": STEP, "top_mm": top_mm, "runs": runs, "data": packer.packed()}


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
    closed = [_closed(np.asarray(ring, dtype=float)) for ring in rings]
    longest = max(float(along[-1]) for _, along in closed)
    count = next(n for limit, n in VERTICES if longest <= limit)
    chained: list[np.ndarray] = []
    for points, along in closed:
        begin = float(along[np.argmax(points[:-1, 1])])
        if chained:
            fine = _resample(points, along, begin=begin, count=count * FINER)
            begin += _best_start(fine, chained[-1]) * float(along[-1]) / len(fine)
        chained.append(_resample(points, along, begin=begin, count=count))
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


def _closed(ring: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Return a ring with its first point at its end as well, and how far along it each point lies."""
    points = np.vstack([ring, ring[:1]])
    return points, np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])


def _resample(points: np.ndarray, along: np.ndarray, *, begin: float, count: int) -> np.ndarray:
    """Return ``count`` points evenly spaced along a closed ring, from ``begin`` along it on."""
    wanted = (begin + np.arange(count) * along[-1] / count) % along[-1]
    return np.stack([np.interp(wanted, along, points[:, k]) for k in (0, 1)], axis=1)


def _best_start(fine: np.ndarray, before: np.ndarray) -> float:
    """Return the start on a fine ring, in its points and shares of one, that brings its vertices closest to the ring before."""
    count = len(before)
    centred, previous = fine - fine.mean(axis=0), before - before.mean(axis=0)
    # How alike the two are from each start: a circular correlation, for every ``FINER`` starts at once.
    spectrum = np.fft.rfft(centred.reshape(count, FINER, 2), axis=0) * np.fft.rfft(previous, axis=0).conj()[:, None]
    alike = np.fft.irfft(spectrum.sum(axis=2), count, axis=0).ravel()
    squares = np.tile((centred**2).sum(axis=1).reshape(count, FINER).sum(axis=0), count)
    apart = np.round(squares - 2 * alike, 6)
    best = int(np.argmin(apart))
    left, here, right = apart[best - 1], apart[best], apart[(best + 1) % len(apart)]
    bend = left - 2 * here + right
    return best + (round(float((left - right) / (2 * bend)), 4) if bend > 0 else 0.0)

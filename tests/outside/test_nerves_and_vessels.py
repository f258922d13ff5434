"""Nerve areas, artery diameters and depths of the outlines as drawn, after carving, against published ones."""

from __future__ import annotations

import math

from tests.outside.outlines import in_range, outline, skin


def test_nerve_areas(arm_sections, published):
    """At every mm of each stretch the outline's area lies within one SD of the ultrasound mean."""
    rows, faults = published["nerve_areas_mm2"]["values"], []
    for row in rows:
        low, high = row["mean"] - row["sd"], row["mean"] + row["sd"]
        faults += _faults(arm_sections, row, low, high, "mm²", lambda s, name: outline(s, name).area)

    assert rows
    assert [] == faults, "\n".join(faults)


def test_small_nerve_areas(arm_sections, published):
    """The two palmar and dorsal skin branches are as thin as ultrasound shows them."""
    rows, faults = published["other_nerve_areas_mm2"], []
    for row in rows:
        faults += _faults(arm_sections, row, row["min"], row["max"], "mm²", lambda s, name: outline(s, name).area)

    assert rows
    assert [] == faults, "\n".join(faults)


def test_artery_diameters(arm_sections, published):
    """Diameters of circles of the outlines' areas lie in the range of the published means."""
    rows, faults = published["artery_diameters_mm"], []
    for row in rows:
        faults += _faults(arm_sections, row, row["min"], row["max"], "mm across", _diameter)

    assert rows
    assert [] == faults, "\n".join(faults)


def test_depths(arm_sections, published):
    """Skin to near wall, along the shortest line: ulnar nerve, median nerve and its palmar branch."""
    rows, faults = published["depths_mm"], []
    for row in rows:
        faults += _faults(arm_sections, row, row["min"], row["max"], "mm deep", _depth)

    assert rows
    assert [] == faults, "\n".join(faults)


def test_every_row_has_a_source(dataset, published):
    """Every value from outside names a key of the bibliography and what was read of it."""
    rows = [entry for entry in published.values() if isinstance(entry, dict)]
    rows += [row for entry in published.values() if isinstance(entry, list) for row in entry]
    rows += [row for row in published["girths_mm"].values() if row is not published["girths_mm"]["scales"]]
    keys = [row["source"] for row in rows if "values" in row or "structure" in row or "men" in row]
    seen = [row["seen"] for row in rows if "values" in row or "structure" in row or "men" in row]

    assert (set(), set()) == (set(keys) - set(dataset.sources), set(seen) - {"table", "abstract", "memory"})


def _faults(sections, row, low: float, high: float, unit: str, measure) -> list[str]:
    """Return one line for a row that fails anywhere: the heights and the worst value."""
    found = {}
    for section in in_range(sections, row["z_mm"]):
        value = measure(section, row["structure"]) if outline(section, row["structure"]) is not None else None
        if value is None or not low - 1e-9 <= value <= high + 1e-9:
            found[section.z_mm] = value
    if not found:
        return []
    what = f"{row['structure']}, {row['where']} (z {row['z_mm'][0]}–{row['z_mm'][1]})"
    absent = [z for z, value in found.items() if value is None]
    if absent:
        return [f"{what}: not cut at z {min(absent):g}–{max(absent):g}"]
    worst = max(found, key=lambda z: max(low - found[z], found[z] - high))
    return [
        f"{what}: {found[worst]:.2f} {unit} at z {worst:g}, published {low:.2f}–{high:.2f}; "
        f"fails at {len(found)} heights from z {min(found):g} to {max(found):g}"
    ]


def _diameter(section, name: str) -> float:
    return 2 * math.sqrt(outline(section, name).area / math.pi)


def _depth(section, name: str) -> float:
    return skin(section).exterior.distance(outline(section, name))

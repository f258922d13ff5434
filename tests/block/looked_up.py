"""A chance read off the table that goes to the browser, in the browser's own way."""

from __future__ import annotations

from typing import Any

from wristward.block.table import numbers_of


def look_up(
    table: dict[str, Any], *, reading: str, curve: str, z_mm: float, length_mm: float, sd_mm: float, length_scale: float
) -> float:
    """Read a chance off the table, as the browser does; arguments in mm of the arm, outside the axes held at their ends.

    Raises:
        KeyError: If the table has no such curve.
    """
    axes, named = table["axes"], table["curves"]
    text = named["both_readings"].get(curve)
    flat = numbers_of(named[reading][curve] if text is None else text)
    lengths, sds = axes["length_mm"], axes["sd_mm"]
    edge = ((z_mm + length_mm / 2) / length_scale - axes["edge_mm"]["start"]) / axes["edge_mm"]["step"]
    edge = min(max(edge, 0.0), axes["edge_mm"]["count"] - 1.0)
    row, along_edge = _place(edge, list(range(axes["edge_mm"]["count"])))
    column, along_length = _place(length_mm / length_scale, lengths)
    layer, along_sd = _place((sd_mm / length_scale) ** 2, [sd * sd for sd in sds])
    total = 0.0
    for a, share_a in ((0, 1 - along_edge), (1, along_edge)):
        for b, share_b in ((0, 1 - along_length), (1, along_length)):
            for c, share_c in ((0, 1 - along_sd), (1, along_sd)):
                index = ((row + a) * len(lengths) + column + b) * len(sds) + layer + c
                total += share_a * share_b * share_c * float(flat[index])
    return total / float(table["full"])


def _place(value: float, nodes: list[float]) -> tuple[int, float]:
    """Return the node below a value and how far it lies to the next one, 0 to 1; never the last node."""
    value = min(max(value, nodes[0]), nodes[-1])
    index = max(i for i in range(len(nodes) - 1) if nodes[i] <= value)
    return index, (value - nodes[index]) / (nodes[index + 1] - nodes[index])

"""Draw a lower event given an upper one: both keep their distributions, and the order holds in every limb.

Among all joint distributions that do both, the one closest to independence is taken (least Kullback-Leibler distance to
the product): its density is ``a(upper) * b(lower)`` where the order holds and 0 elsewhere. On cells of equal height the two
factors are found by iterative proportional fitting; the zeros are a staircase, so each round is two running sums:

    lower cell        x = allowed: the whole lower cell lies below the whole upper cell
      3   .  .  .  .
      2   .  .  .  x
      1   .  .  x  x
      0   .  x  x  x
          0  1  2  3  upper cell

Where the distributions come so close that the staircase leaves no room, equal shares are paired instead (the lower event at
the same quantile as the upper one). That holds whenever any coupling does (Strassen's theorem).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from wristward.anatomy.arrays import Floats
from wristward.block.blocks import Event
from wristward.block.distribution import height_at, share_below

CELL_MM = 0.5
RESIDUAL = 1e-10
"""Largest difference of a cell's share from its own distribution that is let pass."""

ROUNDS = 20_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Coupling:
    """How the lower of two ordered events follows from the upper."""

    upper: Event
    lower: Event
    edges_mm: Floats
    """Edges of the cells, rising, mm."""

    weights: Floats | None
    """Factor of each lower cell, or None where equal shares are paired."""


def couple(upper: Event, lower: Event) -> Coupling:
    """Fit the coupling of two events of which the first lies above the second in every limb.

    Raises:
        ValueError: If no coupling can keep both distributions and the order.
    """
    low = np.floor(min(upper.min_z_mm, lower.min_z_mm) / CELL_MM) * CELL_MM
    high = max(upper.max_z_mm, lower.max_z_mm)
    edges = low + CELL_MM * np.arange(int(np.ceil((high - low) / CELL_MM)) + 1)
    below_upper, below_lower = share_below(upper, edges), share_below(lower, edges)
    if np.any(below_upper > below_lower + 1e-9):
        raise ValueError(f"'{upper.id}' cannot lie above '{lower.id}' in every limb with both distributions kept")
    if np.any(below_upper[1:] > below_lower[:-1]):
        return Coupling(upper=upper, lower=lower, edges_mm=edges, weights=None)
    weights = _fit(np.diff(below_upper), np.diff(below_lower))
    return Coupling(upper=upper, lower=lower, edges_mm=edges, weights=weights)


def draw_lower(coupling: Coupling, upper_z_mm: Floats, share: Floats) -> Floats:
    """Draw heights of the lower event.

    Args:
        coupling: The pair.
        upper_z_mm: Heights of the upper event, shape (n,), mm.
        share: Uniform on [0, 1), independent of them, shape (n,).

    Returns:
        Heights of the lower event, shape (n,), mm, each at or below its upper one.
    """
    if coupling.weights is None:
        return np.minimum(height_at(coupling.lower, share_below(coupling.upper, upper_z_mm)), upper_z_mm)
    edges, lower = coupling.edges_mm, coupling.lower
    cell = np.clip(np.searchsorted(edges, upper_z_mm, side="right") - 1, 0, edges.size - 2)
    running = np.concatenate([[0.0], np.cumsum(coupling.weights)])
    wanted = share * running[cell]
    drawn = np.clip(np.searchsorted(running, wanted, side="right") - 1, 0, np.maximum(cell - 1, 0))
    weight = np.where(coupling.weights[drawn] > 0, coupling.weights[drawn], 1.0)
    within = np.clip((wanted - running[drawn]) / weight, 0.0, 1.0)
    below = share_below(lower, edges)
    z_mm = height_at(lower, below[drawn] + within * (below[drawn + 1] - below[drawn]))
    drawn_mm: Floats = np.clip(z_mm, edges[drawn], edges[drawn + 1])
    return drawn_mm


def _fit(upper_cells: Floats, lower_cells: Floats) -> Floats:
    """Return the factor of each lower cell by iterative proportional fitting under the staircase."""
    factor_lower: Floats = lower_cells.copy()
    for _ in range(ROUNDS):
        # What an upper cell may be paired with: every cell strictly below it.
        reach_down = np.concatenate([[0.0], np.cumsum(factor_lower)[:-1]])
        factor_upper = np.divide(upper_cells, reach_down, out=np.zeros_like(upper_cells), where=reach_down > 0)
        reach_up = np.cumsum(factor_upper[::-1])[::-1]
        reach_up = np.concatenate([reach_up[1:], [0.0]])
        residual = np.abs(factor_lower * reach_up - lower_cells).max()
        factor_lower = np.divide(lower_cells, reach_up, out=np.zeros_like(lower_cells), where=reach_up > 0)
        if residual < RESIDUAL:
            return factor_lower
    raise ArithmeticError("the coupling of two events did not settle")

"""Areas to weights: how far each muscle reaches from its spine so that it gets its share of the space.

A point belongs to the muscle with the least ``cost − weight``; loose tissue takes part with cost and
weight 0, so a muscle ends where its cost exceeds its weight. Softened by a small temperature this is
the gradient of a convex function of the weights, which damped Newton steps solve.

Elasticity: a squeezed muscle gives up some area instead of pushing its neighbours away,

    area_i = target_i · (1 − give((w_i − w0_i) / r_i)),

with w0 the reach the spine would need with nobody near, and r the radius of a disc of the belly's area.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

TEMPERATURE_MM = 0.3
REST = 0.3
"""Reach beyond the natural one, over the belly's radius, at which it gives nothing: corners need reach."""

GIVE_SLOPE = 0.35
GIVE_LIMIT = 0.35
STIFF_SLOPE = 0.02
TOLERANCE = 1e-7
MOST_STEPS = 60

DIGITS = 4
"""Decimals kept of a solved reach, mm.

The last digits differ with the processor and the number of threads of linear algebra. Without them a section is the same
on each machine, asked for alone or swept; a ten-thousandth of a millimetre of reach is not seen.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """Solved reaches."""

    weight_mm: np.ndarray
    elastic_mm2: np.ndarray
    """Elastic targets, mm²."""


def natural_reach(area_mm2: np.ndarray, length_mm: np.ndarray) -> np.ndarray:
    """Return the reach at which a strip about a spine of this length has this area: πw² + 2Lw = A."""
    return (-length_mm + np.sqrt(length_mm**2 + np.pi * area_mm2)) / np.pi


def solve_weights(
    *,
    cost_mm: np.ndarray,
    share_mm2: np.ndarray,
    target_mm2: np.ndarray,
    extra_mm2: np.ndarray,
    natural_mm: np.ndarray,
    radius_mm: np.ndarray,
    elastic: np.ndarray,
    start_mm: np.ndarray,
) -> Weights:
    """Solve the weights.

    Args:
        cost_mm: Cost of each belly at each cell, shape (m, n).
        share_mm2: Free area of each cell, shape (n,).
        target_mm2: Areas asked for, shape (m,).
        extra_mm2: Area lost later to septa and rounding, added to the elastic target, shape (m,).
        natural_mm: Natural reach times stiffness, shape (m,).
        radius_mm: Radius of a disc of the belly's area, times stiffness, shape (m,).
        elastic: True where the belly may give, False for tendons, shape (m,).
        start_mm: Weights to start from, shape (m,).
    """
    slope = np.where(elastic, GIVE_SLOPE, STIFF_SLOPE)
    weight = start_mm.copy()
    value, gradient, curvature = _objective(
        weight, cost_mm, share_mm2, target_mm2, extra_mm2, natural_mm, radius_mm, slope
    )
    for _ in range(MOST_STEPS):
        if np.abs(gradient).max() < TOLERANCE * target_mm2.sum():
            break
        move = np.linalg.solve(curvature, -gradient)
        limit = 1.5
        move *= min(1.0, limit / max(np.abs(move).max(), 1e-12))
        descent = gradient @ move
        stride = 1.0
        while True:
            trial = weight + stride * move
            result = _objective(trial, cost_mm, share_mm2, target_mm2, extra_mm2, natural_mm, radius_mm, slope)
            if result[0] <= value + 1e-4 * stride * descent or stride < 1e-4:
                break
            stride /= 2
        weight = trial
        value, gradient, curvature = result
    weight = np.round(weight, DIGITS)
    give, _, _ = _give((weight - natural_mm) / radius_mm, slope)
    return Weights(weight_mm=weight, elastic_mm2=target_mm2 * (1 - give))


def _objective(weight, cost, share, target, extra, natural, radius, slope):
    """Return the convex function, its gradient and its curvature."""
    gain = (weight[:, None] - cost) / TEMPERATURE_MM
    top = np.maximum(gain.max(axis=0), 0.0)
    raised = np.exp(gain - top)
    total = raised.sum(axis=0) + np.exp(-top)
    part = raised / total
    weighted = part * share
    area = weighted.sum(axis=1)
    value = TEMPERATURE_MM * ((top + np.log(total)) * share).sum()
    give, give_slope, give_sum = _give((weight - natural) / radius, slope)
    value += (target * radius * give_sum).sum() - ((target + extra) * weight).sum()
    gradient = area - target * (1 - give) - extra
    curvature = -(weighted @ part.T) / TEMPERATURE_MM
    curvature[np.diag_indices_from(curvature)] += area / TEMPERATURE_MM + target * give_slope / radius + 1e-9
    return value, gradient, curvature


def _give(excess, slope):
    """Return the share given up, its slope and its integral, as functions of the reach in excess, in radii."""
    x = (excess - REST) * slope / GIVE_LIMIT
    give = GIVE_LIMIT * np.tanh(x)
    return give, slope / np.cosh(np.clip(x, -30, 30)) ** 2, GIVE_LIMIT**2 / slope * _log_cosh(x)


def _log_cosh(x):
    size = np.abs(x)
    return size + np.log1p(np.exp(-2 * size)) - np.log(2)

"""Where nerves, vessels and digit tendons come to lie: near their knots, at their stated gaps, off bone.

The knots say roughly where, the catalogue's rules say beside what and how far. A fixed number of small
moves makes room; every move is a continuous function of the knots, so nothing jumps from one millimetre
to the next. Muscles then make way (``seams``): a nerve is not dragged to wherever two cells happen to meet.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.bench.landed_solver.grid import bone_distance, sheet_distance
from wristward.anatomy.curves import THETA
from wristward.anatomy.plan import Disc, Plan

ROUNDS = 40
DISC_GAP_MM = 0.3
BONE_GAP_MM = 0.7
FASCIA_GAP_MM = 0.35
SKIN_MM = 1.4
"""Thickness of skin that nothing enters (section-geometry B: 1.2–1.7, recalled)."""

DRAW_MM = 3.0
"""Farthest that a disc is drawn from its knot onto the sheet it runs on."""

STEP_MM = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A disc at its place."""

    disc: Disc
    at_mm: np.ndarray
    half_width_mm: float
    half_height_mm: float
    tilt_deg: float
    subcutaneous: float
    """1 outside the deep fascia, 0 inside, between while it pierces."""

    @property
    def radius_mm(self) -> float:
        """Radius of the circle of equal area."""
        return float(np.sqrt(self.half_width_mm * self.half_height_mm))


def settle(plan: Plan) -> tuple[Settled, ...]:
    """Place every disc of the plan.

    Returns:
        One record a disc, in the plan's order; ones placed by ``beside`` alone follow their neighbour.
    """
    if not plan.discs:
        return ()
    index = {disc.id: k for k, disc in enumerate(plan.discs)}
    radius = np.array([np.sqrt(d.half_width_mm * d.half_height_mm) for d in plan.discs])
    skin_share = np.array([_subcutaneous(d) for d in plan.discs])
    places = _first_places(plan, index, radius)
    axes = np.array([_axes(plan, d, places[k], skin_share[k]) for k, d in enumerate(plan.discs)]).reshape(-1, 3)
    anchored = np.array([d.at_mm is not None for d in plan.discs])
    anchors = places.copy()
    hinted = np.hypot(*(places - plan.centre_mm).T)
    _draw_to_sheets(plan, radius, places)
    for _ in range(ROUNDS):
        _keep_gaps(plan, index, axes, anchors, places)
        _part_discs(axes, skin_share, places)
        _keep_inside(plan, radius, skin_share, hinted, places)
    _keep_gaps(plan, index, axes, anchors, places, only=~anchored)
    return tuple(_settled(plan, disc, places[k], skin_share[k]) for k, disc in enumerate(plan.discs))


def _settled(plan: Plan, disc: Disc, place: np.ndarray, skin_share: float) -> Settled:
    width, height, tilt = _axes(plan, disc, place, skin_share)
    return Settled(
        disc=disc,
        at_mm=np.array(place),
        half_width_mm=width,
        half_height_mm=height,
        tilt_deg=tilt,
        subcutaneous=float(skin_share),
    )


def _subcutaneous(disc: Disc) -> float:
    return max((run.strength for run in disc.runs if run.inside == "subcutaneous"), default=0.0)


def _first_places(plan: Plan, index, radius) -> np.ndarray:
    places = np.zeros((len(plan.discs), 2))
    placed = np.zeros(len(plan.discs), dtype=bool)
    for k, disc in enumerate(plan.discs):
        if disc.at_mm is not None:
            places[k], placed[k] = disc.at_mm, True
    for _ in range(4):
        for k, disc in enumerate(plan.discs):
            if placed[k]:
                continue
            for rule in disc.beside:
                other = index.get(rule.structure)
                if other is not None and placed[other]:
                    bearing = np.radians(rule.bearing_deg if rule.bearing_deg is not None else 90.0)
                    reach = radius[k] + radius[other] + rule.gap_mm
                    places[k] = places[other] + reach * np.array([np.cos(bearing), np.sin(bearing)])
                    placed[k] = True
    return places


def _keep_gaps(plan: Plan, index, axes, anchors, places, only=None) -> None:
    for k, disc in enumerate(plan.discs):
        if only is not None and not only[k]:
            continue
        for rule in disc.beside:
            other = index.get(rule.structure)
            if other is None:
                continue
            offset = places[k] - places[other]
            away = float(np.hypot(*offset))
            direction = offset / away if away > 1e-6 else np.array([0.0, 1.0])
            if rule.bearing_deg is not None and disc.at_mm is None:
                # One that has no knots keeps to its bearing unless it is pushed off it.
                wanted = np.array([np.cos(np.radians(rule.bearing_deg)), np.sin(np.radians(rule.bearing_deg))])
                direction = 0.8 * direction + 0.2 * wanted
                direction /= max(np.hypot(*direction), 1e-9)
            reach = _reach_along(axes[k], direction) + _reach_along(axes[other], direction)
            goal = places[other] + direction * (reach + rule.gap_mm)
            # Rounds add up: the goal itself is only as near the neighbour as the rule is strong here.
            goal = anchors[k] + rule.strength * (goal - anchors[k])
            places[k] += rule.strength * (goal - places[k])


def _reach_along(axes, direction) -> float:
    """Return the distance from an ellipse's centre to its edge along a direction, mm."""
    width, height, tilt = axes
    angle = np.arctan2(direction[1], direction[0]) - np.radians(tilt)
    return width * height / float(np.hypot(height * np.cos(angle), width * np.sin(angle)))


def _part_discs(axes, skin_share, places) -> None:
    """Push overlapping ellipses apart along the line between them, the smaller one more."""
    if len(places) < 2:
        return
    offset = places[:, None] - places[None]
    away = np.hypot(offset[..., 0], offset[..., 1])
    np.fill_diagonal(away, np.inf)
    angle = np.arctan2(offset[..., 1], offset[..., 0]) - np.radians(axes[:, 2])[:, None]
    width, height = axes[:, :1], axes[:, 1:2]
    reach = width * height / np.hypot(height * np.cos(angle), width * np.sin(angle))
    lack = reach + reach.T + DISC_GAP_MM - away
    lack *= np.abs(skin_share[:, None] - skin_share[None]) < 0.6
    size = (axes[:, 0] * axes[:, 1])[:, None]
    stride = 0.5 * np.maximum(lack, 0.0) * size.T / (size + size.T) / np.maximum(away, 1e-6)
    places += (stride[..., None] * offset).sum(axis=1)


def _keep_inside(plan: Plan, radius, skin_share, hinted, places) -> None:
    """Keep discs off bones and sheets and on their side of the fascia."""
    for bone in plan.bones:
        lack = radius + BONE_GAP_MM - bone_distance(places, bone)
        _push_out(places, np.maximum(lack, 0.0), lambda p, b=bone: bone_distance(p, b))
    for sheet in plan.sheets:
        lack = np.maximum(radius + DISC_GAP_MM - sheet_distance(places, sheet), 0.0) * (skin_share < 0.5)
        _push_out(places, lack, lambda p, s=sheet: sheet_distance(p, s))
    offset = places - plan.centre_mm
    reach = np.hypot(offset[:, 0], offset[:, 1])
    bearing = np.arctan2(offset[:, 1], offset[:, 0]) % (2 * np.pi)
    skin, fascia = _layers(plan, bearing)
    half = np.minimum(radius, (skin - fascia) / 2)
    # Both limits move with the share that is outside, so a nerve crosses the fascia over its blend, not at once.
    deepest = (1 - skin_share) * np.minimum(hinted, fascia) + skin_share * (fascia + half)
    highest = (1 - skin_share) * (fascia - 2 * FASCIA_GAP_MM - radius) + skin_share * np.maximum(
        skin - half, fascia + half
    )
    goal = np.minimum(
        np.where(skin_share > 0, np.maximum(reach, deepest), reach), np.maximum(highest, deepest * (skin_share > 0))
    )
    places[:] = plan.centre_mm + offset * (goal / np.maximum(reach, 1e-9))[:, None]


def _layers(plan: Plan, bearing):
    """Return the reach of the skin's inner face and of the fat's inner limit at bearings (radians), mm."""
    skin = np.interp(bearing, THETA, plan.skin_radii_mm, period=2 * np.pi) - SKIN_MM
    fascia = np.interp(bearing, THETA, plan.fascia_radii_mm, period=2 * np.pi) + FASCIA_GAP_MM
    return skin, fascia


def _draw_to_sheets(plan: Plan, radius, places) -> None:
    """Draw discs that run on a sheet against it, on whichever side they are, by at most ``DRAW_MM``."""
    for sheet in plan.sheets:
        for k, disc in enumerate(plan.discs):
            strength = max((run.strength for run in disc.runs if run.on == sheet.id), default=0.0)
            if strength > 0:
                here = places[k : k + 1]
                lack = radius[k] + DISC_GAP_MM - float(sheet_distance(here, sheet)[0])
                move = strength * DRAW_MM * np.tanh(lack / DRAW_MM)
                _push_out(here, np.array([move]), lambda p, s=sheet: sheet_distance(p, s))


def _push_out(places, amount, distance) -> None:
    """Move places along the gradient of a distance by the given amounts, mm."""
    moving = np.abs(amount) > 1e-9
    if not moving.any():
        return
    here = places[moving]
    base = distance(here)
    slope = np.stack(
        [(distance(here + np.array([STEP_MM, 0.0])) - base), (distance(here + np.array([0.0, STEP_MM])) - base)], axis=1
    )
    size = np.hypot(slope[:, 0], slope[:, 1])
    direction = slope / np.maximum(size, 1e-12)[:, None]
    places[moving] = here + amount[moving, None] * direction


def _axes(plan: Plan, disc: Disc, place: np.ndarray, skin_share: float) -> tuple[float, float, float]:
    """Return half-width, half-height and tilt; a disc in the fat is flattened to the fat's depth, its area kept."""
    width, height, tilt = disc.half_width_mm, disc.half_height_mm, disc.tilt_deg
    if skin_share > 0:
        offset = place - plan.centre_mm
        bearing = np.arctan2(offset[1], offset[0]) % (2 * np.pi)
        skin, fascia = _layers(plan, bearing)
        area = width * height
        flat = min(np.sqrt(area), 0.92 * max((skin - fascia) / 2, 0.3))
        height += (flat - height) * skin_share
        width, tilt = area / height, float(np.degrees(bearing)) + 90.0
    return float(width), float(height), float(tilt)

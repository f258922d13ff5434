"""Where nerves, vessels and digit tendons come to lie: near their knots, at their stated gaps, off bone.

The knots say roughly where, the catalogue's rules say beside what and how far. A fixed number of small
moves makes room; every move is a continuous function of the knots, so nothing jumps from one millimetre
to the next. Muscles then make way (``seams``): a nerve is not dragged to wherever two cells happen to meet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from wristward.anatomy.arrays import Floats, Indexes
from wristward.anatomy.plan import Disc, Plan
from wristward.section.gaps import gap_rules, keep_gaps
from wristward.section.parting import DISC_GAP_MM, MOVED_MM, Parting
from wristward.section.star import Stars, polar
from wristward.section.surfaces import Sheets, push_out, surfaces_of

ROUNDS = 40
FASCIA_GAP_MM = 0.35
SKIN_MM = 1.4
"""Thickness of skin that nothing enters (section-geometry B: 1.2–1.7, recalled)."""

DRAW_MM = 3.0
"""Farthest that a disc is drawn from its knot onto the sheet it runs on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """A disc at its place."""

    disc: Disc
    at_mm: Floats
    half_width_mm: float
    half_height_mm: float
    tilt_deg: float
    subcutaneous: float
    """1 outside the deep fascia, 0 inside, between while it pierces."""

    @property
    def radius_mm(self) -> float:
        """Radius of the circle of equal area."""
        return float(np.sqrt(self.half_width_mm * self.half_height_mm))


def settle_many(plans: Sequence[Plan]) -> list[tuple[Settled, ...]]:
    """Place the discs of several plans; each plan's come to lie where they would alone, to the last digit.

    Returns:
        For each plan a record a disc, in its order; ones placed by ``beside`` alone follow their neighbour.
    """
    discs = [disc for plan in plans for disc in plan.discs]
    if not discs:
        return [() for _ in plans]
    starts = np.cumsum([0] + [len(plan.discs) for plan in plans])
    own = [slice(a, b) for a, b in zip(starts[:-1], starts[1:], strict=True)]
    plan_of = np.repeat(np.arange(len(plans)), np.diff(starts))
    half = np.array([(disc.half_width_mm, disc.half_height_mm, disc.tilt_deg) for disc in discs])
    radius = np.sqrt(half[:, 0] * half[:, 1])
    skin_share = np.array([_subcutaneous(disc) for disc in discs])
    places = np.concatenate([_first_places(plan, radius[a]) for plan, a in zip(plans, own, strict=True)])
    layers = _Layers(plans, plan_of, radius, skin_share, places)
    axes = layers.flattened(half, places)
    rules = [
        rule
        for plan, a in zip(plans, own, strict=True)
        for rule in gap_rules(plan.discs, axes[a], places[a], first=a.start)
    ]
    for plan, a in zip(plans, own, strict=True):
        _draw_to_sheets(plan, radius[a], places[a])
    parting = Parting(axes, skin_share, starts)
    surfaces = surfaces_of(plans, plan_of, radius, skin_share)
    seen = np.full_like(places, np.inf)
    for _ in range(ROUNDS):
        keep_gaps(rules, places)
        if np.abs(places - seen).max() > MOVED_MM:
            seen = places.copy()
            parting.look(places)
            for surface in surfaces:
                surface.look(places)
        parting.part(places)
        for surface in surfaces:
            surface.keep_off(places)
        layers.keep_inside(places)
    keep_gaps([rule for rule in rules if discs[rule.disc].at_mm is None], places)
    axes = layers.flattened(half, places).tolist()
    settled = [
        Settled(
            disc=disc,
            at_mm=place.copy(),
            half_width_mm=width,
            half_height_mm=height,
            tilt_deg=tilt,
            subcutaneous=float(share),
        )
        for disc, place, (width, height, tilt), share in zip(discs, places, axes, skin_share, strict=True)
    ]
    return [tuple(settled[a]) for a in own]


def _subcutaneous(disc: Disc) -> float:
    return max((run.strength for run in disc.runs if run.inside == "subcutaneous"), default=0.0)


def _first_places(plan: Plan, radius: Floats) -> Floats:
    index = {disc.id: k for k, disc in enumerate(plan.discs)}
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


def _draw_to_sheets(plan: Plan, radius: Floats, places: Floats) -> None:
    """Draw discs that run on a sheet against it, on whichever side they are, by at most ``DRAW_MM``."""
    row = np.zeros(1, dtype=int)
    for sheet in plan.sheets:
        distance = Sheets([sheet])
        strengths = [max((run.strength for run in disc.runs if run.on == sheet.id), default=0.0) for disc in plan.discs]
        for k in np.flatnonzero(strengths):
            lack = radius[k] + DISC_GAP_MM - distance(places[k : k + 1], row)
            push_out(places, np.array([k]), strengths[k] * DRAW_MM * np.tanh(lack / DRAW_MM), distance, row)


class _Layers:
    """Skin and fascia of several plans, between which the discs lie."""

    def __init__(
        self,
        plans: Sequence[Plan],
        plan_of: Indexes,
        radius: Floats,
        skin_share: Floats,
        first_places: Floats,
    ) -> None:
        self._centre = np.array([plan.centre_mm for plan in plans])[plan_of]
        self._skin = Stars(np.array([plan.skin_radii_mm for plan in plans]))
        self._fascia = Stars(np.array([plan.fascia_radii_mm for plan in plans]))
        self._plan_of, self._radius, self._skin_share = plan_of, radius, skin_share
        self._hinted = np.hypot(*(first_places - self._centre).T)

    def _at(self, bearing: Floats) -> tuple[Floats, Floats]:
        """Return the reach of the skin's inner face and of the fat's inner limit at each disc's bearing, mm."""
        skin = self._skin.radius(bearing, self._plan_of) - SKIN_MM
        return skin, self._fascia.radius(bearing, self._plan_of) + FASCIA_GAP_MM

    def keep_inside(self, places: Floats) -> None:
        """Keep discs on their side of the fascia."""
        offset = places - self._centre
        reach, bearing = polar(offset[:, 0], offset[:, 1])
        skin, fascia = self._at(bearing)
        radius, outside, inside = self._radius, self._skin_share, 1 - self._skin_share
        half = np.minimum(radius, (skin - fascia) / 2)
        # Both limits move with the share that is outside, so a nerve crosses the fascia over its blend, not at once.
        deepest = inside * np.minimum(self._hinted, fascia) + outside * (fascia + half)
        highest = inside * (fascia - 2 * FASCIA_GAP_MM - radius) + outside * np.maximum(skin - half, fascia + half)
        in_fat = outside > 0
        goal = np.minimum(np.where(in_fat, np.maximum(reach, deepest), reach), np.maximum(highest, deepest * in_fat))
        places[:] = self._centre + offset * (goal / np.maximum(reach, 1e-9))[:, None]

    def flattened(self, half: Floats, places: Floats) -> Floats:
        """Return half-width and half-height, mm, and tilt, degrees; discs in the fat are flattened to its depth, their area kept."""
        offset = places - self._centre
        _, bearing = polar(offset[:, 0], offset[:, 1])
        skin, fascia = self._at(bearing)
        width, height, tilt = half.T
        area = width * height
        flat = np.minimum(np.sqrt(area), 0.92 * np.maximum((skin - fascia) / 2, 0.3))
        flattened = height + (flat - height) * self._skin_share
        drawn = np.stack([area / flattened, flattened, np.degrees(bearing) + 90.0], axis=1)
        return np.where((self._skin_share > 0)[:, None], drawn, half)

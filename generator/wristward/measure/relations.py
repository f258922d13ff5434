"""Does a fact hold on a solved section? One small decision for each kind of claim.

Claims are records of ``wristward.data.records.relation_kinds``; no structure is named here. A verdict carries the
number it rests on, so that an author sees by how much a fact fails.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from wristward.data.records import relation_kinds as kinds
from wristward.data.records.record import Record
from wristward.data.records.relation import RelationRecord
from wristward.measure import rings as shapes
from wristward.measure.cut import (
    bearing_between,
    centre_of,
    members,
    middle_of,
    rings_of,
    rings_of_any,
)
from wristward.measure.directions import Directions
from wristward.measure.rings import Rings
from wristward.section.section import Point, Section

LINE_STEP_MM = 0.25
"""Spacing of the lines that compare two structures side by side."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """The answer to one claim at one height."""

    holds: bool
    value: float | None
    """The number compared, in the unit the detail names; None where there is none, as for what is not cut."""

    detail: str
    """What was found and what is allowed, in words for an author."""


Step = list[tuple[float, str]]
"""Places and names of structures that may stand in either order."""


class NotCut(Exception):
    """A claim names a structure that the section does not cut."""


def evaluate(relation: RelationRecord, section: Section, ways: Directions) -> Verdict:
    """Decide one relation on one section; a named structure that is not cut makes it fail.

    Args:
        relation: Record of relations.yaml.
        section: The cut, right or left.
        ways: The region's directions, by which claims name sides.
    """
    return evaluate_claim(relation.kind, relation.claim, section, ways)


def evaluate_claim(kind: str, claim: Record, section: Section, ways: Directions) -> Verdict:
    """Decide a claim of a kind named in ``RELATION_KINDS`` on one section."""
    try:
        return _EVALUATORS[kind](claim, section, ways)
    except NotCut as error:
        return Verdict(False, None, f"{error} is not cut")


def _in_seam(claim: kinds.InSeam, section: Section, ways: Directions) -> Verdict:
    rings = _rings(section, claim.structure)
    gaps = [(shapes.distance_mm(rings, _rings_any(section, names)), _list(names)) for names in claim.between]
    gap, far = max(gaps)
    return _at_most(gap, claim.within_mm, f"{claim.structure} is {{}} mm from {far}")


def _between(claim: kinds.Between, section: Section, ways: Directions) -> Verdict:
    # From its centre, since between long parallel walls the shortest line from edge to edge has no one place.
    centre = _centre(section, claim.structure)
    bearings = [
        bearing_between(section, centre, shapes.nearest_point(centre, _rings_any(section, names)))
        for names in claim.between
    ]
    apart = abs((bearings[1] - bearings[0] + 180.0) % 360.0 - 180.0)
    words = f"{claim.structure} sees {' and '.join(_list(names) for names in claim.between)} {apart:.0f}° apart"
    return Verdict(apart >= claim.least_deg, round(apart, 1), f"{words} (allowed: at least {claim.least_deg:g}°)")


def _touches(claim: kinds.Touches, section: Section, ways: Directions) -> Verdict:
    rings, other = _rings(section, claim.structure), _rings_any(section, claim.other)
    verdict = _at_most(
        shapes.distance_mm(rings, other), claim.within_mm, f"{claim.structure} is {{}} mm from {_list(claim.other)}"
    )
    return verdict if not verdict.holds else _facing(claim, section, ways, verdict)


def _clear_of(claim: kinds.ClearOf, section: Section, ways: Directions) -> Verdict:
    gap = shapes.distance_mm(_rings(section, claim.structure), _rings_any(section, claim.other))
    return _at_least(gap, claim.least_mm, f"{claim.structure} is {{}} mm from {_list(claim.other)}")


def _gap(claim: kinds.Gap, section: Section, ways: Directions) -> Verdict:
    gap = shapes.distance_mm(_rings(section, claim.structure), _rings_any(section, claim.other))
    verdict = _within(gap, claim, f"{claim.structure} is {{}} mm from {_list(claim.other)}")
    return verdict if not verdict.holds else _facing(claim, section, ways, verdict)


def _facing(claim: kinds.Touches | kinds.Gap, section: Section, ways: Directions, verdict: Verdict) -> Verdict:
    """Fail a claim whose structure is near enough but on the wrong side of the other."""
    if claim.toward is None:
        return verdict
    centre = _centre(section, claim.structure)
    lead = _lead(section, ways, claim.toward, centre, shapes.nearest_point(centre, _rings_any(section, claim.other)))
    if lead > 0:
        return verdict
    words = f"{claim.structure} lies {-lead:.1f} mm {ways.opposite(claim.toward)} of {_list(claim.other)}"
    return Verdict(False, round(lead, 2), f"{words} (allowed: {claim.toward} of it)")


def _centre_distance(claim: kinds.CentreDistance, section: Section, ways: Directions) -> Verdict:
    apart = math.dist(_centre(section, claim.structure), _centre(section, claim.other))
    return _within(apart, claim, f"centres of {claim.structure} and {claim.other} are {{}} mm apart")


def _depth(claim: kinds.Depth, section: Section, ways: Directions) -> Verdict:
    depth = shapes.shortest_line_to_edge(_rings(section, claim.structure), section.skin_mm).distance_mm
    return _within(depth, claim, f"{claim.structure} is {{}} mm deep")


def _fascia_gap(claim: kinds.FasciaGap, section: Section, ways: Directions) -> Verdict:
    gap = shapes.shortest_line_to_edge(_rings(section, claim.structure), section.fascia_mm).distance_mm
    return _within(gap, claim, f"{claim.structure} is {{}} mm from the deep fascia")


def _skin_share(claim: kinds.SkinShare, section: Section, ways: Directions) -> Verdict:
    x, y = ways.vector(section, claim.toward)
    across = [point[0] * x + point[1] * y for point in section.skin_mm]
    centre = _centre(section, claim.structure)
    share = 100 * (centre[0] * x + centre[1] * y - min(across)) / (max(across) - min(across))
    words = f"centre of {claim.structure} lies at {share:.1f} % of the skin's width toward {claim.toward}"
    allowed = f"(allowed: {claim.min_percent:g} to {claim.max_percent:g} %)"
    return Verdict(claim.min_percent <= share <= claim.max_percent, round(share, 2), f"{words} {allowed}")


def _side(claim: kinds.Side, section: Section, ways: Directions) -> Verdict:
    lead = _lead(section, ways, claim.toward, _centre(section, claim.structure), _centre(section, claim.of))
    words = f"centre of {claim.structure} lies {lead:.1f} mm {claim.toward} of {claim.of}"
    return Verdict(lead >= claim.least_mm, round(lead, 2), f"{words} (allowed: at least {claim.least_mm:g} mm)")


def _deep_to(claim: kinds.DeepTo, section: Section, ways: Directions) -> Verdict:
    cover = _rings_any(section, claim.cover)
    starts = [point for ring in _rings(section, claim.structure) for point in ring]
    along = section.skin_mm if claim.along == "skin" else ways.vector(section, claim.along)
    share = shapes.share_covered(starts, cover, along=along)
    words = f"{share:.0%} of the outline of {claim.structure} is covered by {_list(claim.cover)} toward {claim.along}"
    return Verdict(share >= claim.least_share, round(share, 3), f"{words} (allowed: at least {claim.least_share:.0%})")


def _on_every_line(claim: kinds.OnEveryLine, section: Section, ways: Directions) -> Verdict:
    direction = ways.vector(section, claim.toward)
    worst, place = shapes.interlock_mm(
        _rings(section, claim.structure), _rings_any(section, claim.of), direction=direction, step_mm=LINE_STEP_MM
    )
    words = f"{claim.structure} and {_list(claim.of)} interlock by {worst:.1f} mm"
    place_words = "" if place is None else f" at {'x' if direction[0] == 0 else 'y'} {place:.1f} mm"
    return Verdict(
        worst <= claim.allow_mm,
        round(worst, 2),
        f"{words}{place_words} (allowed: {claim.allow_mm:g} mm, {claim.structure} {claim.toward})",
    )


def _inside(claim: kinds.Inside, section: Section, ways: Directions) -> Verdict:
    centre, container = _centre(section, claim.structure), _rings(section, claim.container)
    holds = shapes.is_in_closed(centre, container, slit_mm=claim.slit_mm)
    gap = shapes.distance_mm(_rings(section, claim.structure), container)
    words = f"{claim.structure} is {'inside' if holds else 'outside'} {claim.container}, {gap:.1f} mm from its fibres"
    return Verdict(holds, round(gap, 2), f"{words} (allowed: inside, between parts up to {claim.slit_mm:g} mm apart)")


def _outside_fascia(claim: kinds.OutsideFascia, section: Section, ways: Directions) -> Verdict:
    beyond = -shapes.depth_inside_mm(_centre(section, claim.structure), section.fascia_mm)
    holds = beyond >= 0 and all(s.layer == "subcutaneous" for s in members(section, claim.structure))
    return Verdict(holds, round(beyond, 2), f"{_layer_words(claim.structure, section, beyond)} (allowed: outside it)")


def _subfascial(claim: kinds.Subfascial, section: Section, ways: Directions) -> Verdict:
    beyond = -shapes.depth_inside_mm(_centre(section, claim.structure), section.fascia_mm)
    holds = beyond <= 0 and all(s.layer == "subfascial" for s in members(section, claim.structure))
    return Verdict(holds, round(-beyond, 2), f"{_layer_words(claim.structure, section, beyond)} (allowed: deep to it)")


def _layer_words(name: str, section: Section, beyond: float) -> str:
    layers = sorted({s.layer for s in members(section, name)})
    place = f"{abs(beyond):.1f} mm {'outside' if beyond >= 0 else 'deep to'} the deep fascia"
    return f"centre of {name} lies {place}, its layer is '{_list(layers)}'"


def _order(claim: kinds.Order, section: Section, ways: Directions) -> Verdict:
    vector = ways.vector(section, claim.toward)
    steps = _steps(claim, section, lambda name: sum(a * b for a, b in zip(_centre(section, name), vector, strict=True)))
    worst = min(
        ((min(p for p, _ in after) - max(p for p, _ in before), before, after) for before, after in _pairs(steps)),
        key=lambda found: found[0],
    )
    last, first = max(worst[1])[1], min(worst[2])[1]
    words = f"{first} lies {worst[0]:.1f} mm {claim.toward} of {last}"
    return Verdict(worst[0] > 0, round(worst[0], 2), f"{words} (allowed: more than 0 mm)")


def _ring_order(claim: kinds.RingOrder, section: Section, ways: Directions) -> Verdict:
    middle = middle_of(section)
    steps = _steps(claim, section, lambda name: bearing_between(section, middle, _centre(section, name)))
    # Bearings are unrolled from the first group on, so that each next group must come later in the same turn.
    start = min(bearing for bearing, _ in steps[0])
    if any((bearing - start) % 360.0 > 180.0 for bearing, _ in steps[0]):
        start = min(b for b, _ in steps[0] if b > 180.0)
    unrolled = [[((bearing - start) % 360.0, name) for bearing, name in group] for group in steps]
    worst = min(
        ((min(after)[0] - max(before)[0], max(before)[1], min(after)[1]) for before, after in _pairs(unrolled)),
        key=lambda found: found[0],
    )
    words = f"{worst[2]} comes {worst[0]:.0f}° after {worst[1]} round the limb"
    return Verdict(worst[0] > 0, round(worst[0], 1), f"{words} (allowed: more than 0°)")


def _steps(claim: kinds.Order | kinds.RingOrder, section: Section, place: Callable[[str], float]) -> list[Step]:
    """Return (place, name) of each group in turn; what is not cut is left out only where the claim allows it."""
    steps = []
    for group in claim.of:
        found = [(place(name), name) for name in group if not claim.skip_absent or rings_of(section, name) is not None]
        if found:
            steps.append(found)
    if len(steps) < 2:
        raise NotCut("all but one of the order")
    return steps


def _pairs(steps: Sequence[Step]) -> list[tuple[Step, Step]]:
    return list(zip(steps, steps[1:], strict=False))


def _contents(claim: kinds.Contents, section: Section, ways: Directions) -> Verdict:
    roof, floor = _rings(section, claim.roof), _rings_any(section, claim.floor)
    walls = {claim.roof, *claim.floor}
    inside = set()
    up, down = ways.vector(section, claim.toward), ways.vector(section, ways.opposite(claim.toward))
    for solved in section.structures:
        if solved.id in walls or solved.kind in ("bone", "sheet"):
            continue
        centre = [solved.centre_mm]
        if shapes.share_covered(centre, roof, along=up) and shapes.share_covered(centre, floor, along=down):
            inside.add(solved.id)
    missing, extra = sorted(set(claim.of) - inside), sorted(inside - set(claim.of))
    words = f"{len(inside)} lie between {claim.roof} and {_list(claim.floor)}"
    faults = [f"missing: {', '.join(missing)}"] * bool(missing) + [f"not allowed: {', '.join(extra)}"] * bool(extra)
    return Verdict(not faults, float(len(inside)), f"{words} ({'; '.join(faults) or 'as stated'})")


def _present(claim: kinds.Present, section: Section, ways: Directions) -> Verdict:
    for name in claim.structures:
        if not members(section, name):
            raise NotCut(name)
        tissues = sorted({s.tissue for s in members(section, name)})
        if claim.as_tissue is not None and claim.as_tissue not in tissues:
            return Verdict(False, None, f"{name} is cut as {_list(tissues)} (allowed: {claim.as_tissue})")
    return Verdict(True, float(len(claim.structures)), "all are cut")


def _absent(claim: kinds.Absent, section: Section, ways: Directions) -> Verdict:
    cut = [name for name in claim.structures if members(section, name)]
    if not cut:
        return Verdict(True, 0.0, "none is cut")
    return Verdict(False, float(len(cut)), f"{', '.join(cut)} cut (allowed: none)")


_EVALUATORS: dict[str, Callable[[Any, Section, Directions], Verdict]] = {
    "absent": _absent,
    "between": _between,
    "centre_distance": _centre_distance,
    "clear_of": _clear_of,
    "contents": _contents,
    "deep_to": _deep_to,
    "depth": _depth,
    "fascia_gap": _fascia_gap,
    "gap": _gap,
    "in_seam": _in_seam,
    "inside": _inside,
    "on_every_line": _on_every_line,
    "order": _order,
    "outside_fascia": _outside_fascia,
    "present": _present,
    "ring_order": _ring_order,
    "side": _side,
    "skin_share": _skin_share,
    "subfascial": _subfascial,
    "touches": _touches,
}


def _rings(section: Section, name: str) -> Rings:
    rings = rings_of(section, name)
    if rings is None:
        raise NotCut(name)
    return rings


def _rings_any(section: Section, names: Sequence[str]) -> Rings:
    rings = rings_of_any(section, names)
    if rings is None:
        raise NotCut(_list(names))
    return rings


def _centre(section: Section, name: str) -> Point:
    centre = centre_of(section, name)
    if centre is None:
        raise NotCut(name)
    return centre


def _lead(section: Section, ways: Directions, toward: str, point: Point, other: Point) -> float:
    """Return how much further toward a side one point lies than another, mm."""
    x, y = ways.vector(section, toward)
    return (point[0] - other[0]) * x + (point[1] - other[1]) * y


def _at_most(value: float, limit: float, words: str) -> Verdict:
    return Verdict(value <= limit, round(value, 2), f"{words.format(f'{value:.1f}')} (allowed: at most {limit:g} mm)")


def _at_least(value: float, limit: float, words: str) -> Verdict:
    return Verdict(value >= limit, round(value, 2), f"{words.format(f'{value:.1f}')} (allowed: at least {limit:g} mm)")


def _within(value: float, claim: kinds.Bounds, words: str) -> Verdict:
    limits = [f"at least {claim.min_mm:g}" if claim.min_mm is not None else ""]
    limits.append(f"at most {claim.max_mm:g}" if claim.max_mm is not None else "")
    holds = (claim.min_mm is None or value >= claim.min_mm) and (claim.max_mm is None or value <= claim.max_mm)
    allowed = " and ".join(limit for limit in limits if limit)
    return Verdict(holds, round(value, 2), f"{words.format(f'{value:.1f}')} (allowed: {allowed} mm)")


def _list(names: Sequence[str]) -> str:
    return " or ".join(names)

"""A made-up arm with the real ids: 261 plausible sections for testing figures without the solver.

Cells are power cells of seeds inside a shrinking ellipse, so outlines move smoothly, never overlap and
tell the truth about nothing else. No anatomical claim.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from shapely.geometry import Polygon
from shapely.geometry.polygon import orient

from tests.shapes import WAYS
from wristward.figure.legend import Entry, Legend
from wristward.section.section import Section, Solved

# id, compartment, part_of, last muscle z, first z, last z, knots (z, x, y, weight): shares of the fascia's half axes
MUSCLES = [
    (
        "pronator_teres_humeral_head",
        "volar_superficial",
        "pronator_teres",
        130,
        118,
        260,
        [(260, 0.35, 0.62, 90), (195, -0.25, 0.45, 80), (118, -0.62, 0.05, -30)],
    ),
    (
        "flexor_carpi_radialis",
        "volar_superficial",
        None,
        95,
        0,
        260,
        [(260, 0.55, 0.45, 60), (162, -0.2, 0.72, 60), (60, -0.35, 0.7, -40), (0, -0.5, 0.6, -60)],
    ),
    (
        "palmaris_longus",
        "volar_superficial",
        None,
        120,
        0,
        250,
        [(250, 0.68, 0.5, 10), (130, 0.0, 0.86, 0), (0, -0.05, 0.9, -60)],
    ),
    (
        "flexor_carpi_ulnaris",
        "volar_superficial",
        None,
        20,
        5,
        260,
        [(260, 0.85, 0.0, 50), (130, 0.82, 0.25, 80), (5, 0.75, 0.45, -20)],
    ),
    (
        "flexor_digitorum_superficialis",
        "volar_superficial",
        None,
        60,
        60,
        250,
        [(250, 0.75, 0.25, 30), (130, 0.35, 0.6, 120), (60, 0.1, 0.6, 60)],
    ),
    (
        "flexor_digitorum_profundus",
        "volar_deep",
        None,
        50,
        50,
        240,
        [(240, 0.5, -0.1, 70), (130, 0.4, 0.1, 140), (50, 0.2, 0.3, 50)],
    ),
    (
        "flexor_pollicis_longus",
        "volar_deep",
        None,
        30,
        0,
        195,
        [(195, -0.3, 0.1, 0), (130, -0.3, 0.25, 70), (0, -0.3, 0.45, -40)],
    ),
    ("pronator_quadratus", "volar_deep", None, 18, 18, 66, [(66, 0.1, 0.05, 20), (40, 0, 0.05, 60), (18, 0, 0.1, 10)]),
    (
        "brachioradialis",
        "lateral",
        None,
        90,
        15,
        260,
        [(260, -0.65, 0.5, 100), (130, -0.75, 0.35, 40), (15, -0.85, 0.0, -60)],
    ),
    (
        "extensor_carpi_radialis_longus",
        "lateral",
        None,
        140,
        0,
        260,
        [(260, -0.85, 0.05, 70), (130, -0.88, -0.05, 0), (0, -0.6, -0.65, -50)],
    ),
    (
        "extensor_carpi_radialis_brevis",
        "lateral",
        None,
        110,
        0,
        255,
        [(255, -0.75, -0.3, 40), (130, -0.75, -0.35, 40), (0, -0.4, -0.75, -50)],
    ),
    (
        "extensor_digitorum",
        "dorsal_superficial",
        None,
        45,
        45,
        255,
        [(255, -0.5, -0.6, 40), (130, -0.4, -0.7, 80), (45, -0.1, -0.8, 10)],
    ),
    (
        "extensor_digiti_minimi",
        "dorsal_superficial",
        None,
        60,
        0,
        230,
        [(230, -0.2, -0.75, 0), (130, -0.05, -0.8, 0), (0, 0.35, -0.8, -60)],
    ),
    (
        "extensor_carpi_ulnaris",
        "dorsal_superficial",
        None,
        60,
        0,
        250,
        [(250, 0.1, -0.75, 20), (130, 0.3, -0.7, 50), (0, 0.7, -0.5, -40)],
    ),
    (
        "supinator_superficial_layer",
        "dorsal_deep",
        "supinator",
        165,
        165,
        245,
        [(245, -0.5, -0.15, 40), (165, -0.45, -0.3, -10)],
    ),
    (
        "abductor_pollicis_longus",
        "dorsal_deep",
        None,
        70,
        0,
        200,
        [(200, -0.2, -0.4, 0), (130, -0.3, -0.35, 40), (60, -0.75, -0.3, -10), (0, -0.9, -0.1, -50)],
    ),
    (
        "extensor_pollicis_brevis",
        "dorsal_deep",
        None,
        60,
        0,
        117,
        [(117, -0.15, -0.35, -20), (60, -0.7, -0.4, -40), (0, -0.85, -0.25, -60)],
    ),
    (
        "extensor_pollicis_longus",
        "dorsal_deep",
        None,
        45,
        0,
        165,
        [(165, 0.05, -0.4, 0), (100, -0.05, -0.45, 10), (0, -0.25, -0.78, -60)],
    ),
    (
        "extensor_indicis",
        "dorsal_deep",
        None,
        20,
        0,
        110,
        [(110, 0.15, -0.42, -10), (40, 0.05, -0.6, -20), (0, 0.0, -0.72, -60)],
    ),
    ("anconeus", "elbow", None, 190, 190, 260, [(260, 0.2, -0.8, 40), (190, 0.4, -0.7, -20)]),
    ("brachialis", "elbow", None, 225, 225, 260, [(260, -0.1, 0.3, 130), (225, 0.0, 0.15, 10)]),
]
BONES = [("radius", 0, 260, -0.38, -0.05, 6.2), ("ulna", 19, 260, 0.42, -0.3, 6.0)]
# id, kind, from z, to z, radius mm, knots (z, share x, share y), subcutaneous
DISCS = [
    ("median_nerve", "nerve", 260, 0, 1.5, [(260, 0.15, 0.7), (195, 0.1, 0.4), (130, 0.05, 0.4), (0, -0.1, 0.55)]),
    ("anterior_interosseous_nerve", "nerve", 185, 45, 0.6, [(185, 0.0, 0.2), (45, 0.03, -0.1)]),
    ("ulnar_nerve", "nerve", 260, 0, 1.5, [(260, 0.85, -0.35), (130, 0.6, 0.25), (0, 0.5, 0.5)]),
    ("superficial_radial_nerve", "nerve", 235, 60, 0.9, [(235, -0.5, 0.25), (130, -0.55, 0.35), (60, -1.12, 0.0)]),
    (
        "posterior_interosseous_nerve",
        "nerve",
        225,
        15,
        0.8,
        [(225, -0.55, -0.1), (130, -0.15, -0.52), (15, 0.0, -0.55)],
    ),
    ("lateral_antebrachial_cutaneous_nerve", "nerve", 245, 30, 0.7, [(245, -0.65, 0.92), (30, -0.8, 0.85)]),
    ("medial_antebrachial_cutaneous_nerve_anterior_branch", "nerve", 260, 60, 0.7, [(260, 0.7, 0.88), (60, 0.6, 0.95)]),
    ("radial_artery", "artery", 225, 0, 1.3, [(225, -0.1, 0.5), (130, -0.5, 0.5), (0, -0.75, 0.45)]),
    ("ulnar_artery", "artery", 225, 0, 1.3, [(225, 0.2, 0.4), (130, 0.5, 0.3), (0, 0.38, 0.58)]),
    ("brachial_artery", "artery", 260, 227, 1.9, [(260, 0.0, 0.66), (227, 0.05, 0.5)]),
    ("anterior_interosseous_artery", "artery", 190, 20, 0.7, [(190, 0.06, 0.16), (20, 0.08, -0.12)]),
    ("cephalic_vein", "vein", 260, 0, 1.5, [(260, -0.9, 0.7), (130, -1.1, 0.3), (0, -1.1, -0.2)]),
    ("basilic_vein", "vein", 260, 40, 1.4, [(260, 0.95, 0.6), (40, 1.1, 0.1)]),
    ("median_antebrachial_vein", "vein", 250, 30, 1.0, [(250, -0.1, 1.12), (30, 0.05, 1.15)]),
    ("ulnar_vena_comitans_1", "vein", 200, 10, 0.5, [(200, 0.32, 0.42), (130, 0.5, 0.4), (10, 0.36, 0.7)]),
]
DIGIT = [f"superficialis_tendon_{d}" for d in ("index", "middle", "ring", "little")]


def _at(knots, z_mm):
    knots = sorted(knots)
    zs = [k[0] for k in knots]
    return [float(np.interp(z_mm, zs, [k[c] for k in knots])) for c in range(1, len(knots[0]))]


def _ellipse(cx, cy, rx, ry, count):
    return [
        (cx + rx * math.cos(2 * math.pi * k / count), cy + ry * math.sin(2 * math.pi * k / count)) for k in range(count)
    ]


TONES = {
    "volar_superficial": "flesh",
    "volar_deep": "brick",
    "lateral": "ochre",
    "dorsal_superficial": "straw",
    "dorsal_deep": "clay",
    "elbow": "rose",
}


@cache
def legend() -> Legend:
    """Return entries for every structure of the made-up arm."""
    out = {}
    for key, compartment, part_of, *_ in MUSCLES:
        short = "".join(w[0] for w in key.split("_")).upper()
        out[key] = Entry(
            id=key,
            name=key.replace("_", " "),
            short=short,
            kind="muscle",
            compartment=compartment,
            tone=TONES.get(compartment),
            part_of=part_of,
        )
    for key, *_ in BONES:
        out[key] = Entry(id=key, name=key, short=key[0].upper(), kind="bone")
    partners = {"ulnar_nerve": "ulnar_artery", "superficial_radial_nerve": "radial_artery"}
    for key, kind, *_ in DISCS:
        companion = "ulnar_artery" if "comitans" in key else None
        out[key] = Entry(
            id=key,
            name=key.replace("_", " "),
            short=key[:3].upper(),
            kind=kind,
            partner=partners.get(key),
            companion_of=companion,
        )
    for key in DIGIT:
        out[key] = Entry(
            id=key,
            name=key.replace("_", " "),
            short="S" + key.split("_")[-1][0].upper(),
            kind="tendon",
            part_of="flexor_digitorum_superficialis",
        )
    out["interosseous_membrane"] = Entry(
        id="interosseous_membrane", name="interosseous membrane", short="IOM", kind="sheet"
    )
    return Legend(out, WAYS)


def _solved(key, kind, tissue, ring, layer="subfascial", part_of=None):
    polygon = orient(Polygon(ring))
    point = polygon.representative_point()
    points = tuple((round(x, 3), round(y, 3)) for x, y in polygon.exterior.coords[:-1])
    return Solved(
        id=key,
        kind=kind,
        tissue=tissue,
        layer=layer,
        ring_mm=points,
        centre_mm=(point.x, point.y),
        area_mm2=polygon.area,
        part_of=part_of,
    )


@cache
def section(z_mm: int) -> Section:
    """Return the made-up section at a height, right arm."""
    share = z_mm / 260
    rx, ry = 27 + 17.5 * share**0.8, 18.5 + 17 * share**0.8
    skin = _ellipse(0, 0, rx, ry, 72)
    fx, fy = rx - 5, ry - 4.5
    fascia = _ellipse(0, 0, fx, fy, 72)
    structures, taken = [], []
    for key, lo, hi, bx, by, radius in BONES:
        if lo <= z_mm <= hi:
            ring = _ellipse(bx * fx, by * fy, radius * (1.5 if z_mm < 30 else 1), radius, 32)
            structures.append(_solved(key, "bone", "bone", ring))
            taken.append(Polygon(ring).buffer(0.4))
    if 30 <= z_mm <= 230:
        a, b = (-0.38 * fx + 6, -0.08 * fy), (0.42 * fx - 6, -0.27 * fy)
        ring = [(a[0], a[1] - 0.4), (b[0], b[1] - 0.4), (b[0], b[1] + 0.4), (a[0], a[1] + 0.4)]
        structures.append(_solved("interosseous_membrane", "sheet", "sheet", ring))
        taken.append(Polygon(ring).buffer(0.3))
    discs = []
    for key, kind, hi, lo, radius, knots in DISCS:
        if lo <= z_mm <= hi:
            x, y = _at(knots, z_mm)
            outside = math.hypot(x, y) > 0.98
            centre = (x * (fx if not outside else fx), y * (fy if not outside else fy))
            discs.append(
                _solved(
                    key,
                    kind,
                    kind,
                    _ellipse(*centre, radius * 1.1, radius, 24),
                    "subcutaneous" if outside else "subfascial",
                )
            )
            taken.append(Polygon(_ellipse(*centre, radius + 0.4, radius + 0.4, 24)))
    if z_mm <= 60:
        for index, key in enumerate(DIGIT):
            centre = ((-0.02 + 0.13 * index) * fx, (0.66 - 0.16 * (index % 2)) * fy)
            discs.insert(
                0,
                _solved(
                    key, "tendon", "tendon", _ellipse(*centre, 1.9, 1.4, 16), part_of="flexor_digitorum_superficialis"
                ),
            )
            taken.append(Polygon(_ellipse(*centre, 2.2, 1.7, 16)))
    seeds = [
        (key, part_of, last, *_at(knots, z_mm)) for key, _, part_of, last, lo, hi, knots in MUSCLES if lo <= z_mm <= hi
    ]
    for key, part_of, last, sx, sy, weight in seeds:
        cell = Polygon(fascia).buffer(-0.5)
        px, py = sx * fx, sy * fy
        for other, _, _, ox, oy, other_weight in seeds:
            if other != key:
                cell = cell.intersection(_half_plane(px, py, weight, ox * fx, oy * fy, other_weight))
        cell = cell.buffer(-0.3)
        if z_mm < last:
            cell = cell.intersection(Polygon(_ellipse(px, py, 2.6, 1.9, 32)))
        for other in taken:
            cell = cell.difference(other)
        cell = cell.buffer(-0.5).buffer(0.5)
        if cell.geom_type == "MultiPolygon":
            cell = max(cell.geoms, key=lambda piece: piece.area)
        if cell.area > 1.5:
            ring = Polygon(cell.exterior).simplify(0.03).exterior.coords[:-1]
            structures.append(_solved(key, "muscle", "tendon" if z_mm < last else "muscle", ring, part_of=part_of))
    return Section(z_mm=z_mm, skin_mm=tuple(skin), fascia_mm=tuple(fascia), structures=tuple(structures + discs))


def _half_plane(px, py, weight, ox, oy, other_weight):
    """Return the side of the power bisector that belongs to (px, py), as a large polygon."""
    dx, dy = ox - px, oy - py
    length = math.hypot(dx, dy) or 1e-6
    nx, ny = dx / length, dy / length
    reach = (length * length + weight - other_weight) / (2 * length)
    mx, my = px + nx * reach, py + ny * reach
    tx, ty = -ny * 300, nx * 300
    return Polygon(
        [
            (mx + tx, my + ty),
            (mx - tx, my - ty),
            (mx - tx - nx * 300, my - ty - ny * 300),
            (mx + tx - nx * 300, my + ty - ny * 300),
        ]
    )


@cache
def sections() -> dict[int, Section]:
    """Return all 261 made-up sections by height in mm."""
    return {z_mm: section(z_mm) for z_mm in range(261)}

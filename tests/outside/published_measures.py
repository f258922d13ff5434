"""How each row of ``published_table.yaml`` is read off solved sections, with shapely alone."""

from __future__ import annotations

import math

import shapely
from shapely.geometry import LineString, box

from tests.outside.arm_model import rectangle_mm
from tests.outside.outlines import in_range, outline, skin

LISTER_Z_MM = 20.0
"""Peak of the dorsal tubercle; radial side, where the radius stands out farthest to the back (corrections B)."""

STYLOID_LINE_Z_MM = 12.0
TUNNEL = (
    *(f"superficialis_tendon_{finger}" for finger in ("index", "middle", "ring", "little")),
    *(f"profundus_tendon_{finger}" for finger in ("index", "middle", "ring", "little")),
    "flexor_pollicis_longus",
    "median_nerve",
)


def mean_depth(sections, name, z_mm):
    """Return the mean shortest way from skin to near wall, mm."""
    return _mean(skin(s).exterior.distance(outline(s, name)) for s in in_range(sections, z_mm))


def width(sections, name, z_mm):
    """Return the mean extent from radial to ulnar, mm."""
    return _mean(outline(s, name).bounds[2] - outline(s, name).bounds[0] for s in in_range(sections, z_mm))


def height(sections, name, z_mm):
    """Return the mean extent from palm to back, mm."""
    return _mean(outline(s, name).bounds[3] - outline(s, name).bounds[1] for s in in_range(sections, z_mm))


def area(sections, name, z_mm):
    """Return the mean area, mm²."""
    return _mean(outline(s, name).area for s in in_range(sections, z_mm))


def middle_height(sections, name, z_mm):
    """Return the middle of the heights that cut it, mm above the line between the styloids."""
    cut = [z for z, section in sections.items() if outline(section, name) is not None]
    return (min(cut) + max(cut)) / 2 - STYLOID_LINE_Z_MM


def thickest_height(sections, name, z_mm):
    """Return the height with the largest area, mm below the elbow crease."""
    return 260.0 - max(sections, key=lambda z: shape.area if (shape := outline(sections[z], name)) else 0.0)


def thickness_over_radius(sections, name, z_mm):
    """Return the mean thickness from palm to back under flexor carpi radialis, mm."""
    return _mean(_run(s, name, outline(s, "flexor_carpi_radialis").centroid.x)[1] for s in in_range(sections, z_mm))


def thickness_under_palmaris(sections, name, z_mm):
    """Return the mean thickness under the ulnar edge of palmaris longus, mm."""
    return _mean(_run(s, name, outline(s, "palmaris_longus").bounds[2])[1] for s in in_range(sections, z_mm))


def straight_depth(sections, name, z_mm):
    """Return the mean way from the palm's skin straight back to it, under palmaris longus' ulnar edge, mm."""
    return _mean(_run(s, name, outline(s, "palmaris_longus").bounds[2])[0] for s in in_range(sections, z_mm))


def straight_depth_at_itself(sections, name, z_mm):
    """Return the mean way from the palm's skin straight back to its own near wall, mm."""
    return _mean(_run(s, name, outline(s, name).centroid.x)[0] for s in in_range(sections, z_mm))


def ulnar_of_palmaris(sections, name, z_mm):
    """Return how far its middle lies ulnar to the ulnar edge of palmaris longus, mm."""
    return _mean(
        outline(s, name).centroid.x - outline(s, "palmaris_longus").bounds[2] for s in in_range(sections, z_mm)
    )


def gap_to_ulnar_artery(sections, name, z_mm):
    """Return the mean gap to the ulnar artery, edge to edge, mm."""
    return _mean(outline(s, name).distance(outline(s, "ulnar_artery")) for s in in_range(sections, z_mm))


def share_of_width(sections, name, z_mm):
    """Return where its middle lies between the radial (0) and the ulnar (100) margin of the skin, per cent."""
    return _mean(
        100 * (outline(s, name).centroid.x - skin(s).bounds[0]) / (skin(s).bounds[2] - skin(s).bounds[0])
        for s in in_range(sections, z_mm)
    )


def from_flexor_carpi_radialis(sections, name, z_mm):
    """Return the mean distance of centres from flexor carpi radialis, mm."""
    return _mean(
        outline(s, name).centroid.distance(outline(s, "flexor_carpi_radialis").centroid)
        for s in in_range(sections, z_mm)
    )


def from_radius_margin(sections, name, z_mm):
    """Return how far its middle lies ulnar to the ulnar margin of the radius, mm."""
    return _mean(outline(s, name).centroid.x - outline(s, "radius").bounds[2] for s in in_range(sections, z_mm))


def tunnel_width(sections, name, z_mm):
    """Return the long side of the narrowest rectangle about the tunnel's ten contents, mm."""
    return _mean(rectangle_mm(_contents(s).exterior.coords)[0] for s in in_range(sections, z_mm))


def tunnel_depth(sections, name, z_mm):
    """Return its short side, mm."""
    return _mean(rectangle_mm(_contents(s).exterior.coords)[1] for s in in_range(sections, z_mm))


def tunnel_area(sections, name, z_mm):
    """Return the area of the hull of the tunnel's ten contents, mm²."""
    return _mean(_contents(s).area for s in in_range(sections, z_mm))


def tubercle_height(sections, name, z_mm):
    """Return how far the dorsal tubercle stands out from the back of the radius on both its sides, mm."""
    section = in_range(sections, (LISTER_Z_MM, LISTER_Z_MM))[0]
    return _tubercle(section)[2]


def ulnar_of_tubercle(sections, name, z_mm):
    """Return how far its middle lies ulnar to the tip of the dorsal tubercle, mm."""
    return _mean(outline(s, name).centroid.x - _tubercle(s)[0] for s in in_range(sections, z_mm))


def crossing_from(sections, name, z_mm):
    """Return how far above the tubercle the thumb's two muscles begin to cross the radial wrist extensors, mm."""
    return max(_crossed(sections)) - LISTER_Z_MM


def crossing_to(sections, name, z_mm):
    """Return how far above the tubercle that crossing ends, mm."""
    return min(_crossed(sections)) - LISTER_Z_MM


def below_pronator_top(sections, name, z_mm):
    """Return how far below the upper edge of pronator quadratus it begins, mm."""
    return _top(sections, "pronator_quadratus") - _top(sections, name)


def lowest(sections, name, z_mm):
    """Return the lowest height that cuts it, mm."""
    return min(z for z, section in sections.items() if any(s.id == name for s in section.structures))


def into_supinator(sections, name, z_mm):
    """Return where it comes to lie between the layers of supinator, mm below the elbow crease."""
    return 260.0 - max(_between_layers(sections, name))


def out_of_supinator(sections, name, z_mm):
    """Return where it leaves them, mm below the elbow crease."""
    return 260.0 - min(_between_layers(sections, name))


def _between_layers(sections, name):
    layers = ("supinator_superficial_layer", "supinator_deep_layer")
    return [
        z
        for z, section in sections.items()
        if all(
            (layer := outline(section, n)) is not None and layer.distance(outline(section, name)) < 0.3 for n in layers
        )
    ]


def _mean(values):
    found = list(values)
    return sum(found) / len(found)


def _run(section, name, x_mm):
    """Return (way from the palm's skin, thickness) of a structure along the line from palm to back at x, mm."""
    line = LineString([(x_mm, 100), (x_mm, -100)])
    cut = outline(section, name).intersection(line)
    if cut.is_empty:
        return math.nan, math.nan
    return skin(section).intersection(line).bounds[3] - cut.bounds[3], cut.length


def _contents(section):
    return shapely.union_all([outline(section, name) for name in TUNNEL]).convex_hull


def _tubercle(section):
    """Return tip x, tip y and height of the dorsal ridge: over the line that closes the radius's back without it."""
    radius = outline(section, "radius")
    x0, y0, x1, _ = radius.bounds
    # The ridge lies between a quarter and two thirds of the way from the radial margin.
    near = radius.intersection(box(x0 + 0.3 * (x1 - x0), y0 - 1, x0 + 0.6 * (x1 - x0), 0))
    tip = min(near.exterior.coords, key=lambda p: p[1])
    floor = [_back(radius, tip[0] + side) for side in (-3.5, 3.5)]
    return tip[0], tip[1], sum(floor) / 2 - tip[1]


def _back(shape, x_mm):
    return shape.intersection(LineString([(x_mm, 100), (x_mm, -100)])).bounds[1]


def _crossed(sections):
    """Return heights at which a muscle of the thumb lies between skin and a radial wrist extensor."""
    found = []
    for z, section in sections.items():
        middle = outline(section, "radius")
        over = [outline(section, n) for n in ("abductor_pollicis_longus", "extensor_pollicis_brevis")]
        under = [outline(section, n) for n in ("extensor_carpi_radialis_longus", "extensor_carpi_radialis_brevis")]
        if middle is None or None in over or None in under or not 30 <= z <= 130:
            continue
        thumb = shapely.union_all(over)
        for tendon in under:
            centre = middle.centroid
            away = tendon.centroid.x - centre.x, tendon.centroid.y - centre.y
            far = 25 / math.hypot(*away)
            ray = LineString([tendon.centroid, (tendon.centroid.x + far * away[0], tendon.centroid.y + far * away[1])])
            if thumb.intersects(ray):
                found.append(z)
                break
    return found


def _top(sections, name):
    return max(z for z, section in sections.items() if outline(section, name) is not None)

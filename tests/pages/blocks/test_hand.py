"""The hand map: patches that tile the hand, and nerves told apart by colour, hatch and letter."""

from itertools import combinations
from xml.etree import ElementTree

import pytest
from shapely import Point, Polygon, unary_union

from wristward.figure.hand import VIEWS, draw_hand
from wristward.figure.hand_palette import GROUNDS, HATCHES, INKS, MARKS, SIGNS
from wristward.figure.hand_shape import middle_of, outline_of, rings_of_view
from wristward.figure.palette import contrast

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def hand(dataset):
    return dataset.hand_map


def draw(dataset, view, **options):
    territories = dataset.territories.territories
    drawn = {*dataset.hand_map.palm, *dataset.hand_map.back}
    nerves_of = {id_: [part.nerve for part in territories[id_].supply] for id_ in drawn}
    return draw_hand(
        dataset.hand_map,
        view,
        nerves_of,
        dataset.words,
        names={id_: id_ for id_ in drawn},
        nerve_names={nerve: nerve for nerve in SIGNS},
        figure_id="h",
        **options,
    )


@pytest.mark.parametrize("view", VIEWS)
def test_patches_tile_the_hand(hand, view):
    """On each side the patches are simple, do not overlap, and together are the hand's outline."""
    whole = Polygon(outline_of(hand))
    patches = {name: Polygon(ring) for name, ring in rings_of_view(hand, view).items()}

    assert whole.is_valid
    assert [] == [name for name, patch in patches.items() if not patch.is_valid or patch.area < 100]
    overlaps = [(a, b) for a, b in combinations(patches, 2) if patches[a].intersection(patches[b]).area > 1e-6]
    assert [] == overlaps
    assert unary_union(list(patches.values())).symmetric_difference(whole).area < 1e-6


@pytest.mark.parametrize("view", VIEWS)
def test_letters_stand_in_their_patches(hand, view):
    """The middle of each patch, where its letters are written, lies within it."""
    outside = [
        name for name, ring in rings_of_view(hand, view).items() if not Polygon(ring).contains(Point(middle_of(ring)))
    ]

    assert [] == outside


@pytest.mark.parametrize("view", VIEWS)
def test_each_patch_shows_its_nerves(dataset, hand, view):
    """A patch is filled by the pattern of its first nerve, and the letters on it are those of its nerves."""
    svg = ElementTree.fromstring(draw(dataset, view))
    territories = dataset.territories.territories
    fills = {one.get("data-territory"): one.get("fill") for one in svg.iter(f"{SVG}use") if one.get("data-territory")}
    letters = sorted(one.text for one in svg.iter(f"{SVG}text"))

    def signs(id_):
        return list(dict.fromkeys(SIGNS[part.nerve] for part in territories[id_].supply))

    assert {id_: f"url(#h-{signs(id_)[0]})" for id_ in getattr(hand, view)} == fills
    assert sorted("".join(signs(id_)).upper() for id_ in getattr(hand, view)) == letters


def test_the_thumb_is_on_the_right_of_the_palm_and_on_the_left_of_the_back(dataset):
    """Both sides show a right hand: fingers up, the thumb is on the right of the palm, on the left of the back."""
    thumbs = {}
    for view, thumb in (("palm", "thumb_palmar"), ("back", "thumb_dorsal")):
        svg = ElementTree.fromstring(draw(dataset, view))
        path = next(one for one in svg.iter(f"{SVG}path") if one.get("id") == f"h-{thumb}")
        xs = [float(pair.split()[0]) for pair in path.get("d").strip("MZ").split("L")]
        thumbs[view] = min(xs) > 0, max(xs) < 0

    assert {"palm": (True, False), "back": (False, True)} == thumbs


def test_unmarked_patches_stay_bare(dataset):
    """With marks given, nothing else is coloured or lettered."""
    svg = ElementTree.fromstring(draw(dataset, "palm", marked=("little_palmar",)))
    coloured = [one.get("data-territory") for one in svg.iter(f"{SVG}use") if one.get("fill", "none") != "none"]

    assert ["little_palmar"] == coloured
    assert ["U"] == [one.text for one in svg.iter(f"{SVG}text")]


@pytest.mark.parametrize("scheme", sorted(GROUNDS))
def test_letters_and_hatches_can_be_read(scheme):
    """On every ground the ink keeps 4.5:1 and the hatch 3:1, light and dark."""
    grounds, hatches, ink = GROUNDS[scheme], HATCHES[scheme], INKS[scheme]

    assert [] == [sign for sign, ground in grounds.items() if contrast(ink, ground) < 4.5]
    assert [] == [sign for sign, ground in grounds.items() if contrast(hatches[sign], ground) < 3]


def test_nerves_differ_without_colour():
    """Every sign has a hatch of its own, and every nerve that serves drawn skin has a sign."""
    assert len(set(MARKS.values())) == len(MARKS) == len(set(SIGNS.values()))


def test_every_nerve_of_drawn_skin_has_a_sign(dataset, hand):
    """No nerve in a supply of the map, usual or variant, is without colour, hatch and letter."""
    territories = dataset.territories.territories
    nerves = {
        part.nerve
        for id_ in (*hand.palm, *hand.back)
        for supply in (territories[id_].supply, *(one.supply for one in territories[id_].variants))
        for part in supply
    }

    assert set() == nerves - set(SIGNS)

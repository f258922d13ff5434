"""The hand map: patches that tile the hand, and nerves told apart by colour, hatch and letter."""

from itertools import combinations
from xml.etree import ElementTree

import pytest
from shapely import Point, Polygon, unary_union

from tests.contrast import contrast
from wristward.data.checks.teaching import MOST_LETTERS, check_hand_map
from wristward.figure.hand import VIEWS, draw_hand
from wristward.figure.hand_palette import INKS, LOOKS, looks_of, patterns, stylesheet
from wristward.figure.hand_shape import middle_of, outline_of, rings_of_view

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
        nerve_names={nerve: nerve for nerve in dataset.hand_map.signs},
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
    rings = rings_of_view(hand, view)
    outside = [name for name, ring in rings.items() if not Polygon(ring).contains(Point(middle_of(ring)))]

    assert rings
    assert [] == outside


@pytest.mark.parametrize("view", VIEWS)
def test_each_patch_shows_its_nerves(dataset, hand, view):
    """A patch is filled by the pattern of its first nerve, and the letters on it are those of its nerves."""
    svg = ElementTree.fromstring(draw(dataset, view))
    territories = dataset.territories.territories
    fills = {one.get("data-territory"): one.get("fill") for one in svg.iter(f"{SVG}use") if one.get("data-territory")}
    letters = sorted(one.text for one in svg.iter(f"{SVG}text"))

    def signs(id_):
        return list(dict.fromkeys(hand.signs[part.nerve] for part in territories[id_].supply))

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


@pytest.mark.parametrize("scheme", sorted(INKS))
def test_letters_and_hatches_can_be_read(scheme):
    """On every ground the ink keeps 4.5:1 and the hatch 3:1, light and dark."""
    looks = [(one.grounds[scheme], one.hatches[scheme]) for one in LOOKS]

    assert MOST_LETTERS == len(looks)
    assert [] == [ground for ground, _ in looks if contrast(INKS[scheme], ground) < 4.5]
    assert [] == [ground for ground, hatch in looks if contrast(hatch, ground) < 3]


def test_nerves_differ_without_colour():
    """Every look has a hatch of its own."""
    assert len(LOOKS) == len({one.mark for one in LOOKS})


def test_letters_take_looks_in_their_order():
    """A letter that several nerves share takes one look; the next letter takes the next."""
    looks = looks_of({"first": "x", "second": "b", "third": "x", "fourth": "c"})

    assert {"x": LOOKS[0], "b": LOOKS[1], "c": LOOKS[2]} == looks
    assert 6 == patterns(looks, "h").count("<pattern")
    assert "--h-b:#bfe3d6;" in stylesheet(looks)


def test_a_nerve_of_drawn_skin_without_a_letter_is_told(dataset, hand):
    """A nerve in a supply of the map, usual or variant, that has no letter is answered; so are too many letters."""
    signs = {nerve: letter for nerve, letter in hand.signs.items() if nerve != "ulnar_nerve"}
    few, many = (
        hand.model_copy(update={"signs": one}) for one in (signs, signs | dict(zip("bcdefg", "bcdefg", strict=True)))
    )
    lacking = (("signs",), "'ulnar_nerve' serves skin of the hand and has no letter")

    assert [] == list(check_hand_map(hand, dataset))
    assert [lacking] == list(check_hand_map(few, dataset))
    assert [(("signs",), "11 different letters (allowed: at most 6)"), lacking] == list(check_hand_map(many, dataset))

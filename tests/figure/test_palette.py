"""Colours can be told apart, by every reader, in light and dark."""

import pytest

from tests.contrast import contrast, luminance
from wristward.data.records.region import TONES
from wristward.figure import palette

# WCAG 2.2: 1.4.3 asks 4.5 of text (3 of large text), 1.4.11 asks 3 of what a graphic needs to be understood.
TEXT, GRAPHIC = 4.5, 3.0
SCHEMES = {"light": palette.LIGHT, "dark": palette.DARK}
MUSCLES = [f"muscle-{one}" for one in TONES]
PAIRS = [
    *(("muscle-line", muscle, GRAPHIC) for muscle in MUSCLES),
    *(("muscle-ink", muscle, TEXT) for muscle in MUSCLES),
    ("bone-line", "bone", GRAPHIC),
    ("bone-ink", "marrow", TEXT),
    ("bone-ink", "bone", TEXT),
    ("fascia", "fat", GRAPHIC),
    ("fascia", "loose", GRAPHIC),
    ("ink", "ground", TEXT),
    ("quiet-ink", "ground", TEXT),
    ("leader", "ground", GRAPHIC),
    ("accent", "ground", GRAPHIC),
    ("tendon-line", "tendon", GRAPHIC),
    ("nerve-ink", "nerve", TEXT),
    ("artery-ink", "artery", TEXT),
    ("vein-ink", "vein", TEXT),
]


@pytest.mark.parametrize("scheme", sorted(SCHEMES))
def test_contrasts(scheme):
    """Outlines stand out 3:1 and letters 4.5:1 from what they lie on."""
    colours = SCHEMES[scheme]
    low = [
        (front, back, round(contrast(colours[front], colours[back]), 2))
        for front, back, least in PAIRS
        if contrast(colours[front], colours[back]) < least
    ]

    assert [] == low


@pytest.mark.parametrize("scheme", sorted(SCHEMES))
def test_discs_stand_out(scheme):
    """A nerve or vessel is seen on every tissue it may lie in, by its outline or by what fills it."""
    colours, low = SCHEMES[scheme], []
    for disc in ("nerve", "artery", "vein"):
        for ground in (*MUSCLES, "fat", "loose"):
            best = max(contrast(colours[role], colours[ground]) for role in (disc, f"{disc}-line"))
            if best < GRAPHIC:
                low.append((disc, ground, round(best, 2)))

    assert [] == low


def test_both_schemes_name_the_same_roles():
    """A role that one scheme colours, the other colours too."""
    assert list(palette.LIGHT) == list(palette.DARK)


@pytest.mark.parametrize(
    ("colour", "expected"),
    # Worked from the definition of relative luminance in WCAG 2.2: the weights of the three channels.
    [("#000000", 0.0), ("#ffffff", 1.0), ("#ff0000", 0.2126), ("#00ff00", 0.7152), ("#0000ff", 0.0722)],
)
def test_luminance(colour, expected):
    """Luminance is the standard's."""
    assert expected == pytest.approx(luminance(colour), abs=1e-9)


def test_contrast_of_black_and_white():
    """Black on white is 21:1, either way round."""
    assert [21.0, 21.0, 1.0] == [
        pytest.approx(contrast(*pair)) for pair in (("#000000", "#ffffff"), ("#ffffff", "#000000"), ("#123456",) * 2)
    ]

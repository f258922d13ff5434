"""The twelve pictures of the contributor guide are what the program draws today.

When the anatomy or the drawing was changed on purpose: look at the new pictures as an anatomist would, then
``python3 -m generator test tests/figure/test_golden.py --renew``.
"""

import re
from pathlib import Path

import pytest

from tests.outline_paths import spelled_out
from wristward.figure.drawing import draw_section

FOLDER = Path(__file__).parent / "golden"
GUIDE = Path(__file__).parents[2] / "DEVELOPERS.md"
HEIGHTS_MM = (250, 227, 195, 162, 128, 97, 65, 48, 32, 22, 14, 0)
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
PATH = re.compile(r' d="([^"]*)"')

# A tenth of a drawing unit is about 0.015 mm: room for another machine's last digit, too little for another shape.
TOLERANCE = 3.0


def drawing(z_mm, sections, legend, words):
    return draw_section(sections[z_mm], legend, words, figure_id=f"z{z_mm:03}", standalone=True) + "\n"


@pytest.mark.parametrize("z_mm", HEIGHTS_MM)
def test_the_picture_is_todays(z_mm, arm_sections, legend, dataset, request):
    """Every element of the kept picture is drawn again, each number within a fifth of a line's width."""
    path, text = FOLDER / f"z{z_mm:03}.svg", drawing(z_mm, arm_sections, legend, dataset.words)
    if request.config.getoption("--renew"):
        FOLDER.mkdir(exist_ok=True)
        path.write_text(text, "utf-8", newline="\n")
    # Steps from point to point, each a little off, could add up to another shape.
    kept, text = (
        PATH.sub(lambda found: f' d="{spelled_out(found[1])}"', one) for one in (path.read_text("utf-8"), text)
    )
    pairs = list(zip(NUMBER.findall(kept), NUMBER.findall(text), strict=False))

    assert NUMBER.sub("#", kept) == NUMBER.sub("#", text)
    assert [] == [pair for pair in pairs if abs(float(pair[0]) - float(pair[1])) > TOLERANCE]


def test_the_guide_shows_every_picture():
    """The contributor guide shows each picture, and no picture lies about that it does not show."""
    shown = re.findall(r"tests/figure/golden/(z\d{3}\.svg)", GUIDE.read_text("utf-8"))

    assert [f"z{z:03}.svg" for z in HEIGHTS_MM] == shown
    assert sorted(shown) == sorted(path.name for path in FOLDER.iterdir())

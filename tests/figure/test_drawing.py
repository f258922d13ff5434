"""The drawing of a section: what it names, what it keeps to itself, and that it is drawn where the solver put it."""

import re
from xml.etree import ElementTree

import pytest
from shapely.geometry import Polygon

from tests.outline_paths import pieces
from wristward.figure.drawing import MODES, draw_section
from wristward.figure.view import FINE, HEIGHT, WIDTH, view_of

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="session")
def drawn(cuts, legend, dataset):
    """Each section as a parsed drawing with names: z (mm) to root element."""
    found = {
        z: ElementTree.fromstring(draw_section(cut, legend, dataset.words, figure_id="f")) for z, cut in cuts.items()
    }
    assert [] == [z for z, root in found.items() if not shapes(root)]
    return found


def shapes(root):
    return [path for path in root.iter(f"{SVG}path") if "w-shape" in path.get("class", "")]


def test_every_structure_is_drawn_once(drawn, cuts):
    """Each structure of a section is one outline that carries its id."""
    for z_mm, root in drawn.items():
        expected = sorted(one.id for one in cuts[z_mm].structures)

        assert expected == sorted(path.get("data-id") for path in shapes(root))


def test_the_description_names_every_nerve(drawn, cuts, legend):
    """What a screen reader hears of the picture names every nerve of the section."""
    asked = [(z, one.id) for z, cut in cuts.items() for one in cut.structures if one.kind == "nerve"]
    said = {z: root.find(f"{SVG}desc").text for z, root in drawn.items()}

    assert set(cuts) == {z for z, _ in asked}
    assert [] == [(z, id_) for z, id_ in asked if legend[id_].name not in said[z]]


@pytest.mark.parametrize("mode", [mode for mode in MODES if mode != "named"])
def test_a_drawing_without_names_gives_nothing_away(cuts, legend, dataset, mode):
    """Unlabelled or numbered, a drawing holds no id, name or short form of any structure."""
    told = []
    for z, cut in cuts.items():
        numbers = {one.id: k for k, one in enumerate(cut.structures, start=1)}
        text = draw_section(cut, legend, dataset.words, figure_id="f", mode=mode, numbers=numbers)
        words = [(one.id, (one.id, legend[one.id].name, legend[one.id].short)) for one in cut.structures]
        told += [(z, id_) for id_, all_ in words if any(re.search(rf"\b{re.escape(word)}\b", text) for word in all_)]

    assert [] == told


def test_an_unknown_mode_is_refused(cuts, legend, dataset):
    """The error names what is allowed."""
    with pytest.raises(ValueError, match="named, numbered, unlabelled"):
        draw_section(cuts[100], legend, dataset.words, figure_id="f", mode="secret")


def test_the_same_bytes_each_time(cuts, legend, dataset):
    """A section is drawn to the same bytes again."""
    first, second = (draw_section(cuts[130], legend, dataset.words, figure_id="f") for _ in range(2))

    assert first == second


def test_everything_lies_in_the_box(drawn):
    """No outline leaves the figure's box."""
    for z_mm, root in drawn.items():
        for path in [*shapes(root), root.find(f".//{SVG}path[@class='w-skin']")]:
            xs, ys = _corners(path.get("d"))
            inside = 0 <= min(xs) and max(xs) <= WIDTH * FINE and 0 <= min(ys) and max(ys) <= HEIGHT * FINE

            assert inside, (z_mm, path.get("data-id"))


def test_outlines_are_drawn_where_they_were_solved(drawn, cuts):
    """The drawn outline's area, brought back to millimetres, is the solved one within 4 % or 0.4 mm² (corners are rounded)."""
    wrong = []
    for z_mm, root in drawn.items():
        scale = view_of(cuts[z_mm].skin_mm).scale * FINE
        for path in shapes(root):
            ring = Polygon(cuts[z_mm].find(path.get("data-id")).ring_mm)
            area = Polygon(list(zip(*_corners(path.get("d")), strict=True))).buffer(0).area / scale**2
            if abs(area - ring.area) > max(0.04 * ring.area, 0.4):
                wrong.append((z_mm, path.get("data-id"), round(area, 2), round(ring.area, 2)))

    assert set(cuts) == set(drawn)
    assert [] == wrong


def test_nothing_hides_a_nerve(drawn):
    """Nerves are drawn after everything else that is filled."""
    for root in drawn.values():
        kinds = [path.get("class").split("w-")[-1] for path in shapes(root)]
        first = kinds.index("nerve")

        assert {"nerve"} == set(kinds[first:])


def _corners(path):
    """Return the corners of a smooth closed path, each piece cut at its middle too."""
    points = []
    for kind, found in pieces(path):
        if kind == "Q":
            points.append(tuple(points[-1][k] / 4 + found[0][k] / 2 + found[1][k] / 4 for k in (0, 1)))
        points += found[-1:]
    return [x for x, _ in points], [y for _, y in points]

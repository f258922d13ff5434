"""Names on a section: none on another, none beyond the edge, none over a nerve or vessel, no leaders crossed."""

import pytest
from shapely.geometry import LineString, Polygon, box

from wristward.cli.section import as_in_arm
from wristward.figure.labels import CLEAR, LINE, SIZE, Disc, place_labels, text_width, wanted_of
from wristward.figure.view import HEIGHT, WIDTH, view_of

DISCS = ("nerve", "artery", "vein")


@pytest.fixture(scope="session", params=["right", "left"])
def labelled(request, cuts, legend, forearm):
    """Of each section of a right or left arm: height, section, view and the placed names."""
    found = []
    for z_mm, cut in cuts.items():
        section = as_in_arm(cut, arm=forearm.arms["mean"], side=request.param)
        view = view_of(section.skin_mm)
        discs = [
            Disc(*view.place(one.centre_mm), (one.area_mm2 / 3.14159) ** 0.5 * view.scale)
            for one in section.structures
            if one.kind in DISCS
        ]
        wanted = [want for one in section.structures if (want := wanted_of(one, legend[one.id], view)) is not None]
        found.append((z_mm, section, view, discs, place_labels(wanted, discs)))
    # Of every column, or what is asked of its names would be asked of none.
    assert {"inside", "left", "right"} == {one.column for *_, names in found for one in names}
    assert [] == [z_mm for z_mm, _, _, discs, names in found if not discs or not names]
    return found


def frame(placed):
    """Return the box that a name fills, units."""
    width = max(text_width(line) for line in placed.lines)
    half = SIZE * 0.45 if placed.column == "inside" else len(placed.lines) * LINE / 2
    left = {"inside": placed.x - width / 2, "left": placed.x - width, "right": placed.x}[placed.column]
    return box(left, placed.y - half, left + width, placed.y + half)


def test_names_lie_apart(labelled):
    """No two names of a section overlap."""
    met = []
    for z_mm, *_, names in labelled:
        frames = [(one.id, frame(one)) for one in names]
        met += [
            (z_mm, first, second)
            for k, (first, here) in enumerate(frames)
            for second, there in frames[k + 1 :]
            if here.intersection(there).area > 0.01
        ]

    assert [] == met


def test_names_stay_in_the_figure(labelled):
    """No name crosses the figure's edge."""
    whole = box(0, 0, WIDTH, HEIGHT)

    assert [] == [(z_mm, one.id) for z_mm, *_, names in labelled for one in names if not whole.contains(frame(one))]


def test_names_hide_no_nerve_or_vessel(labelled):
    """A name within a belly keeps its distance from every nerve and vessel, and lies wholly inside the belly."""
    covered, outside = [], []
    for z_mm, section, view, discs, names in labelled:
        for one in names:
            if one.column != "inside":
                continue
            space = frame(one)
            covered += [
                (z_mm, one.id) for disc in discs
                if space.distance(LineString([(disc.x, disc.y), (disc.x, disc.y + 1e-9)])) < disc.radius + CLEAR - 1e-6
            ]  # fmt: skip
            ring = Polygon([view.place(point) for point in section.find(one.id).ring_mm])
            if space.difference(ring).area > 0.02 * space.area:
                outside.append((z_mm, one.id))

    assert [] == covered
    assert [] == outside


def test_every_nerve_and_artery_is_named(labelled):
    """A full column gives up tendons and veins, and no nerve or artery."""
    missing = []
    for z_mm, section, _, _, names in labelled:
        shown = {one.id for one in names}
        missing += [(z_mm, one.id) for one in section.structures if one.kind in DISCS[:2] and one.id not in shown]

    assert [] == missing


def test_leaders_of_a_column_do_not_cross(labelled):
    """Followed from the names, no leader of one column crosses another of that column."""
    crossed = []
    for z_mm, *_, names in labelled:
        for column in ("left", "right"):
            lines = [(one.id, LineString([one.anchor, one.port])) for one in names if one.column == column]
            crossed += [
                (z_mm, first, second)
                for k, (first, here) in enumerate(lines)
                for second, there in lines[k + 1 :]
                if here.crosses(there)
            ]

    assert [] == crossed


def test_a_leader_ends_on_what_it_names(labelled):
    """The inner end of each leader lies in the structure, or nearer to its edge than a millimetre."""
    astray = []
    for z_mm, section, view, _, names in labelled:
        for one in names:
            ring = Polygon([view.place(point) for point in section.find(one.id).ring_mm])
            end = LineString([one.anchor, (one.anchor[0], one.anchor[1] + 1e-9)])
            if one.column != "inside" and ring.distance(end) > view.scale:
                astray.append((z_mm, one.id))

    assert [] == astray


@pytest.mark.browser
def test_widths_are_generous(dataset, visit):
    """The guess of a name's width is no narrower than the browser's own type by more than two per cent."""
    names = sorted({text for one in dataset.structures.values() for text in (one.name, one.short or one.name)})
    page = visit("about:blank").page
    widths = page.evaluate(
        """([names, size]) => { const c = document.createElement("canvas").getContext("2d");
          c.font = `${size}px system-ui, sans-serif`; return names.map((one) => c.measureText(one).width); }""",
        [names, SIZE],
    )

    assert min(widths) > 0
    assert [] == [name for name, width in zip(names, widths, strict=True) if text_width(name) < 0.98 * width]

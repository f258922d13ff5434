"""Charts over height: what is drawn is what was given, gaps stay gaps, and the words agree with the lines."""

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wristward.figure.charts import (
    BOTTOM,
    HEIGHT,
    LEFT,
    RIGHT,
    TOP,
    WIDTH,
    Chart,
    Line,
    ceiling_of,
    chart_figure,
    draw_chart,
)

SVG = "{http://www.w3.org/2000/svg}"
TOP_MM = 260
values = st.dictionaries(st.integers(0, TOP_MM), st.floats(0, 40), min_size=1, max_size=60)


def chart(*lines, **options):
    return Chart(
        title="Depth", axis="mm", lines=[Line(name=f"line {k}", values=one) for k, one in enumerate(lines)],
        top_mm=TOP_MM, **options,
    )  # fmt: skip


def drawn_points(svg):
    """Return of the first line: its points in units, and how often the pen was lifted."""
    path = next(p for p in ElementTree.fromstring(svg).iter(f"{SVG}path") if p.get("class") == "w-line")
    pieces = re.findall(r"([ML])(-?[\d.]+) (-?[\d.]+)", path.get("d"))
    return [(float(x), float(y)) for _, x, y in pieces], sum(pen == "M" for pen, *_ in pieces)


@given(values, st.booleans())
def test_points_lie_where_their_values_say(dataset, given_values, downward):
    """Each value is drawn at its height, elbow on the left, on a linear scale from floor to ceiling."""
    one = chart(given_values, downward=downward)
    points, pens = drawn_points(draw_chart(one, dataset.words, chart_id="c"))
    most, inner = ceiling_of(one), HEIGHT - TOP - BOTTOM
    expected = []
    for z in sorted(given_values, reverse=True):
        share = given_values[z] / most
        x = LEFT + (TOP_MM - z) / TOP_MM * (WIDTH - LEFT - RIGHT)
        expected.append((x, TOP + inner * (share if downward else 1 - share)))

    assert [(pytest.approx(x, abs=0.06), pytest.approx(y, abs=0.06)) for x, y in expected] == points
    assert sum(z + 1 not in given_values for z in given_values) == pens


@given(values)
def test_the_scale_holds_every_value(given_values):
    """No value lies above the end of the scale."""
    assert max(given_values.values()) <= ceiling_of(chart(given_values))


@given(values)
def test_plotly_shows_the_same_values(dataset, given_values):
    """The plotly figure holds each value at its height in centimetres, and nothing where there is none."""
    trace = chart_figure(chart(given_values), dataset.words)["data"][0]
    shown = {round(x * 10): y for x, y in zip(trace["x"], trace["y"], strict=True) if y is not None}

    assert given_values == shown
    assert trace["connectgaps"] is False


def test_words_tell_least_and_greatest(dataset):
    """The description says a line's least and greatest value and their heights."""
    svg = draw_chart(chart({100: 3.0, 101: 17.0, 102: 9.0}), dataset.words, chart_id="c")
    said = ElementTree.fromstring(svg).find(f"{SVG}desc").text

    assert [] == [part for part in ("line 0", "3", "10", "17", "10.1", "mm") if part not in said]


def test_lines_differ_by_more_than_colour(dataset):
    """Lines of one chart have different dashes, in the drawing and in plotly."""
    lines = [{z: float(k) for z in range(TOP_MM)} for k in range(4)]
    svg = ElementTree.fromstring(draw_chart(chart(*lines), dataset.words, chart_id="c"))
    dashes = [p.get("stroke-dasharray") for p in svg.iter(f"{SVG}path") if p.get("class") == "w-line"]

    assert 4 == len(set(dashes))
    assert 4 == len({one["line"]["dash"] for one in chart_figure(chart(*lines), dataset.words)["data"]})

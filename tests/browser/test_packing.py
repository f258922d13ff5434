"""The text the arm's outlines travel as: what is read is what was written, in Python and in the browser."""

from __future__ import annotations

from string import ascii_letters, digits
from urllib.parse import urlsplit

import numpy as np
import pytest
from bare_site import setting
from hypothesis import given, settings
from hypothesis import strategies as st
from synthetic import sections

from tests.unpacking import Unpacker, unpack_rings
from wristward.bridge.pack.numbers import Packer
from wristward.bridge.pack.outlines import STEP, UNIT_MM, chain_rings, pack_sections, stretch, stretches
from wristward.bridge.pack.pyramid import left_over

WHOLE = st.integers(-40_000, 40_000)
COLUMNS = [[5], [0, 0, 0], [-3, 4, 11, 18, 18], [30, 31, -900, 1830, 1829, 27_000]]
LENGTHS = [5, 64, 65, 66, 130]
"""Rows that the coarsest forecast spans once, not at all and twice, and one more than that."""


def wavy(rows, count, *, width=40.0):
    """Return outlines with waves of every length, shape (rows, count, 2), units."""
    z, k = np.arange(rows)[:, None, None], np.arange(count)[None, :, None]
    return width * np.sin(k * 5.1 + np.array([0, 2.0])) + 900 * np.sin(z / 37 + k / 3) + 3 * np.cos(z * 2.3 + k)


@settings(deadline=None)
@given(columns=st.lists(st.lists(WHOLE, min_size=1, max_size=12), max_size=6))
def test_columns_are_read_as_written(columns):
    """Whatever whole numbers a column holds, it comes back, and nothing is left over."""
    packer = Packer()
    for column in columns:
        packer.column(column)
    reader = Unpacker(packer.packed())

    assert columns == [reader.column(len(column)) for column in columns]
    assert reader.at_end()


@settings(deadline=None)
@given(numbers=st.lists(st.integers(-20, 20), min_size=1, max_size=600))
def test_numbers_are_read_as_written(numbers):
    """Numbers as long as a few turns of the states come back, and are told in plain characters that JSON leaves alone."""
    packer = Packer()
    packer.append(np.array(numbers))
    packed = packer.packed()
    reader = Unpacker(packed)

    assert numbers == [reader.number() for _ in numbers]
    assert reader.at_end()
    assert set(packed["words"]) <= set(ascii_letters + digits + "+/=")


@settings(deadline=None, max_examples=30)
@given(rows=st.integers(1, 140), count=st.sampled_from([1, 2, 3, 5, 12, 16, 64]), step=st.sampled_from([1, 7, 10]))
def test_outlines_are_read_within_half_a_step(rows, count, step):
    """Outlines of any height and number of points come back, no coordinate farther off than half a step."""
    points, packer = wavy(rows, count), Packer()
    packer.append(left_over(points, step=step))
    reader = Unpacker(packer.packed())

    assert np.abs(reader.outlines(rows, count, step=step) - points).max() <= step / 2 + 1e-9
    assert reader.at_end()


def test_even_change_leaves_zeros():
    """Of an outline that only moves, by as much each millimetre, the first row is told and where the next two that come
    first have gone."""
    turn = np.arange(16) * np.pi / 8
    outline = 10 * np.rint(50 * np.stack([np.cos(turn), np.sin(turn)], axis=1))
    numbers = left_over(outline + 10 * np.arange(129)[:, None, None] * [3, -2], step=10).reshape(-1, 16, 2)

    assert {(row, 0): [192, -128] for row in (1, 2)} == {
        (row, point): numbers[row, point].tolist() for row, point in np.argwhere(numbers.any(axis=2)).tolist() if row
    }


def test_the_browser_reads_what_python_wrote(travel):
    """Columns and outlines with small, large and negative numbers are the same in the browser."""
    packer = Packer()
    for column in COLUMNS:
        packer.column(column)
    for length in LENGTHS:
        packer.append(left_over(wavy(length, 12), step=10))
    reader = Unpacker(packer.packed())
    columns = [reader.column(len(column)) for column in COLUMNS]
    outlines = [reader.outlines(length, 12, step=10).ravel().tolist() for length in LENGTHS]
    page = travel().page
    actual = page.evaluate(
        """([packed, counts, lengths]) => {
          const { numbers } = wristward, take = numbers.reader(packed);
          const columns = counts.map((count) => [...numbers.column(take(count))]);
          const outlines = lengths.map((length) => {
            const rows = new Int32Array(30 * length);
            numbers.outlines(take(24 * length), rows, { from: 4, count: 12, width: 30, length, step: 10 });
            return [...rows].filter((_, k) => k % 30 >= 4 && k % 30 < 28);
          });
          return [columns, outlines];
        }""",
        [packer.packed(), [len(column) for column in COLUMNS], LENGTHS],
    )

    assert COLUMNS == columns
    assert [columns, outlines] == actual


def test_stored_outlines_keep_what_is_promised():
    """No stored coordinate is farther than 0.05 mm from the outline's vertex it stands for."""
    solved, legend = sections(), setting().legend
    stored, worst_mm = unpack_rings(pack_sections(solved, legend)), 0.0
    for key, hi, lo in stretches(solved, legend):
        chained = chain_rings(stretch(solved, key, hi=hi, lo=lo)[0])
        for index, ring in enumerate(chained):
            worst_mm = max(worst_mm, float(np.abs(stored[key, hi - index] - ring).max()))

    assert worst_mm <= 0.05 + 1e-9
    assert pytest.approx(0.05) == STEP * UNIT_MM / 2


def test_outlines_in_the_browser_are_those_of_python(travel):
    """Every fifth section of the made-up arm is cut in the browser as Python unpacks it."""
    visited = travel()
    assert "file" == urlsplit(visited.page.url).scheme
    stored = unpack_rings(pack_sections(sections(), setting().legend))
    heights = sorted({z for _, z in stored})[::5]
    actual = visited.page.evaluate(
        """(heights) => { const arm = wristward.geometry.unpack(wristward.packedArm);
          return heights.map((z) => { const cut = wristward.geometry.cut(arm, z);
            return [cut.skin, cut.fascia, ...cut.shapes].map((one) => [one.id, [...one.ring.slice(0, 2 * one.count)]]); }); }""",
        heights,
    )
    for z_mm, shapes in zip(heights, actual, strict=True):
        expected = {key: ring.ravel().tolist() for (key, z), ring in stored.items() if z == z_mm}
        assert {key: pytest.approx(ring, abs=1e-9) for key, ring in expected.items()} == dict(shapes)

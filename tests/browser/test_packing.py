"""The text the arm's outlines travel as: what is read is what was written, in Python and in the browser."""

from __future__ import annotations

from urllib.parse import urlsplit

import numpy as np
import pytest
from bare_site import setting
from hypothesis import given
from hypothesis import strategies as st
from synthetic import sections

from tests.unpacking import Unpacker, unpack_rings
from wristward.bridge.pack.digits import Packer
from wristward.bridge.pack.outlines import (
    QUANTUM_MM,
    chain_rings,
    pack_sections,
    stretch,
    stretches,
)

WHOLE = st.integers(-40_000, 40_000)
COLUMNS = [[5], [0, 0, 0], [-3, 4, 11, 18, 18], [30, 31, -900, 1830, 1829, 27_000]]
GRID = [[1, 2, 3, 700], [1, 3, 5, -700], [0, 3, 4, -30_000]]


@given(columns=st.lists(st.lists(WHOLE, min_size=1, max_size=12), max_size=6))
def test_columns_are_read_as_written(columns):
    """Whatever whole numbers a column holds, it comes back, and nothing is left over."""
    packer = Packer()
    for column in columns:
        packer.column(column)
    reader = Unpacker(packer.text())

    assert columns == [reader.column(len(column)) for column in columns]
    assert reader.at_end()


@given(
    st.integers(1, 6).flatmap(
        lambda width: st.lists(st.lists(WHOLE, min_size=width, max_size=width), min_size=1, max_size=6)
    )
)
def test_grids_are_read_as_written(rows):
    """Whatever whole numbers a grid holds, it comes back, and its text is plain characters that JSON leaves alone."""
    packer = Packer()
    packer.grid(np.array(rows))
    text = packer.text()
    reader = Unpacker(text)

    assert rows == reader.grid(len(rows), len(rows[0])).tolist()
    assert reader.at_end()
    assert set(text) <= set(map(chr, range(35, 127))) - {"\\"}


def test_the_browser_reads_what_python_wrote(travel):
    """Columns and a grid with small, large and negative numbers are the same in the browser."""
    packer = Packer()
    for column in COLUMNS:
        packer.column(column)
    packer.grid(np.array(GRID))
    page = travel().page
    actual = page.evaluate(
        """([text, lengths, width, length]) => {
          const { geometry } = wristward, next = geometry.reader(text), rows = new Int32Array(2 * width * length);
          const columns = lengths.map((count) => {
            const column = [];
            geometry.column(next, count, (k, value) => (column[k] = value));
            return column;
          });
          geometry.grid(next, rows, { from: 1, width: 2 * width, length });
          return [columns, [...rows].filter((_, k) => k % 2 === 1)];
        }""",
        [packer.text(), [len(column) for column in COLUMNS], len(GRID[0]), len(GRID)],
    )

    assert [COLUMNS, [value for row in GRID for value in row]] == actual


def test_stored_outlines_keep_what_is_promised():
    """No stored coordinate is farther than 0.05 mm from the outline's vertex it stands for."""
    solved, legend = sections(), setting().legend
    stored, worst_mm = unpack_rings(pack_sections(solved, legend)), 0.0
    for key, hi, lo in stretches(solved, legend):
        chained = chain_rings(stretch(solved, key, hi=hi, lo=lo)[0])
        for index, ring in enumerate(chained):
            worst_mm = max(worst_mm, float(np.abs(stored[key, hi - index] - ring).max()))

    assert worst_mm <= 0.05 + 1e-9
    assert pytest.approx(0.05) == QUANTUM_MM / 2


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

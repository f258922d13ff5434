"""Numbers that the drawing was not made from, read off the solved sections."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from tests.outside import published_measures as measures

ROWS = yaml.safe_load(Path(__file__).with_name("published_table.yaml").read_text(encoding="utf-8"))["rows"]
LEAST_WITHIN = 20


def bounds(row):
    """Return the lowest and the highest value that count as the published one."""
    return (row["value"] - row["sd"], row["value"] + row["sd"]) if "sd" in row else (row["low"], row["high"])


def holds(row, sections):
    """Say whether the drawing's value lies within the row's bounds, and the value."""
    low, high = bounds(row)
    value = getattr(measures, row["measure"])(sections, row["structure"], row["z_mm"])
    return low <= value <= high, round(float(value), 2)


@pytest.mark.parametrize("row", [r for r in ROWS if "beyond" not in r], ids=lambda row: row["id"])
def test_value_is_the_published_one(arm_sections, row):
    """The drawing's value lies within one SD, or within the stated range, of a publication it was not made from."""
    held, value = holds(row, arm_sections)

    assert held, f"{value}, published {bounds(row)}"


@pytest.mark.parametrize("row", [r for r in ROWS if "beyond" in r], ids=lambda row: row["id"])
def test_value_on_record_is_still_off(arm_sections, row):
    """A row that says why it is off is off: once it holds, its words go."""
    held, value = holds(row, arm_sections)

    assert not held, f"{value} is within {bounds(row)} now"


def test_most_rows_hold():
    """At least twenty rows are within one SD, every row has a source and what was read, and each range its reason."""
    within = [row["id"] for row in ROWS if "beyond" not in row]

    assert len(within) >= LEAST_WITHIN
    assert [] == [row["id"] for row in ROWS if not row["source"] or row["seen"] not in ("abstract", "table")]


def test_sources_are_in_the_bibliography(dataset):
    """Every row's source stands in the bibliography."""
    cited = {row["source"] for row in ROWS}

    assert LEAST_WITHIN <= len(ROWS)
    assert [] == [source for source in sorted(cited) if source not in dataset.sources]

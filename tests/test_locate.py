"""Where the shipped data lies, and that it reads."""

from __future__ import annotations

from pathlib import Path

import pytest

from wristward import locate
from wristward.data.read import read_dataset
from wristward.locate import where_is_data


def test_installed_data_go_before_the_checkout(tmp_path, monkeypatch):
    """Data inside the package win, else the folder beside it counts, else both places are named."""
    package = tmp_path / "generator" / "wristward"
    package.mkdir(parents=True)
    monkeypatch.setattr(locate, "PACKAGE", package)
    with pytest.raises(FileNotFoundError) as raised:
        where_is_data()
    beside, inside = tmp_path / "anatomy_data", package / "_anatomy_data"

    assert f"no anatomy data at {inside} nor at {beside} (allowed: a folder of data)" == str(raised.value)
    beside.mkdir()
    assert beside == where_is_data()
    inside.mkdir()
    assert inside == where_is_data()


def test_the_shipped_data_have_no_problem():
    """Everything in anatomy_data reads; every level stands in the region and every fact has its source."""
    dataset = read_dataset(where_is_data())

    assert Path(__file__).parents[1] / "anatomy_data" == dataset.folder
    assert dataset.levels[0].z_mm == dataset.region.reference_length_mm and dataset.levels[-1].z_mm == 0
    assert [] == [name for name, record in dataset.structures.items() if record.source not in dataset.sources]

"""What a dataset says of itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from wristward.data.dataset import Dataset, PartName
from wristward.data.parts import PARTS
from wristward.data.read import read_dataset
from wristward.errors import DataError

SMALL = Path(__file__).parent / "small"


@pytest.mark.parametrize("part", PARTS, ids=lambda part: part.name)
def test_a_file_that_is_needed_and_missing_is_named(part):
    """Each registered file has an attribute, which says where the file is missed; ``has`` says so beforehand."""
    dataset = read_dataset(SMALL, parts=())

    assert not dataset.has(part.name)
    with pytest.raises(DataError) as raised:
        getattr(dataset, part.name)
    place = f"{Path(SMALL).name}/{part.file}:1:1"
    assert f"{place}: there is no such file, and what is asked for is made from it" == str(raised.value)


def test_the_files_of_the_data_have_the_record_of_their_row(dataset):
    """What a registered file holds comes out under its own attribute, checked against its own record."""
    assert {part.name: part.record for part in PARTS} == {
        part.name: type(getattr(dataset, part.name)) for part in PARTS
    }


def test_every_registered_file_may_be_asked_for_by_name():
    """The names that a dataset can be asked for are those of the registered files."""
    assert sorted(part.name for part in PARTS) == sorted(PartName.__args__)
    assert all(isinstance(getattr(Dataset, name), property) for name in PartName.__args__)

"""Where the shipped data lies."""

from __future__ import annotations

import pytest

from wristward.locate import where_is_data


@pytest.fixture(scope="session")
def shipped_data():
    """The folder of the data that comes with the program."""
    return where_is_data()

"""Sections of the shipped arm, and what a figure needs beside them."""

import pytest

from wristward.figure.legend import legend_of

HEIGHTS_MM = tuple(range(260, -1, -10))


@pytest.fixture(scope="session")
def legend(dataset):
    """Names, tissues and compartments of the shipped catalogue."""
    return legend_of(dataset)


@pytest.fixture(scope="session")
def cuts(arm_sections):
    """Every tenth millimetre of the shipped arm: z (mm) to section."""
    found = {z: arm_sections[z] for z in HEIGHTS_MM}
    assert [] == [z for z, cut in found.items() if "median_nerve" not in {one.id for one in cut.structures}]
    return found

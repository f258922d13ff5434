"""The shipped data, solved at the heights that quizzes ask about, and every item of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.anatomy.forearm import Forearm
from generator.data.read import read_dataset
from generator.pages.store import FolderStore
from generator.section.sweep import solve_all

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def dataset():
    """The shipped data."""
    return read_dataset(ROOT / "anatomy_data")


@pytest.fixture(scope="session")
def sections(dataset):
    """Every section of the shipped data, from the build's own store where it is there."""
    return solve_all(Forearm.from_dataset(dataset), store=FolderStore(ROOT / ".cache" / "sections"), workers=2)


@pytest.fixture(scope="session")
def bank(dataset, sections):
    """Every item of the shipped data, and what was refused."""
    from generator.quiz.bank import make_bank

    return make_bank(dataset, sections)


@pytest.fixture(scope="session")
def items(bank):
    """Every item of the shipped data."""
    return bank.items

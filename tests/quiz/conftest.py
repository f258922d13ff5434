"""Every item of the shipped data, made from the sections that all tests share."""

from __future__ import annotations

import pytest

from wristward.quiz.bank import make_bank


@pytest.fixture(scope="session")
def sections(arm_sections):
    """Every section of the shipped data."""
    return arm_sections


@pytest.fixture(scope="session")
def bank(dataset, sections):
    """Every item of the shipped data, and what was refused."""
    return make_bank(dataset, sections)


@pytest.fixture(scope="session")
def items(bank):
    """Every item of the shipped data."""
    return bank.items

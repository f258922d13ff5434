"""One quiz that holds every kind and form of question of the shipped data, exported once for the session."""

from __future__ import annotations

import pytest

from wristward.bridge.pack.outlines import pack_sections
from wristward.export import scorm as scorm_module
from wristward.export.about import Facts
from wristward.export.qti import QTI_3, QTI_21
from wristward.export.qti_package import qti_package
from wristward.export.question import questions_of
from wristward.export.scorm import scorm_package
from wristward.figure.legend import legend_of
from wristward.quiz.bank import all_items
from wristward.quiz.compose import compose

SEED = 7
FACTS = Facts(topic=None, seed=SEED, version="0123456789", language="en")


@pytest.fixture(scope="session")
def items(dataset, arm_sections):
    """Every item of the shipped data."""
    return all_items(dataset, arm_sections)


@pytest.fixture(scope="session")
def quiz(items):
    """One question of each kind and form that the items have."""
    found = sorted({(item.kind, item.form) for item in items})
    return tuple(
        compose([item for item in items if (item.kind, item.form) == pair], topic=None, count=1, seed=SEED)[0]
        for pair in found
    )


@pytest.fixture(scope="session")
def questions(quiz, dataset, arm_sections):
    """The quiz as questions that a format can carry."""
    carried, left = questions_of(quiz, dataset, arm_sections)

    assert () == left
    return carried


@pytest.fixture(scope="session")
def qti(questions, dataset):
    """Packages by version of QTI and plainness."""
    return {
        (name, plain): qti_package(questions, (), dialect, dataset.words, FACTS, plain=plain)
        for name, dialect in (("3.0", QTI_3), ("2.1", QTI_21))
        for plain in (False, True)
    }


@pytest.fixture(scope="session")
def packed(dataset, arm_sections):
    """The packed arm: it takes seconds, and every SCORM package of the shipped data holds the same."""
    return pack_sections(arm_sections, legend_of(dataset))


@pytest.fixture
def ready_packed(monkeypatch, packed):
    """Let SCORM packages take the arm packed already."""
    monkeypatch.setattr(scorm_module, "pack_sections", lambda sections, legend: packed)


@pytest.fixture(scope="session")
def scorm(quiz, dataset, arm_sections, packed):
    """The quiz as a SCORM package."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(scorm_module, "pack_sections", lambda sections, legend: packed)
        return scorm_package(quiz, dataset, arm_sections, FACTS)

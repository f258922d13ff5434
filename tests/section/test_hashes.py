"""Every section is the one it was: a faster or clearer solver changes nothing, to the byte.

When the anatomy or the solver was changed on purpose: look at the sections, then
``python3 -m generator test tests/section/test_hashes.py --renew``.
"""

from __future__ import annotations

import csv
import hashlib
from pathlib import Path

import pytest

from tests.conftest import STORE
from wristward.anatomy.forearm import Forearm
from wristward.data.arms import DRAWN
from wristward.project.store import FolderStore
from wristward.section.key import section_bytes
from wristward.section.sweep import solve_all

KEPT = Path(__file__).with_name("landed_hashes.csv")
ARMS_MM = (236, 150, 62, 9)
"""Heights at which the arms that are drawn otherwise are looked at."""


def hashed(arm, sections):
    """Return a row for each section: the arm, the height, mm, and the hash of its bytes."""
    return [
        (arm, str(z_mm), hashlib.sha256(section_bytes(section)).hexdigest()[:32])
        for z_mm, section in sorted(sections.items())
    ]


@pytest.fixture(scope="module")
def rows(dataset, arm_sections):
    """The row of every section of the drawn arm, and of a few of each other arm."""
    found = hashed(DRAWN, arm_sections)
    for name, arm in dataset.arms.items():
        found += hashed(name, solve_all(Forearm.from_dataset(arm), z_mm=ARMS_MM, store=FolderStore(STORE)))
    return found


def test_every_section_is_the_kept_one(rows, request):
    """At every height of the drawn arm, and at a few of the others, the section's bytes are those that were kept."""
    if request.config.getoption("--renew"):
        with KEPT.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file, lineterminator="\n").writerows([("arm", "z_mm", "sha256"), *rows])
    with KEPT.open(encoding="utf-8", newline="") as file:
        kept = [tuple(row) for row in csv.reader(file)][1:]

    assert len(kept) > 261
    assert kept == rows

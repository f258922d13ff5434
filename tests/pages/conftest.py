"""The shipped data with its sections and measures, as pages are written from it."""

from pathlib import Path

import pytest

from wristward.bridge.setting import setting_of
from wristward.pages.atlas import Atlas
from wristward.project.measured import measure_all
from wristward.project.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def atlas(dataset, arm_sections):
    """The shipped data with its sections and measures."""
    store = FolderStore(ROOT / ".cache" / "measures")
    measures = measure_all(arm_sections, partners=setting_of(dataset).partners, store=store)
    return Atlas(dataset=dataset, sections=arm_sections, measures=measures)

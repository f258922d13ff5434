"""The pages about blocks of the shipped data, written once."""

from pathlib import Path

import pytest

from wristward.bridge.setting import setting_of
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.menu import teach_pages
from wristward.project.measured import measure_all
from wristward.project.store import FolderStore

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture(scope="session")
def atlas(dataset, arm_sections):
    """The shipped data with its sections and measures."""
    store = FolderStore(ROOT / ".cache" / "measures")
    measures = measure_all(arm_sections, partners=setting_of(dataset).partners, store=store)
    return Atlas(dataset=dataset, sections=arm_sections, measures=measures)


@pytest.fixture(scope="session")
def written(atlas):
    """Every page about blocks by its address."""
    return {page.src_uri: page for pages in teach_pages(atlas).values() for page in pages}

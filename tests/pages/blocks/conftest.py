"""The pages about blocks of the shipped data, written once."""

import pytest

from wristward.pages.blocks.menu import teach_pages


@pytest.fixture(scope="session")
def written(atlas):
    """Every page about blocks by its address."""
    found = {page.src_uri: page for pages in teach_pages(atlas).values() for page in pages}
    assert {"block-levels.md", "branches.md", "stays.md", "cases/index.md"} <= set(found)
    return found

"""The made-up arm as a folder on disk, with a space in its path."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

import bare_site
import block_page


@pytest.fixture(scope="session")
def arm_site(tmp_path_factory):
    """Folder with the page "Elbow to wrist" in both schemes, and one page of a section with its charts."""
    from bare_site import linked_page, travel_page, write_site

    folder = tmp_path_factory.mktemp("built site")
    pages = {"light.html": travel_page(), "dark.html": travel_page(scheme="slate"), "linked.html": linked_page()}
    return write_site(folder, pages)


@pytest.fixture
def travel(visit, arm_site):
    """Open "Elbow to wrist": ``travel(scheme="dark", viewport=..., touch=True, at="#z=65")``."""

    def open_page(*, scheme="light", at="", **options):
        visited = visit((arm_site / f"{scheme}.html").as_uri() + at, scheme=scheme, **options)
        visited.page.wait_for_selector(".w-ready")
        visited.page.wait_for_function("globalThis.wristward.packedMeasures !== undefined")
        return visited

    yield open_page


@pytest.fixture
def setting():
    """Names, words and arms of the made-up arm."""
    return bare_site.setting()


@pytest.fixture(scope="session")
def block_site(tmp_path_factory, dataset):
    """Folder with the page "Block levels"."""
    return block_page.write_block_site(tmp_path_factory.mktemp("built blocks"), dataset)


@pytest.fixture
def blocks(visit, block_site):
    """Open "Block levels": ``blocks(scheme="dark", viewport=..., at="#nerve=ulnar_nerve")``."""

    def open_page(*, scheme="light", at="", **options):
        visited = visit((block_site / f"{scheme}.html").as_uri() + at, scheme=scheme, **options)
        visited.page.wait_for_selector(".w-ready")
        return visited

    return open_page

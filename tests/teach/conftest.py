"""The pages about blocks of the shipped data, written once, and a site of these pages alone."""

import shutil
from copy import copy
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace

import pytest

from generator import client
from generator.pages import generate, plugin
from generator.pages.atlas import Atlas
from generator.pages.build import build_site
from generator.pages.measured import measure_all
from generator.pages.store import FolderStore
from generator.pages.teach_pages import SINGLE, teach_pages

ROOT = Path(__file__).resolve().parents[2]
MENUS = (*(name for name, _, _ in SINGLE), "cases")
LENIENT = """
validation: {nav: {omitted_files: ignore, not_found: ignore}, links: {not_found: ignore, anchors: ignore}}
"""


def configuration(nav):
    """Return the shipped site's configuration with another menu, and without its complaints about links."""
    text = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    head = (
        text[: text.index("\nvalidation:")]
        .replace("strict: true", "strict: false")
        .replace("arms: true", "arms: false")
    )
    return head.replace("data_dir: anatomy_data", f"data_dir: {ROOT / 'anatomy_data'}") + LENIENT + f"nav: [{nav}]\n"


@pytest.fixture(scope="session")
def atlas(dataset, arm_sections):
    """The shipped data with its sections and measures."""
    store = FolderStore(ROOT / ".cache" / "measures")
    measures = measure_all(arm_sections, partners=client.setting_of(dataset).partners, store=store)
    return Atlas(dataset=dataset, sections=arm_sections, measures=measures)


@pytest.fixture(scope="session")
def written(atlas):
    """Every page about blocks by its address."""
    return {page.src_uri: page for pages in teach_pages(atlas).values() for page in pages}


@dataclass
class Site:
    """A built site of these pages."""

    folder: Path

    def url(self, src_uri: str) -> str:
        return (self.folder / src_uri).with_suffix(".html").as_uri()


@pytest.fixture(scope="session")
def site(atlas, tmp_path_factory):
    """These pages built as the shipped site is; the two hundred of levels and structures are left out, for speed."""
    folder = tmp_path_factory.mktemp("teach")
    (folder / "content").mkdir()
    shutil.copytree(ROOT / "content" / "assets", folder / "content" / "assets")
    for name in ("index.md", "cautions.md"):
        (folder / "content" / name).write_text(f"# {name}\n", encoding="utf-8")
    entries = ", ".join(f"wristward:{name}" for name in MENUS)
    config = folder / "mkdocs.yml"
    config.write_text(configuration(f"index.md, {entries}"), encoding="utf-8")
    few = copy(atlas)
    few.levels = ()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(generate, "FOLDERS", {})
        model = SimpleNamespace(atlas=few, site=generate.generate_site(few), keep=lambda key, make: make())
        patch.setattr(plugin, "model_of", lambda *given, **named: model)
        build_site(config)
    return Site(folder / "site")

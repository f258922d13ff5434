"""A course of three pages in each shipped language: the real anatomy and words, MkDocs and its theme."""

from __future__ import annotations

import pytest

from tests.conftest import STORE
from wristward.pages import generate, made
from wristward.pages.atlas import PRACTICE, SEARCH
from wristward.pages.blocks import menu
from wristward.project import solved
from wristward.project.store import FolderStore
from wristward.site import build

MKDOCS = """site_name: Antebrachium
use_directory_urls: false
theme:
  name: material
  language: {language}
  font: false
extra: {{generator: false}}
plugins: [wristward]
markdown_extensions: [attr_list, md_in_html, tables, pymdownx.superfences]
nav: [index.md, wristward:elbow_to_wrist, wristward:block_levels, wristward:practice]
"""
ASKED = ("elbow-to-wrist.md", "block-levels.md", PRACTICE, SEARCH)


@pytest.fixture(scope="session")
def courses(arm_sections, tmp_path_factory):
    """Folder of the built site by language; only what its menu names is rendered, from sections solved once."""
    with pytest.MonkeyPatch.context() as patched:
        whole = generate.generate_site

        def few(atlas, *, version):
            site = whole(atlas, version=version)
            return generate.GeneratedSite(
                pages=tuple(page for page in site.pages if page.src_uri in ASKED),
                assets=site.assets, menus=site.menus, template_words=site.template_words, search_words=site.search_words,
            )  # fmt: skip

        patched.setattr(made, "generate_site", few)
        patched.setattr(solved, "solve_all", lambda forearm, **options: arm_sections)
        measured = solved.measure_all
        store = FolderStore(STORE.parent / "measures")
        patched.setattr(
            solved, "measure_all", lambda *given, **options: measured(*given, **{**options, "store": store})
        )
        patched.setattr(generate, "print_sheets", lambda atlas, version: [])
        for name in ("level_page", "structure_page", "relations_page", "sources_page", "reference_page"):
            patched.setattr(generate, name, lambda atlas, *about: "")
        patched.setattr(menu, "SINGLE", [one for one in menu.SINGLE if one[1] in ASKED])
        patched.setattr(menu, "case_pages", lambda atlas: [])
        folders = {}
        for language in ("de", "es"):
            folder = tmp_path_factory.mktemp(f"course {language}")
            (folder / "content").mkdir()
            (folder / "content" / "index.md").write_text("# I\n", "utf-8")
            (folder / "mkdocs.yml").write_text(
                MKDOCS.format(language=language) + "docs_dir: content\nstrict: false\n", "utf-8"
            )
            folders[language] = build.build_site(folder / "mkdocs.yml")
    return folders

"""The pages of one state of the data, kept for the next build."""

import pytest

from wristward.pages import made
from wristward.pages.atlas import GeneratedPage
from wristward.pages.generate import GeneratedSite
from wristward.pages.made import MadePages

SITE = GeneratedSite(
    pages=(GeneratedPage(src_uri="nerves/n.md", title="N", markdown="# N é\n", names="n", language="en"),),
    assets={"a.js": b"\x00\xff{", "empty.css": b"", "b/c.svg": "<svg>é</svg>".encode()},
    menus={"levels": [{"Levels": ["levels/index.md", {"3 cm": "levels/z030.md"}]}]},
    template_words={"menu": "Menu"},
    search_words={"none": "{count} found"},
)


@pytest.fixture
def generated(monkeypatch):
    """How often a site was generated."""
    asked = []
    monkeypatch.setattr(made, "generate_site", lambda atlas, version: asked.append(version) or SITE)
    monkeypatch.setattr(MadePages, "atlas", None)
    return asked


def pages(cache):
    return MadePages(cache, cache=cache, version="0" * 64)


def test_a_kept_site_is_the_generated_site(tmp_path, generated):
    """The second time the same pages, files to the last byte, menus and words come back, and nothing is generated."""
    assert [SITE, SITE] == [pages(tmp_path).site, pages(tmp_path).site]
    assert 1 == len(generated)


@pytest.mark.parametrize("content", [b"", b"short", b"\xff" * 40, b'{"pages": [], "assets": {}}'])
def test_what_is_no_site_is_generated_again(tmp_path, generated, content):
    """An entry that holds something else costs time, not the site."""
    first = pages(tmp_path)
    first._kept.put(f"site {first.key}", content)

    assert SITE == first.site
    assert 1 == len(generated)

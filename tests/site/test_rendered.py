"""What is kept of a rendered page gives the same site, and no complaint is lost by it."""

import logging
import re
import shutil

import pytest
from markdown import Markdown
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page

from wristward.project.store import FolderStore
from wristward.site import rendered
from wristward.site.rendered import RenderedPages


@pytest.fixture
def render(tmp_path):
    """Render Markdown through what is kept, each time as a build of its own would."""

    def rendered(markdown, *, state=None, check=lambda: None, extensions=("toc",)):
        config = MkDocsConfig()
        config.load_dict(
            {"site_name": "x", "docs_dir": str(tmp_path), "plugins": [], "markdown_extensions": list(extensions)}
        )
        config.validate()
        files = Files([File(name, None, str(tmp_path), False) for name in ("one.md", "two.md")])
        page = Page(None, files.get_file_from_path("one.md"), config)
        page.markdown = markdown
        pages = RenderedPages(FolderStore(tmp_path / "kept"), config=config, files=files)
        if state is None:
            pages.take(page).render(config, files)
        else:
            pages.take_written(page, state=state, check=check).render(config, files)
        page.markdown = None  # what follows may not need to read it again
        return page

    return rendered


def what(page):
    toc = [(one.title, one.url, one.active, [child.title for child in one.children]) for one in page.toc]
    links = {file.src_uri: anchors for file, anchors in page.links_to_anchors.items()}
    return page.content, page._title_from_render, toc, page.present_anchor_ids, links


def test_a_kept_page_is_the_rendered_page(render, tmp_path, monkeypatch):
    """Content, title, contents, anchors and links to check are the same, and Markdown is not asked again."""
    markdown = "# One\n\n## Part\n\n### Inner\n\n[two](two.md#there) and [here](#part)\n"
    first = what(render(markdown))
    monkeypatch.setattr("markdown.Markdown.convert", lambda *words: 1 / 0)

    assert {"two.md": {"there": "two.md#there"}, "one.md": {"part": "#part"}} == first[4]
    assert first == what(render(markdown))


def test_other_text_is_another_page(render):
    """A page whose text changed is rendered anew."""
    assert "first" in render("first").content
    assert "second" in render("second").content


def test_a_complaint_about_a_page_is_heard_again(render, caplog):
    """A broken link is told each time, though the page could have been kept the first time."""
    told = []
    for _ in range(2):
        caplog.clear()
        with caplog.at_level(logging.WARNING, logger="mkdocs"):
            render("[nowhere](nowhere.md)")
        told.append([record.getMessage() for record in caplog.records])

    assert told[0] == told[1]
    assert 1 == len(told[0])
    assert "nowhere.md" in told[0][0]


def test_what_was_kept_and_damaged_is_rendered_again(render, tmp_path):
    """A cut file of the cache costs time, not the page."""
    first = what(render("# One"))
    for path in (tmp_path / "kept").glob("??/*"):
        path.write_bytes(path.read_bytes()[:50])

    assert first == what(render("# One"))


def test_a_long_block_is_handed_on_as_a_short_one_would_be(render, tmp_path, monkeypatch):
    """A figure's line of HTML comes out as it went in, what it holds can be led to, and the text round it is the same."""
    figure = (
        f'<figure class="w"><svg id="deep" viewBox="0 0 1 1"><path d="{"M0,0 " * 800}"/></svg>&lt;b&gt; *x*</figure>'
    )
    markdown = f"# One\n\nBefore.\n\n{figure}\n\nAfter *it*, [there](#deep).\n\n{figure.replace('deep', 'other')}\n"
    held = what(render(markdown))
    shutil.rmtree(tmp_path / "kept")
    monkeypatch.setattr(rendered, "LONG_BLOCK", re.compile("(?!)"))

    assert held == what(render(markdown))
    assert figure in held[0]
    assert {"deep", "other"} < held[3]


def test_a_written_page_is_kept_for_a_state_of_the_data(render, monkeypatch):
    """The same Markdown is rendered once while the data is the same, and anew when what its fences show has changed."""
    asked = []
    convert = Markdown.convert
    monkeypatch.setattr("markdown.Markdown.convert", lambda self, text: asked.append(text) or convert(self, text))
    pages = [what(render("# One", state=state)) for state in ("old", "old", "new", "old")]

    assert [pages[0]] * 4 == pages
    assert ["# One"] * 2 == asked


def test_a_written_page_that_is_refused_is_refused_again(render):
    """What is wrong with a page when it is whole is told at each build."""
    for _ in range(2):
        with pytest.raises(ZeroDivisionError):
            render("# One", state="", check=lambda: 1 / 0)


def test_a_page_that_may_show_another_file_is_rendered_each_time(render, tmp_path, monkeypatch):
    """With an extension that reads files, a page shows what they hold now."""
    monkeypatch.chdir(tmp_path)
    seen = []
    for text in ("first", "second"):
        (tmp_path / "part.md").write_text(text, "utf-8")
        seen.append(render('--8<-- "part.md"', state="", extensions=["pymdownx.snippets"]).content)

    assert ["<p>first</p>", "<p>second</p>"] == seen

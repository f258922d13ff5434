"""The list that the search reads holds what a reader sees, cut at the headings."""

from wristward.project.store import FolderStore
from wristward.site import search
from wristward.site.search import SearchPage, SearchSection, index_script, read_page, sections_of

HTML = """
<h1 id="median-nerve">Median nerve<a class="headerlink" href="#median-nerve">¶</a></h1>
<p>Runs in the <em>forearm</em>.<br>Twice.</p><svg><text>MN</text></svg><script>let hidden = "no";</script>
<h2 id="course">Course <code>z</code><a class="headerlink" href="#course">¶</a></h2>
<ul><li>one</li><li>two</li></ul>
<div data-search="no">not this</div>
<h2 id="empty">Empty</h2>
"""


CUT = [
    SearchSection("", "", "Runs in the forearm. Twice."),
    SearchSection("course", "Course z", "one two"),
    SearchSection("empty", "Empty", ""),
]


def test_a_page_is_cut_at_its_headings():
    """Each heading opens a section with its anchor; drawings, scripts, marks and silent parts are left out."""
    assert CUT == sections_of(HTML)


def test_a_page_is_cut_once(tmp_path, monkeypatch):
    """What a page says is kept: the same content is not read again, whatever its address; other content is."""
    store, read = FolderStore(tmp_path), []
    monkeypatch.setattr(search, "sections_of", lambda html: read.append(html) or sections_of(html))
    pages = [
        read_page(url=f"{number}.html", title="Median nerve", names="MN", html=html, store=store)
        for number, html in enumerate((HTML, HTML, "<p>Other.</p>"))
    ]

    assert [HTML, "<p>Other.</p>"] == read
    assert [CUT, CUT, [SearchSection("", "", "Other.")]] == [page.sections for page in pages]


def test_the_script_is_the_same_whatever_the_order():
    """Pages are sorted by address, so that the order in which they were built does not show."""
    first = SearchPage(url="a.html", title="A", sections=[SearchSection("", "", "one </script> “two”")])
    second = SearchPage(url="b.html", title="B", names="bee")

    expected = (
        "(globalThis.wristward ??= {}).searchIndex = [\n"
        '["a.html","A","",[["","","one </script> “two”"]]],\n'
        '["b.html","B","bee",[]]\n];\n'
    )
    assert expected == index_script([second, first]) == index_script([first, second])

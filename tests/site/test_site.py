"""The built site: the same bytes each time, whole after every failure, self-contained, and nothing leads nowhere."""

import re
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

from tests.projects import make_project, run

# Where the knot of the tiny arm, at 12 mm, would have had a page.
LEADING_ON = "z012.html"
ATTRIBUTES = {"href", "src"}
LOADING = {"script", "img", "iframe", "source", "video", "audio"}
REMOTE_IN_STYLE = re.compile(r"(?:url\(|@import)\s*[\"']?https?:")


def content_of(site):
    return {path.relative_to(site).as_posix(): path.read_bytes() for path in sorted(site.rglob("*")) if path.is_file()}


class Links(HTMLParser):
    """Addresses and ids of a page."""

    def __init__(self, text):
        super().__init__()
        self.links, self.loads, self.ids = [], [], set()
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        for name, value in attrs:
            if name in ("id", "name") and value:
                self.ids.add(value)
            if name in ATTRIBUTES and value:
                self.links.append(value)
                if tag in LOADING or (tag == "link" and dict(attrs).get("rel") not in ("prev", "next", "canonical")):
                    self.loads.append(value)


def pages_of(site):
    """Return the pages of a site by path, each of them with links: what is asked of every link is asked of some."""
    found = {path: Links(path.read_text("utf-8")) for path in sorted(site.rglob("*.html"))}
    assert site / "index.html" in found
    assert [] == [path for path, page in found.items() if not page.links]
    return found


def test_two_builds_are_byte_identical(built, tmp_path):
    """Built in another folder and process, with other hash seeds and an empty cache, the site is the same."""
    other = make_project(tmp_path / "elsewhere")
    finished = run(other, "build", seed="4711")

    assert (0, "") == (finished.returncode, re.sub(r"Solving sections: .*\n", "", finished.stderr))
    first, second = content_of(built / "site"), content_of(other / "site")
    assert sorted(first) == sorted(second)
    assert [] == [name for name in first if first[name] != second[name]]


def test_a_warm_build_is_the_same_as_a_cold_one(built):
    """A build that finds everything in the cache writes the same bytes as the one that filled it."""
    before = content_of(built / "site")
    finished = run(built, "build")

    assert 0 == finished.returncode
    assert before == content_of(built / "site")


def test_every_internal_link_leads_somewhere(built):
    """Each relative address names a file of the site, and each anchor an id on its page."""
    site = built / "site"
    pages = pages_of(site)
    broken = []
    for path, page in pages.items():
        if path.name == "404.html":
            continue  # its addresses count from the root of a server
        for link in page.links:
            parts = urlsplit(link)
            if parts.scheme or parts.netloc:
                continue
            figure = parts.fragment.startswith("z=")  # a state of the slider, not an anchor
            target = (path.parent / unquote(parts.path)).resolve() if parts.path else path
            if not target.is_file():
                broken.append(f"{path.relative_to(site)}: {link}")
            elif parts.fragment and not figure and target in pages and unquote(parts.fragment) not in pages[target].ids:
                broken.append(f"{path.relative_to(site)}: {link} has no such anchor")

    assert [] == broken


def test_nothing_is_asked_of_another_host(built):
    """No page loads a script, style, font or picture from elsewhere, and no style sheet does."""
    site = built / "site"
    asked = [link for page in pages_of(site).values() for link in page.loads if urlsplit(link).netloc]
    styles = [path.name for path in site.rglob("*.css") if REMOTE_IN_STYLE.search(path.read_text("utf-8"))]

    assert ([], []) == (asked, styles)


def test_every_page_carries_cautions_and_version(built):
    """Each page shows the cautions and the same ten-digit version; each but those for paper links to all cautions.

    An address that only leads on shows nothing.
    """
    texts = [path.read_text("utf-8") for path in pages_of(built / "site") if path.name != LEADING_ON]
    paper = [path.read_text("utf-8") for path in (built / "site" / "print").glob("*.html")]
    versions = {tuple(re.findall(r"ww-version.*?<code>([0-9a-f]{10})</code>", text, re.DOTALL)) for text in texts}

    assert 1 == len(versions)
    assert [1] == [len(found) for found in versions]
    assert [] == [text[:200] for text in texts if "guides no needle" not in text]
    assert [] == [text[:200] for text in texts if "cautions.html" not in text and text not in paper]


def test_a_page_for_each_nerve_vessel_muscle_and_level(built):
    """Each structure of these kinds and each level has a page of its own, and there are no other pages of levels."""
    from wristward.data.read import read_dataset
    from wristward.pages.atlas import FOLDERS

    dataset = read_dataset(built / "anatomy_data")
    expected = {f"{FOLDERS[one.kind]}/{id_}.html" for id_, one in dataset.structures.items() if one.kind in FOLDERS}
    levels = {f"levels/z{level.z_mm:03.0f}.html" for level in dataset.levels}
    found = set(content_of(built / "site"))

    assert set() == expected - found
    assert {*levels, "levels/index.html", f"levels/{LEADING_ON}"} == {
        name for name in found if name.startswith("levels/")
    }


def test_an_address_that_had_a_page_leads_on(built, visit):
    """From a folder, with a query and without, a knot's old address opens Elbow to wrist at its height, and goes back whence."""
    site = built / "site"
    for query in ("", "?side=left"):
        visited = visit((site / "index.html").as_uri())
        visited.page.goto((site / "levels" / LEADING_ON).as_uri() + query)
        visited.page.wait_for_selector(".w-ready")

        assert (site / "elbow-to-wrist.html").as_uri() + f"{query}#z=12" == visited.page.url
        assert "1.2 cm" == visited.page.text_content("[data-part=readout]")
        visited.page.go_back()
        assert (site / "index.html").as_uri() == visited.page.url
        assert [] == visited.errors


def test_without_scripts_an_old_address_leads_on_too(built, visit):
    """Where no script runs, the address leads on by itself as well."""
    page = visit((built / "site" / "levels" / LEADING_ON).as_uri(), java_script_enabled=False).page
    page.wait_for_url("**/elbow-to-wrist.html#z=12")

    assert "Elbow to wrist" == page.text_content("h1").replace("¶", "").strip()


def test_an_old_address_is_in_no_list(built):
    """Neither menu, links nor search name an address that only leads on."""
    contents = content_of(built / "site")

    assert {"index.html", f"levels/{LEADING_ON}"} <= set(contents)
    assert [] == [name for name, content in contents.items() if LEADING_ON.encode() in content]


def test_a_mistake_in_the_data_leaves_the_last_site(built, tmp_path):
    """The mistake is told with its place and without a traceback, and the site stays as it was."""
    level = built / "anatomy_data" / "levels" / "z020.yaml"
    before, text = content_of(built / "site"), level.read_text("utf-8")
    level.write_text(text.replace("z_mm: 20", "z_mm: 20\nzz: 1", 1), "utf-8")
    try:
        finished = run(built, "build")
    finally:
        level.write_text(text, "utf-8")

    assert 1 == finished.returncode
    assert "unknown key 'zz'" in finished.stderr
    assert re.match(r".*levels/z020\.yaml:\d+:\d+: ", finished.stderr)
    assert "Traceback" not in finished.stderr
    assert before == content_of(built / "site")


def test_a_mistake_in_a_fence_leaves_the_last_site(built):
    """A figure that cannot be drawn stops the build at its line in the page, front matter counted."""
    page = built / "content" / "index.md"
    before, text = content_of(built / "site"), page.read_text("utf-8")
    page.write_text("---\ntitle: x\n---\n\n```wristward\nfigure: section\nz_mm: 999\n```\n", "utf-8")
    try:
        finished = run(built, "build")
    finally:
        page.write_text(text, "utf-8")

    assert 1 == finished.returncode
    assert "content/index.md:7:7: z_mm is 999 (allowed: a whole number from 0 to 40)\n" == finished.stderr
    assert before == content_of(built / "site")


def test_search_finds_from_a_folder(built, visit):
    """Opened from a folder whose path has a space, a search lists pages that hold the word, without an error."""
    address = (built / "site" / "search.html").as_uri() + "?q=sources"
    found = visit(address)
    found.page.wait_for_selector("main .ww-search__results li a")
    first = found.page.locator("main .ww-search__results li a").first
    target = Path(unquote(urlsplit(first.evaluate("link => link.href")).path))

    assert target.is_file()
    assert [] == found.errors
    assert [] == [request for request in found.requests if not request.startswith("file:")]


def test_a_word_left_out_is_told_with_its_place(project):
    """A build that lacks a word ends with file, line and column and no site, and says nothing of the program's insides."""
    words = project / "anatomy_data" / "reader" / "en" / "height.yaml"
    text = words.read_text("utf-8")
    line = next(line for line in text.splitlines(keepends=True) if line.lstrip().startswith("above: "))
    words.write_text(text.replace(line, ""), "utf-8")
    finished = run(project, "build")

    said = [one for one in finished.stderr.replace("\r", "\n").splitlines() if one and "Solving" not in one]
    place = text[: text.index(line)].count("\n") + 1
    missing = "'height.above' is missing, here or in another file of words (allowed: any text)"
    assert (1, [f"anatomy_data/reader/en/height.yaml:{place}:3: {missing}"]) == (finished.returncode, said)
    assert not (project / "site").exists()

"""A hostile course is refused with words, or built so that nothing runs and nothing is written beside the site."""

import re
import shutil
import time

import pytest
import yaml

from tests.projects import make_project, run
from wristward.data.read import read_dataset
from wristward.data.reading.tree import read_yaml
from wristward.errors import DataError

NAME = "\u0639\u0635\u0628 5 < 6 > 4 \"q\" 'a' `c` *b* _i_ [l](p) & | # \\ 🦴👩🏽\u200d⚕️ e\u0301"
"""Right-to-left letters, an emoji of several, and every sign that means something to Markdown, HTML or a script."""

SCRIPT = "<script>globalThis.ran = true</script>"
OUTSIDE = "../../outside"


def content_of(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def rewrite(path, change):
    """Write a YAML file again with every text passed through ``change(key, text)``."""

    def walked(value, key=None):
        if isinstance(value, dict):
            return {name: walked(entry, name) for name, entry in value.items()}
        if isinstance(value, list):
            return [walked(entry, key) for entry in value]
        return change(key, value) if isinstance(value, str) else value

    data = walked(read_yaml(path.read_bytes(), file=path.name)[0].plain())
    path.write_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False, width=10_000), "utf-8")


@pytest.fixture(scope="module")
def strange(tmp_path_factory):
    """The tiny project, every name of it strange, built."""
    folder = make_project(tmp_path_factory.mktemp("strange") / "عصب 🦴 & co")
    data = folder / "anatomy_data"
    for path in [*sorted((data / "structures").glob("*.yaml")), data / "region.yaml"]:
        rewrite(path, lambda key, text: f"{NAME} {text}" if key in ("name", "latin") else text)
    before = content_of(folder.parent)
    finished = run(folder, "build")
    assert 0 == finished.returncode, finished.stderr
    written = {name for name in content_of(folder.parent) if name not in before}
    return folder, written


def test_nothing_is_written_beside_site_and_cache(strange):
    """The build writes below the site and the cache, and beside them its lock alone."""
    folder, written = strange
    allowed = (f"{folder.name}/site/", f"{folder.name}/.cache/", f"{folder.name}/.wristward-site-lock")

    assert f"{folder.name}/site/index.html" in written
    assert [] == [name for name in sorted(written) if not name.startswith(allowed)]


@pytest.mark.browser
def test_strange_names_are_text_everywhere(strange, visit):
    """Names of strange signs stand on pages and in the figure's line letter for letter, and no script trips on them."""
    folder, _ = strange
    nerve = visit((folder / "site" / "nerves" / "middle_nerve.html").as_uri())
    heading = nerve.page.locator("h1").evaluate("h => h.firstChild.textContent")
    assert NAME in nerve.page.title()
    travel = visit((folder / "site" / "elbow-to-wrist.html").as_uri())
    travel.page.wait_for_selector(".w-ready")
    listed = travel.page.locator('[data-part="list"]').inner_text()

    assert (f"{NAME} middle nerve", []) == (heading, nerve.errors)
    assert (True, []) == (f"{NAME} middle nerve" in listed, travel.errors)
    assert not travel.page.evaluate("document.documentElement.scrollWidth > innerWidth")


def test_a_script_in_every_text_is_refused(project):
    """A script in every text of the data is told for every one of them."""
    count = 0

    def spoilt(key, text):
        nonlocal count
        count += 1
        return f"{text} {SCRIPT}"

    for path in sorted((project / "anatomy_data").rglob("*.yaml")):
        rewrite(path, spoilt)
    finished = run(project, "check")
    told = [
        line
        for line in finished.stderr.splitlines()
        if line.endswith("holds a tag (allowed: text without '<' before a letter)")
    ]

    assert (1, count) == (finished.returncode, len(told))
    assert "Traceback" not in finished.stderr


@pytest.mark.parametrize(
    ("file", "old", "why"),
    [
        ("structures/soft.yaml", "  middle_nerve:", "allowed: small letters, digits and '_', beginning with a letter"),
        ("levels/z020.yaml", "  middle_nerve:", "unknown structure"),
    ],
)
def test_a_way_out_of_the_folder_is_no_name(project, file, old, why):
    """An id that leads elsewhere is told where it is defined and where it is used, before anything is written."""
    path = project / "anatomy_data" / file
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, f"  {OUTSIDE}:", 1), "utf-8")
    with pytest.raises(DataError) as caught:
        read_dataset(project / "anatomy_data")

    assert [] != [one for one in caught.value.problems if OUTSIDE in one.text and why in one.text]


def test_a_way_out_of_the_folder_is_no_page(project):
    """A menu entry that leads elsewhere stops the build, and nothing is written elsewhere."""
    config, before = project / "mkdocs.yml", {path.name for path in project.parent.parent.iterdir()}
    config.write_text(config.read_text("utf-8").replace("wristward:levels", f"wristward:{OUTSIDE}", 1), "utf-8")
    finished = run(project, "build")

    assert (1, False) == (finished.returncode, (project / "site").exists())
    assert f"mkdocs.yml: unknown menu entry 'wristward:{OUTSIDE}' (allowed: " in finished.stderr
    assert "Traceback" not in finished.stderr
    assert before == {path.name for path in project.parent.parent.iterdir()}


@pytest.mark.parametrize("target", [".", "..", "content", "anatomy_data"])
def test_a_site_replaces_nothing_but_a_site(project, target):
    """A folder that holds anything else is not taken for the site, and all that is in it stays."""
    before = content_of(project.parent)
    finished = run(project, "build", "--site-dir", target)

    assert (1, before) == (finished.returncode, content_of(project.parent))
    assert "holds something else than a site (allowed: a new or an empty folder, or a built site)\n" in finished.stderr


def test_a_page_of_a_generated_page_s_name_is_refused(project):
    """A page in the place of one that is made from the data is told, and neither is silently lost."""
    (project / "content" / "sources.md").write_text("# Mine\n", "utf-8")
    finished = run(project, "build")

    assert (1, "content/sources.md: a page of this name is made from the data (allowed: another name)\n") == (
        finished.returncode,
        re.sub(r"Solving sections: .*\n", "", finished.stderr),
    )


@pytest.mark.long
def test_two_thousand_pages_are_built(tmp_path):
    """Two thousand pages with a figure each are built whole, and a second build renders no generated page again."""
    project = make_project(tmp_path / "project")
    for number in range(2000):
        fence = f"```wristward\nfigure: section\nz_mm: {number % 41}\n```\n" if number % 10 == 0 else "Text.\n"
        (project / "content" / f"page-{number:04}.md").write_text(f"# Page {number}\n\n{fence}", "utf-8")
    config = project / "mkdocs.yml"
    text = config.read_text("utf-8").split("nav:")[0]
    config.write_text(text, "utf-8")
    started = time.monotonic()
    finished = run(project, "build")
    seconds = time.monotonic() - started

    assert 0 == finished.returncode, finished.stderr
    assert 2000 == len(list((project / "site").glob("page-*.html")))
    print(f"2,000 pages: {seconds:.0f} s")
    shutil.rmtree(project)

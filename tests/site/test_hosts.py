"""Where a site may stand: in a frame of another page, on a host with a strict policy, kept in the browser, in a folder."""

from __future__ import annotations

import re
import shutil

import pytest

from tests.conftest import serving
from tests.projects import make_project, run
from tests.waiting import idle, still_height
from wristward.site import offline, policy

PLUGIN = "  - wristward: {data_dir: anatomy_data"
ASKED = "  - wristward: {offline: true, strict_policy: true, data_dir: anatomy_data"
FRAME = """<!doctype html><title>course</title><link rel="icon" href="data:,"><script>
window.got = []; addEventListener("message", (event) => got.push(event.data));</script>
<iframe %s style="width:800px;height:300px" title="figure" src="/elbow-to-wrist.html?embed=1&z=20&side=left"></iframe>"""


@pytest.fixture(scope="module")
def asked_site(tmp_path_factory):
    """The tiny site, built with both options for hosts."""
    folder = make_project(tmp_path_factory.mktemp("for hosts") / "a project")
    config = folder / "mkdocs.yml"
    text = config.read_text("utf-8")
    assert PLUGIN in text
    config.write_text(text.replace(PLUGIN, ASKED), "utf-8")
    finished = run(folder, "build")
    assert 0 == finished.returncode, finished.stderr
    return folder / "site"


@pytest.fixture
def host(asked_site, tmp_path):
    """A copy of the site behind a server of this machine: (address, folder)."""
    folder = tmp_path / "served"
    shutil.copytree(asked_site, folder)
    with serving(folder) as address:
        yield address, folder


@pytest.mark.browser
def test_a_frame_shows_one_figure_alone(host, visit):
    """With ?embed=1 a page shows its figure and the cautions, keeps height and side from the query, and no menu."""
    address, _ = host
    visited = visit(f"{address}elbow-to-wrist.html?embed=1&z=20&side=left")
    page = visited.page
    page.wait_for_selector(".w-ready")

    assert "#z=20&side=left" == page.evaluate("location.hash")
    page.locator('[data-part="readout"]', has_text="2 cm").wait_for()
    assert page.locator('input[value="left"]').is_checked()
    for part in (".md-header", ".md-footer", ".md-sidebar", "h1"):
        assert [] == [one for one in page.locator(part).all() if one.is_visible()], part
    assert page.locator(".w-drawing").first.is_visible()
    assert page.locator(".ww-cautions").is_visible()
    assert [] == visited.errors


@pytest.mark.browser
def test_a_frame_shows_the_quiz_that_is_asked_for(host, visit):
    """A page with a quiz shows that alone; a number beyond the last figure shows the last."""
    address, _ = host
    page = visit(f"{address}practice.html?embed=1&figure=9").page
    page.locator(".w-quiz button").first.wait_for()

    assert not page.locator("h1").is_visible()
    assert page.locator(".w-quiz").is_visible()


@pytest.mark.browser
@pytest.mark.parametrize("sandbox", ["", 'sandbox="allow-scripts"'])
def test_a_frame_tells_its_height(host, visit, sandbox):
    """The page around learns the height, also from a frame that keeps nothing, and again when it changes."""
    address, folder = host
    (folder / "course.html").write_text(FRAME % sandbox, "utf-8")
    visited = visit(f"{address}course.html")
    page = visited.page
    page.frame_locator("iframe").locator(".w-ready").wait_for()
    frame = next(one for one in page.frames if "embed=1" in one.url)
    real = still_height(frame)
    page.wait_for_function("(real) => got.at(-1)?.height === real", arg=real)
    before = page.evaluate("got.length")
    frame.evaluate("document.querySelector('.w-words').remove()")
    page.wait_for_function(f"got.length > {before}")
    messages = page.evaluate("got")

    assert real == messages[before - 1]["height"]
    assert messages[-1]["height"] < real
    assert {("source", "type", "height")} == {tuple(one) for one in messages}
    assert [] == visited.errors


@pytest.mark.browser
def test_links_of_a_frame_open_beside_it(host, visit):
    """A link in a frame opens the site in a window of its own."""
    address, _ = host
    page = visit(f"{address}elbow-to-wrist.html?embed=1").page
    page.wait_for_selector(".w-ready")
    # A frame's table is folded until it is asked for.
    page.evaluate("for (const fold of document.querySelectorAll('details')) fold.open = true")
    with page.context.expect_page() as opened:
        page.locator(".w-words a, .ww-cautions a").first.click()

    assert "embed=1" in page.url
    assert opened.value.url.startswith(address)


@pytest.mark.browser
def test_pages_work_under_their_own_policy(host, visit):
    """Figures, the zoom, search, quiz and paper run under the policy without one complaint; another script does not."""
    address, _ = host
    visited = visit(f"{address}elbow-to-wrist.html")
    page = visited.page
    page.wait_for_selector(".w-ready")
    page.locator('[data-part="zoom-button"]').click()
    page.wait_for_selector(".js-plotly-plot")
    page.locator("#ww-search-input").fill("nerve")
    page.locator(".ww-search__panel li").first.wait_for()
    for name in ("index.html", "practice.html", "levels/index.html", "print/sections-named.html"):
        page.goto(address + name)
        idle(page)

    page.goto(f"{address}levels/z012.html")
    page.wait_for_url("**/elbow-to-wrist.html#z=12")
    page.wait_for_selector(".w-ready")

    assert [] == visited.errors
    page.evaluate(
        "document.body.append(Object.assign(document.createElement('script'), {textContent: 'window.ran = 1'}))"
    )
    assert page.evaluate("window.ran === undefined")
    assert any("Content Security Policy" in error for error in visited.errors)


def test_every_page_has_a_policy_of_its_own(asked_site, built):
    """Each page of such a build names the hashes of its own scripts and allows no other; a usual build has no policy."""
    pages = sorted(asked_site.rglob("*.html"))
    for path in pages:
        html = path.read_text("utf-8")
        found = re.findall(r'<head[^>]*><meta http-equiv="Content-Security-Policy" content="([^"]+)">', html)

        assert 1 == len(found), path
        script_src = next(one for one in found[0].split("; ") if one.startswith("script-src"))
        assert "unsafe" not in script_src
    assert len(pages) > 10
    assert [] == [
        path for path in (built / "site").rglob("*.html") if "Content-Security-Policy" in path.read_text("utf-8")
    ]
    assert not (built / "site" / offline.NAME).exists()


def test_a_script_in_an_attribute_is_refused():
    """A page with a script that no hash can allow is named with its line."""
    html = "<html><head></head>\n<body>\n<p onclick='x()'>"

    with pytest.raises(policy.PolicyError, match=r"^a\.html:3:1: 'onclick' is a script in an attribute"):
        policy.add_policy(html, name="a.html")
    policy.add_policy("<html><head></head><script>let on = '<p onclick=1>'</script>", name="a.html")


def test_the_policy_knows_what_runs():
    """Scripts that run and styles are hashed, whatever their line ends; data and files are not."""
    told = policy.policy_of(
        '<script>a\r\nb</script><script src="x.js"></script><script type="application/json">{}</script><style>p{}</style>'
    )

    assert policy.policy_of("<script>a\nb</script><style>p{}</style>") == told
    assert 1 == told.split(";")[1].count("sha256-")
    assert 2 == told.split(";")[2].count("sha256-")


def kept(page):
    """Wait until this version of the site is kept whole, and let it take over the page."""
    page.evaluate(
        """async () => {
          const { active } = await navigator.serviceWorker.ready;
          const changed = () => new Promise((go) => active.addEventListener('statechange', go, { once: true }));
          while (active.state !== 'activated') await changed();
        }"""
    )
    page.reload()

    assert page.evaluate("navigator.serviceWorker.controller !== null")


@pytest.mark.browser
def test_the_site_is_read_without_a_connection(host, visit):
    """Kept once, every kind of page is there with the server gone: also those never opened before."""
    address, folder = host
    visited = visit(f"{address}index.html")
    page = visited.page
    kept(page)
    shutil.rmtree(folder)  # the server answers nothing any more
    for name in (
        "",
        "elbow-to-wrist.html?embed=1&z=20",
        "nerves/index.html",
        "print/sections-named.html",
        "levels/z012.html",
    ):
        answer = page.goto(address + name)

        assert answer.ok, name
        assert answer.from_service_worker, name
    page.goto(f"{address}elbow-to-wrist.html")
    page.wait_for_selector(".w-ready")
    assert [] == visited.errors


TRIED = """async () => {
  const site = await navigator.serviceWorker.ready, tried = [];
  const watch = (worker) => worker && tried.push(new Promise((done) => {
    const look = () => ["installed", "redundant"].includes(worker.state) && done(worker.state);
    worker.addEventListener("statechange", look);
    look();
  }));
  watch(site.installing);
  site.addEventListener("updatefound", () => watch(site.installing));
  await site.update().catch(() => {});
  while (tried.length === 0) await new Promise(requestAnimationFrame);
  return Promise.all(tried);
}"""
"""Ask for a newer version, and tell how each that was begun ended: installed, or given up as redundant."""


def change(folder, **texts):
    """Make another version of a served site: text added to some pages, and the list of files written again."""
    for name, text in texts.items():
        path = folder / name.replace("__", ".")
        path.write_text(path.read_text("utf-8").replace("</body>", f"<p class='fresh'>{text}</p></body>"), "utf-8")
    (folder / offline.NAME).write_text(offline.worker_script(folder), "utf-8")


@pytest.mark.browser
def test_a_new_version_comes_whole(host, visit):
    """A new version waits with a note while every page is still the old one; changing over makes every page the new one."""
    address, folder = host
    page = visit(f"{address}index.html").page
    kept(page)
    change(folder, index__html="two", search__html="two")
    page.reload()
    page.locator(".ww-new-version").wait_for()

    assert 0 == page.locator(".fresh").count()
    page.goto(f"{address}search.html")
    assert 0 == page.locator(".fresh").count()
    page.locator(".ww-new-version button").click()
    page.locator(".fresh").wait_for()
    page.goto(f"{address}index.html")
    assert "two" == page.locator(".fresh").inner_text()
    names = page.evaluate("caches.keys()")
    assert 1 == len(names)


@pytest.mark.browser
def test_half_a_new_version_is_not_taken(host, visit):
    """While a host holds files of two versions nothing is taken from it, and the old version is read on."""
    address, folder = host
    page = visit(f"{address}index.html").page
    kept(page)
    change(folder, index__html="two", search__html="two")
    late = folder / "search.html"
    late.write_text(late.read_text("utf-8") + "<!-- of a third version -->", "utf-8")
    page.reload()
    ends = page.evaluate(TRIED)
    page.reload()

    assert {"redundant"} == set(ends)
    assert 0 == page.locator(".fresh").count()
    assert 0 == page.locator(".ww-new-version").count()
    assert page.evaluate("navigator.serviceWorker.ready.then((one) => one.waiting === null)")


@pytest.mark.browser
def test_a_folder_is_read_as_before(asked_site, built, visit):
    """Opened from a folder, a usual build asks for nothing from outside and starts no worker."""
    visited = visit((built / "site" / "elbow-to-wrist.html").as_uri() + "?embed=1&z=20&side=left")
    visited.page.wait_for_selector(".w-ready")

    assert "#z=20&side=left" == visited.page.evaluate("location.hash")
    assert [] == visited.errors
    assert [] == [one for one in visited.requests if not one.startswith(("file:", "data:"))]

"""What every test may ask for: a browser, and a page of it that reports its errors and its requests."""

from __future__ import annotations

import contextlib
import functools
import http.server
import os
import shutil
import subprocess
import sys
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from tests.projects import ROOT, command_line, make_project, run
from wristward.anatomy.forearm import Forearm
from wristward.cli.browser import ARGUMENTS
from wristward.cli.checks.browser import find_browser
from wristward.data.read import read_dataset
from wristward.locate import where_is_data
from wristward.project.store import FolderStore
from wristward.section.sweep import solve_all

DESKTOP = {"width": 1280, "height": 900}
PHONE = {"width": 390, "height": 844}


def pytest_addoption(parser):
    parser.addoption("--renew", action="store_true", help="write the golden pictures anew before they are compared")
    parser.addoption("--long", action="store_true", help="run the tests marked as long too")


BEGUN_FIRST = (
    "tests/site/test_shipped_site.py", "tests/site/", "tests/installed/", "tests/recipes/", "tests/browser/",
    "tests/languages/", "tests/export/",
)  # fmt: skip
"""What takes longest for its number of tests: begun last, one worker would end long after the other."""


def begun(nodeid):
    """Return the place in the order of begin of a test, by what of ``BEGUN_FIRST`` its address starts with."""
    found = [place for place, start in enumerate(BEGUN_FIRST) if nodeid.startswith(start)]
    return found[0] if found else len(BEGUN_FIRST)


def pytest_collection_modifyitems(config, items):
    """Begin with what takes long; leave out, not skip, what is marked long, so that a skipped test remains to be looked at."""
    items.sort(key=lambda item: begun(item.nodeid))
    if config.getoption("--long"):
        return
    long = [item for item in items if item.get_closest_marker("long") is not None]
    if long:
        config.hook.pytest_deselected(items=long)
        items[:] = [item for item in items if item not in set(long)]


def pytest_terminal_summary(terminalreporter):
    """Print what the benchmarks measured as one table, before pytest's own summary."""
    rows = [
        row
        for reports in terminalreporter.stats.values()
        for report in reports
        if getattr(report, "when", "") == "call"
        for name, row in report.user_properties
        if name == "bench"
    ]
    if not rows:
        return
    heads = ["benchmark", "baseline", "ours", "ratio", "at least"]
    widths = [max(len(row[k]) for row in [heads, *rows]) for k in range(len(heads))]
    terminalreporter.section("benchmarks, each against its baseline in this run")
    for row in [heads, *rows]:
        cells = [cell.rjust(width) for cell, width in zip(row[1:], widths[1:], strict=True)]
        terminalreporter.write_line("  ".join([row[0].ljust(widths[0]), *cells]))


STORE = ROOT / ".cache" / "sections"
"""Where the commands keep solved sections; each is looked up by the content it was solved from."""


@pytest.fixture(scope="session")
def dataset():
    """The shipped data, checked."""
    return read_dataset(where_is_data())


@pytest.fixture(scope="session")
def forearm(dataset):
    """The shipped forearm, resolved."""
    return Forearm.from_dataset(dataset)


@pytest.fixture(scope="session")
def arm_sections(forearm, tmp_path_factory):
    """Every whole millimetre of the shipped reference arm, solved: z (mm) to section."""
    with only_one(tmp_path_factory):
        found = solve_all(forearm, store=FolderStore(STORE), workers=2)

    # Many tests look for faults in every section: here it is said that there is something to look at.
    assert set(range(261)) == set(found)
    assert [] == [z for z, cut in found.items() if "median_nerve" not in {one.id for one in cut.structures}]
    return found


def shared_by_workers(tmp_path_factory) -> Path:
    """Return the folder that all workers of a run have in common."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


@contextlib.contextmanager
def only_one(tmp_path_factory, what="solving"):
    """Let one worker of a run solve, or do what else is named, at a time: what it keeps, the next one finds."""
    lock = shared_by_workers(tmp_path_factory) / f"{what}.lock"
    while True:
        try:
            lock.mkdir()
            break
        except FileExistsError:
            time.sleep(0.2)
    try:
        yield
    finally:
        lock.rmdir()


@pytest.fixture(scope="session")
def shipped(tmp_path_factory):
    """The shipped site, built once for all workers of a run, in a folder whose path has spaces."""
    site = shared_by_workers(tmp_path_factory) / "the shipped site" / "on a disk"
    with only_one(tmp_path_factory):
        if not site.is_dir():
            # The arms that are drawn otherwise take longer to solve than all else; ``--long`` looks at them.
            command, environment = command_line("build", "--without-arms", "--site-dir", str(site))
            subprocess.run(command, cwd=ROOT, env=environment, check=True, stdout=subprocess.DEVNULL)
    return site


@pytest.fixture(scope="session")
def wheel(tmp_path_factory):
    """The wheel, built once for all workers of a run, without network from what is installed."""
    folder = shared_by_workers(tmp_path_factory) / "wheel"
    with only_one(tmp_path_factory, "building the wheel"):
        if not folder.is_dir():
            command = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(ROOT)]
            subprocess.run(command, check=True, capture_output=True)
    return next(folder.glob("*.whl"))


@pytest.fixture(scope="session")
def chromium():
    """Start a Chromium with more arguments: ``chromium(*more)``; one driver a process, which is all it bears."""
    from playwright.sync_api import sync_playwright

    path = find_browser()
    with sync_playwright() as playwright:
        yield lambda *more: playwright.chromium.launch(
            executable_path=path, args=[*ARGUMENTS, *more]
        )  # fmt: skip


@pytest.fixture(scope="session")
def browser(chromium):
    """A Chromium started once for the process; it never opens its maker's services."""
    started = chromium()
    yield started
    started.close()


@pytest.fixture(scope="session")
def built(tmp_path_factory):
    """The tiny project with its built site, shared by tests that only look at it."""
    folder = make_project(tmp_path_factory.mktemp("built site") / "a project")
    finished = run(folder, "build")
    assert 0 == finished.returncode, finished.stderr
    return folder


@pytest.fixture
def project(tmp_path, built):
    """A fresh copy of the tiny project without its site, for a test that changes it; what was solved is at hand."""
    folder = make_project(tmp_path / "project")
    shutil.copytree(built / ".cache", folder / ".cache")
    return folder


class Quiet(http.server.SimpleHTTPRequestHandler):
    """A plain server whose requests are not told: a test's output is for its own findings."""

    def log_message(self, *words):
        """Say nothing."""


@contextlib.contextmanager
def serving(folder, handler=Quiet):
    """Serve a folder on this machine while the context lasts, and give its address."""
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(handler, directory=str(folder))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


WCAG = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa")


def axe_violations(page, *, context=None, tags=WCAG, rules=(), off=()):
    """Return what axe finds on a page, as (rule, up to three places).

    Args:
        page: The page.
        context: What to look at, the whole page without it.
        tags: Kinds of rules to ask.
        rules: Single rules to ask instead.
        off: Rules left out.
    """
    from axe_playwright_python.sync_playwright import Axe

    asked = {"type": "rule", "values": list(rules)} if rules else {"type": "tag", "values": list(tags)}
    options = {
        "runOnly": asked,
        "rules": {rule: {"enabled": False} for rule in off},
        # What passes would be told with all its places: on the list of sources that takes longer than asking.
        "resultTypes": ["violations"],
        "preload": False,
    }
    found = Axe().run(page, context=context, options=options).response["violations"]
    return [(one["id"], [node["target"] for node in one["nodes"]][:3]) for one in found]


@dataclass
class Visit:
    """A browser page with what went wrong on it and what it asked for."""

    page: object
    errors: list[str] = field(default_factory=list)
    """Console errors and uncaught exceptions, in order."""

    requests: list[str] = field(default_factory=list)
    """Every address asked for, in order."""


@pytest.fixture
def visit(browser):
    """Open pages in contexts of their own: ``visit(url, viewport=..., scheme="dark", touch=True)``."""
    contexts = []

    def open_page(url, *, viewport=None, scheme="light", touch=False, **options):
        context = browser.new_context(
            viewport=viewport or DESKTOP, color_scheme=scheme, has_touch=touch, is_mobile=touch, **options
        )
        contexts.append(context)
        visited = Visit(context.new_page())
        visited.page.on("console", lambda said: said.type == "error" and visited.errors.append(said.text))
        visited.page.on("pageerror", lambda error: visited.errors.append(str(error)))
        visited.page.on("request", lambda request: visited.requests.append(request.url))
        visited.page.goto(url)
        return visited

    yield open_page
    for context in contexts:
        context.close()

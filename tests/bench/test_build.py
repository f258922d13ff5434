"""A warm build of 200 pages against the theme alone on the Markdown that ours emits; and how soon an edit is seen."""

import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest
import yaml

from tests.projects import command_line
from wristward.locate import where_is_data
from wristward.pages.made import MadePages

ROOT = Path(__file__).resolve().parents[2]
PAGES = 200
RUNS = 3
BUILD, ENVIRONMENT = command_line("build")
ENVIRONMENT["NO_MKDOCS_2_WARNING"] = "1"


def seconds(command, folder):
    """Run a command in a folder and return how long it took."""
    started = time.perf_counter()
    finished = subprocess.run(command, cwd=folder, env=ENVIRONMENT, capture_output=True, text=True)
    assert 0 == finished.returncode, finished.stderr
    return time.perf_counter() - started


@pytest.fixture(scope="module")
def course(tmp_path_factory):
    """The shipped site as a course of 200 pages: what the generator writes, and an educator's prose to make up the sum."""
    folder = tmp_path_factory.mktemp("course") / "ours"
    folder.mkdir()
    shutil.copytree(ROOT / "content", folder / "content")
    config = (ROOT / "mkdocs.yml").read_text("utf-8").replace("data_dir: anatomy_data", f"data_dir: {where_is_data()}")
    config = config.replace("arms: true", "arms: false")
    (folder / "mkdocs.yml").write_text(config.replace("omitted_files: warn", "omitted_files: ignore"), "utf-8")
    (folder / ".cache").mkdir()
    shutil.copytree(ROOT / ".cache" / "sections", folder / ".cache" / "sections")
    seconds(BUILD, folder)
    have = len(list((folder / "site").rglob("*.html")))
    prose = (ROOT / "content" / "about.md").read_text("utf-8")
    for number in range(have, PAGES):
        (folder / "content" / f"lesson-{number}.md").write_text(prose, "utf-8")
    return folder


@pytest.fixture(scope="module")
def emitted(course):
    """The same pages as plain Markdown, with the theme and its options but without our plugin."""
    folder = course.parent / "theme alone"
    shutil.copytree(course / "content", folder / "content")
    model = MadePages(where_is_data(), cache=course / ".cache", version="0")
    for page in model.site.pages:
        path = folder / "content" / page.src_uri
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(page.markdown, "utf-8")
    for path, content in model.site.assets.items():
        target = folder / "content" / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content if isinstance(content, bytes) else content.encode())
    config = yaml.safe_load((ROOT / "mkdocs.yml").read_text("utf-8"))
    del config["nav"], config["plugins"], config["validation"]
    config["strict"] = False
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(config), "utf-8")
    return folder


@pytest.mark.long
def test_warm_build(course, emitted, gate):
    """A second build of 200 pages takes at most one and a half times as long as the theme alone on that Markdown."""
    ours, theirs = [], []
    seconds(BUILD, course)
    for _ in range(RUNS):
        ours.append(seconds(BUILD, course))
        theirs.append(seconds([sys.executable, "-m", "mkdocs", "build", "--quiet"], emitted))
    assert PAGES <= len(list((course / "site").rglob("*.html")))

    gate("warm build of 200 pages", ours=min(ours), baseline=min(theirs), at_least=1 / 1.5, unit="s")


@pytest.mark.long
def test_size_on_disk(tmp_path, goal):
    """The whole site with every arm, as it is copied to a memory stick."""
    site = tmp_path / "site"
    seconds([*BUILD, "--site-dir", str(site)], ROOT)
    sizes = [path.stat().st_size for path in site.rglob("*") if path.is_file()]
    assert list(site.glob("assets/wristward/wristward-arm-*.js"))

    goal("whole site on disk", ours=sum(sizes) / 1e6, goal=15, unit="MB")


@pytest.mark.long
def test_after_an_edit(course, goal):
    """After a line of Markdown, or one level of the anatomy, has changed, the next build shows it."""
    seconds(BUILD, course)
    index = course / "content" / "index.md"
    index.write_text(index.read_text("utf-8") + "\nA line more.\n", "utf-8")
    took = seconds(BUILD, course)
    assert "A line more." in (course / "site" / "index.html").read_text("utf-8")

    goal("after editing Markdown, whole command", ours=took, goal=3, unit="s")

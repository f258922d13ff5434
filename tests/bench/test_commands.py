"""How soon a command answers, how soon sections are measured, and how much memory a build takes at its highest."""

import re
import shutil
import subprocess
import time
from pathlib import Path

import pytest

from tests.bench.landed_measures import measure_section as landed
from tests.preview import Preview
from tests.projects import ROOT, command_line
from wristward.measure.measures import measure_section

RUNS = 5
MEASURED_MM = range(0, 261, 13)
PAGES = 2000
LOOKS_S = 0.02
"""Between two looks, s."""

VERSION = re.compile(r"\b[0-9a-f]{10}\b")
AREA = re.compile(r"(  flexor_carpi_radialis: \{area_mm2: )([\d.]+)")


def seconds(folder, *words):
    """Run a command in a folder and return how long it took from its start to its end."""
    command, environment = command_line(*words)
    started = time.perf_counter()
    subprocess.run(command, cwd=folder, env=environment, capture_output=True, check=True)
    return time.perf_counter() - started


@pytest.mark.long
def test_commands(goal):
    """Help, and a section that a build has solved, are there before one has looked up."""
    seconds(ROOT, "section", "--z-mm", "195")
    helped, cut = (
        min(seconds(ROOT, *words) for _ in range(RUNS)) for words in (["--help"], ["section", "--z-mm", "195"])
    )

    goal("the command --help", ours=helped, goal=0.2, unit="s")
    goal("the command section, from the store", ours=cut, goal=1.2, unit="s")


@pytest.mark.long
def test_measuring(arm_sections, gate):
    """Structures measured together, to the last digit as one by one, take less than half the time."""
    sections = [arm_sections[z] for z in MEASURED_MM]
    ways = {"baseline": landed, "ours": measure_section}
    # Polygons are made once, and kept: both find them there.
    found = {name: [measure(section, partners={}) for section in sections] for name, measure in ways.items()}
    took = {}
    for name, measure in ways.items():
        started = time.process_time()
        for section in sections:
            measure(section, partners={})
        took[name] = (time.process_time() - started) * 1000 / len(sections)

    assert len(MEASURED_MM) == len(found["ours"])
    assert found["baseline"] == found["ours"]
    gate("measuring a section", **took, at_least=2, unit="ms")


@pytest.fixture
def site(tmp_path):
    """The shipped site in a folder of its own, with nothing made yet but the sections that are solved."""
    for name in ("content", "anatomy_data"):
        shutil.copytree(ROOT / name, tmp_path / name)
    shutil.copytree(ROOT / ".cache" / "sections", tmp_path / ".cache" / "sections")
    shutil.copy(ROOT / "mkdocs.yml", tmp_path)
    return tmp_path


@pytest.fixture
def course(site):
    """The same without the arms drawn otherwise, with 2,000 pages of an educator's prose."""
    config = (site / "mkdocs.yml").read_text("utf-8").replace("arms: true", "arms: false")
    (site / "mkdocs.yml").write_text(config.replace("omitted_files: warn", "omitted_files: ignore"), "utf-8")
    (site / "content" / "lessons").mkdir()
    for number in range(PAGES):
        text = f"# Lesson {number}\n\nWhat is said in lesson {number}.\n\n## Part\n\nAnd *more* of it.\n"
        (site / "content" / "lessons" / f"lesson-{number}.md").write_text(text, "utf-8")
    return site


@pytest.mark.long
def test_2000_pages(course, goal):
    """Of 2,000 pages written by hand, a build after a change of one leaves the files of all others as they were."""
    first = seconds(course, "build")
    times = {path: path.stat().st_mtime_ns for path in (course / "site").rglob("*.html")}
    page = course / "content" / "lessons" / "lesson-7.md"
    page.write_text(page.read_text("utf-8") + "\nA line more.\n", "utf-8")
    second = seconds(course, "build")
    changed = {path for path in (course / "site").rglob("*.html") if path.stat().st_mtime_ns != times.get(path)}

    assert PAGES < len(times)
    assert {course / "site" / "lessons" / "lesson-7.html"} == changed
    goal("first build with 2,000 pages written by hand", ours=first, goal=120, unit="s")
    goal("build after a change of one of 2,000 pages", ours=second, goal=60, unit="s")


@pytest.mark.long
def test_preview(site, goal):
    """In the running preview, what was changed is on the page: a line of prose, and what one level of the anatomy reaches."""
    command, environment = command_line("serve")
    preview = Preview(command, cwd=site, environment=environment)
    try:
        preview.wait_for("Serving at")
        prose, level = site / "content" / "index.md", site / "anatomy_data" / "levels" / "z097.yaml"
        line = _until_shown(
            preview,
            "index.html",
            prose,
            lambda text: text + "\nA line more.\n",
            told=lambda page: "A line more." in page,
        )
        drawn = _until_shown(
            preview, "levels/z097.html", level, lambda text: AREA.sub(_larger, text, count=1), told=_version
        )
    finally:
        preview.process.kill()
        preview.process.wait()

    goal("edited Markdown, in the running preview", ours=line, goal=1.5, unit="s")
    goal("an edited level, on its page in the running preview", ours=drawn, goal=7, unit="s")


def _larger(found):
    return f"{found[1]}{float(found[2]) * 1.05:.1f}"


def _version(page):
    """Return the hash of program and data that a page carries."""
    return VERSION.search(page)[0]


def _until_shown(preview, name, path, change, *, told):
    """Change a file, and return how long it took until the page tells something else than before, s."""
    before, text = told(preview.page(name)), path.read_text("utf-8")
    assert text != change(text)
    started = time.perf_counter()
    path.write_text(change(text), "utf-8")

    def shown():
        return told(preview.page(name)) != before

    _until(shown)
    return time.perf_counter() - started


@pytest.mark.long
def test_memory(site, goal):
    """What a build of the site with every arm takes at its highest, all its processes together, shared pages once."""
    if not Path("/proc/self/smaps_rollup").is_file():
        pytest.skip("this system does not tell how memory is shared")
    command, environment = command_line("build")
    building = subprocess.Popen(command, cwd=site, env=environment, stdout=subprocess.DEVNULL)
    seen = [0.0]

    def ended():
        seen.append(sum(map(_proportional_mb, _family(building.pid))))
        return building.poll() is not None

    _until(ended)

    assert 0 == building.returncode
    assert 0 < max(seen)
    goal("memory of a build, all processes", ours=max(seen), goal=600, unit="MB")


def _until(met):
    while not met():
        time.sleep(LOOKS_S)


def _family(pid):
    """Return a process and all that it started, directly or not."""
    try:
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    except OSError:
        return []
    return [pid, *(one for child in children for one in _family(int(child)))]


def _proportional_mb(pid):
    """Return a process's memory, each page divided by how many share it, MB; 0 where it has ended."""
    try:
        lines = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
    except OSError:
        return 0.0
    return next((int(line.split()[1]) / 1024 for line in lines if line.startswith("Pss:")), 0.0)

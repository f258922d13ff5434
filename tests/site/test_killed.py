"""A build of a three-page course killed at random moments: the last good site is whole, or the next build restores it before it begins."""

import random
import shutil
import subprocess
import time

import pytest

from tests.projects import begin_build, command_line, run

FEW, MANY = 2, 50
SHORTEST_S = 0.05


def content_of(site):
    return {path.relative_to(site).as_posix(): path.read_bytes() for path in sorted(site.rglob("*")) if path.is_file()}


def kill_builds(project, count, seed):
    """Build twice, each time with other words, then kill ``count`` builds; yield the site after each and its candidates."""
    page, site = project / "content" / "index.md", project / "site"
    prose = page.read_text("utf-8")
    good, seconds = [], 1.0
    for words in ("First words.", "Second words."):
        page.write_text(f"{prose}\n{words}\n", "utf-8")
        started = time.monotonic()
        finished = run(project, "build")
        seconds = time.monotonic() - started
        assert 0 == finished.returncode, finished.stderr
        good.append(content_of(site))
    command, environment = command_line("build")
    moments = random.Random(seed)
    for number in range(count):
        page.write_text(f"{prose}\n{('First', 'Second')[number % 2]} words.\n", "utf-8")
        started = subprocess.Popen(
            command, cwd=project, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        try:
            started.wait(moments.uniform(SHORTEST_S, seconds))
        except subprocess.TimeoutExpired:
            started.kill()
            started.wait()
        begin_build(site)
        yield content_of(site), good
    left = sorted(
        path.name for path in project.iterdir() if path.name.startswith(".wristward") and "lock" not in path.name
    )
    assert [] == left


def kill_while_solving(project):
    """Kill a build that has nothing to begin from as soon as it says that it solves; return the site before and after."""
    before = content_of(project / "site")
    shutil.rmtree(project / ".cache")
    command, environment = command_line("build")
    started = subprocess.Popen(command, cwd=project, env=environment, stderr=subprocess.PIPE, text=True)
    assert "Solving sections" in started.stderr.read(16)
    started.kill()
    started.wait()
    return before, content_of(project / "site")


@pytest.mark.parametrize("count", [FEW, pytest.param(MANY, marks=pytest.mark.long)])
def test_a_killed_build_leaves_a_whole_site(project, count):
    """After each kill the site is, byte for byte, one of the two good ones, and nothing half-written lies beside it.

    Killed while it solves, a build has touched nothing of the last site, and the next one runs through.
    """
    found = list(kill_builds(project, count, seed=count))
    before, after = kill_while_solving(project)
    finished = run(project, "build")

    assert [True] * count == [site in good for site, good in found]
    assert before == after
    assert 0 == finished.returncode, finished.stderr
    assert found[-1][1][(count - 1) % 2] == content_of(project / "site")
    assert [] == [path.name for path in project.glob(".wristward-*") if path.is_dir()]

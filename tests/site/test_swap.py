"""The finished site takes the last one's place whole; a failed or killed build changes nothing that stays."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.projects import begin_build
from wristward.site.swap import BusyError, replacing

ROOT = Path(__file__).resolve().parents[2]


def names(folder):
    """Everything beside the site but the lock, which may stay: an unlocked lock holds nobody up."""
    return sorted(path.name for path in folder.iterdir() if not path.name.endswith("-lock"))


def write_site(folder, text):
    (folder / "index.html").write_text(text)


@pytest.fixture
def site(tmp_path):
    folder = tmp_path / "site"
    folder.mkdir()
    write_site(folder, "old")
    return folder


def test_a_finished_build_takes_the_place(site):
    """After the block the site is the new one and nothing is left beside it."""
    with replacing(site) as folder:
        write_site(folder, "new")

    assert "new" == (site / "index.html").read_text()
    assert ["site"] == names(site.parent)


def test_the_first_build_needs_no_site(tmp_path):
    """Where there is no site yet, the block makes one, folders above it included."""
    with replacing(tmp_path / "deep" / "site") as folder:
        write_site(folder, "new")

    assert "new" == (tmp_path / "deep" / "site" / "index.html").read_text()


def test_a_failed_build_leaves_the_last_site(site):
    """An error in the block leaves the old site whole and nothing beside it."""
    with pytest.raises(RuntimeError, match="^broken$"), replacing(site) as folder:
        write_site(folder, "half")
        raise RuntimeError("broken")

    assert "old" == (site / "index.html").read_text()
    assert ["site"] == names(site.parent)


def test_two_builds_at_once_are_refused(site):
    """While one build writes a site, a second is told so and touches nothing."""
    with replacing(site) as folder:
        write_site(folder, "first")
        with pytest.raises(BusyError) as caught, replacing(site):
            pass

    assert f"{site}: another build of this site is running" == str(caught.value)
    assert "first" == (site / "index.html").read_text()


BUILDER = """
import sys
from pathlib import Path
from wristward.site.swap import replacing
with replacing(Path(sys.argv[1])) as folder:
    (folder / "index.html").write_text("half")
    if sys.argv[2] == "between the renames":
        Path(sys.argv[1]).rename(folder.parent / ".wristward-site-previous")
    print("ready", flush=True)
    sys.stdin.read()
"""


@pytest.mark.parametrize("moment", ["while writing", "between the renames"])
def test_a_killed_build_is_cleared_up(site, moment):
    """Killed at any moment, a build leaves the old site whole, at the latest when the next one begins."""
    started = subprocess.Popen(
        [sys.executable, "-c", BUILDER, str(site), moment],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT / "generator",
    )  # fmt: skip
    assert "ready\n" == started.stdout.readline()
    started.send_signal(signal.SIGKILL if os.name != "nt" else signal.SIGTERM)
    started.wait()
    begin_build(site)

    assert "old" == (site / "index.html").read_text()
    assert ["site"] == names(site.parent)


def test_the_lock_of_a_killed_build_holds_nobody_up(site):
    """After a build was killed the next one runs at once."""
    test_a_killed_build_is_cleared_up(site, "while writing")
    started = time.monotonic()
    with replacing(site) as folder:
        write_site(folder, "next")

    assert "next" == (site / "index.html").read_text()
    assert time.monotonic() - started < 5


def test_what_did_not_change_keeps_its_time(site):
    """A file that holds what it held has the time it had, also in a folder; a changed one and a new one have their own."""
    (site / "deep").mkdir()
    (site / "deep" / "same.css").write_text("same")
    for path in (site / "index.html", site / "deep" / "same.css"):
        os.utime(path, (1_000, 1_000))
    with replacing(site) as folder:
        (folder / "deep").mkdir()
        (folder / "deep" / "same.css").write_text("same")
        (folder / "added.css").write_text("same")
        write_site(folder, "new")
    times = {path.name: path.stat().st_mtime for path in site.rglob("*") if path.is_file()}

    assert {"same.css"} == {name for name, time_s in times.items() if time_s == 1_000}
    assert {"added.css", "index.html", "same.css"} == set(times)

"""What a benchmark needs: the two pages side by side behind a server that compresses, and a table to write into."""

from __future__ import annotations

import functools
import gzip
from pathlib import Path

import pytest

from tests.bench.baseline import write_baseline
from tests.conftest import Quiet, serving

COMPRESSED = (".html", ".js", ".css", ".svg", ".json")
UNCAPPED = ("--disable-frame-rate-limit", "--disable-gpu-vsync")
"""A screen's 60 Hz would hide every difference below 17 ms."""


@pytest.fixture
def gate(record_property):
    """Write a row of the table and fail below the gate: ``gate(what, ours=, baseline=, at_least=, unit=)``."""

    def check(what, *, ours, baseline, at_least, unit):
        ratio = baseline / ours
        said = f"{baseline:,.0f} {unit}", f"{ours:,.1f} {unit}", f"{ratio:.2f}", f"{at_least:g}"
        record_property("bench", [what, *said])
        assert ratio >= at_least, f"{what}: {ratio:.2f} times better than the baseline (at least {at_least:g})"

    return check


@pytest.fixture
def goal(record_property):
    """Write a row of the table that is measured against a goal in seconds or ms, never failed by it."""

    def note(what, *, ours, goal, unit):
        record_property("bench", [what, "", f"{ours:,.1f} {unit}", "", f"goal {goal:g} {unit}"])

    return note


@pytest.fixture(scope="session")
def baseline(arm_sections, tmp_path_factory):
    """The baseline's folder and the text of its geometry."""
    folder = tmp_path_factory.mktemp("baseline")
    return folder, write_baseline(arm_sections, folder)


@pytest.fixture(scope="session")
def served(shipped, baseline):
    """Both folders behind one server each: the addresses of "Elbow to wrist" and of the baseline."""
    with serving(shipped, _Compressing) as ours, serving(baseline[0], _Compressing) as theirs:
        yield {"ours": f"{ours}elbow-to-wrist.html", "baseline": f"{theirs}index.html"}


@pytest.fixture(scope="session")
def uncapped_browser(chromium):
    """A Chromium that paints as often as it can."""
    started = chromium(*UNCAPPED)
    yield started
    started.close()


class _Compressing(Quiet):
    """A plain server that sends text compressed, as any host for static sites does."""

    protocol_version = "HTTP/1.1"

    def do_GET(self):
        """Send a file."""
        path = Path(self.translate_path(self.path))
        if not path.is_file():
            self.send_error(404)
            return
        content = path.read_bytes()
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(str(path)))
        if path.suffix in COMPRESSED:
            content = _compressed(path, path.stat().st_mtime_ns)
            self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)


@functools.cache
def _compressed(path, changed_ns):
    return gzip.compress(path.read_bytes(), 9, mtime=0)

"""The educators' tutorial is followed to the letter, from an empty folder, with the installed wheel.

Its commands are run, its files are written under their titles, and what it says one sees is looked for. While the
preview runs, what it serves is looked at as a reader's browser would.
"""

import re
import shlex
from dataclasses import dataclass

import pytest

from tests.installed.conftest import CACHE, ROOT
from tests.preview import Preview

BLOCK = re.compile(
    r"^(?P<marks>`{3,})(?P<kind>\w+)(?: title=\"(?P<title>[^\"]+)\")?\n(?P<body>.*?)^(?P=marks)$", re.M | re.S
)
START = ["python3", "-m", "generator"]


@dataclass
class Block:
    kind: str
    title: str | None
    body: str


def steps():
    text = (ROOT / "content" / "tutorial.md").read_text("utf-8")
    return [Block(found["kind"], found["title"], found["body"]) for found in BLOCK.finditer(text)]


@pytest.fixture
def place(tmp_path):
    """An empty folder in the part of the project's, and the course that will stand beside it."""
    (tmp_path / "project").mkdir()
    return tmp_path


@pytest.mark.long
def test_the_tutorial_works_as_it_says(place, installed):
    """From ``new`` to ``build``: every command succeeds and every promised line appears, page and terminal alike."""
    course, preview, said, text = place / "my-course", None, "", ""
    followed = []
    try:
        for block in steps():
            followed.append((block.kind, block.title))
            if block.kind == "sh":
                words = shlex.split(block.body)
                assert START == words[:3]
                if preview is not None:
                    preview.end()
                    preview = None
                if words[3] == "serve":
                    command = [installed.command, *words[3:]]
                    preview = Preview(command, cwd=place / "project", environment=installed.environment())
                    continue
                finished = installed.run("wristward", *words[3:], cwd=place / "project")
                said = finished.stdout + finished.stderr
                assert 0 == finished.returncode, said
                if words[3] == "new":
                    # Sections that the tests have solved already need not be solved again.
                    (course / ".cache").symlink_to(CACHE, target_is_directory=True)
            elif block.kind == "text":
                for line in block.body.splitlines():
                    if preview is None:
                        assert line in said
                    else:
                        preview.wait_for(line)
                        if "content/" in line:
                            told = line.replace("'", "&#x27;")
                            preview.wait_for_page(has=[told, 'role="alert"', "Where is its artery?"], lacks=[])
            else:
                (course / block.title).parent.mkdir(parents=True, exist_ok=True)
                (course / block.title).write_text(block.body, "utf-8")
                text = block.body
                if preview is not None and "ulnar_nerve\n" in text:
                    own = ['data-wristward="quiz"'] if "```quiz" in text else []
                    preview.wait_for_page(has=["Where is its artery?", *own], lacks=['role="alert"'])
    finally:
        if preview is not None:
            preview.process.kill()

    assert [
        "sh",
        "text",
        "sh",
        "text",
        "markdown",
        "markdown",
        "text",
        "markdown",
        "yaml",
        "sh",
        "text",
        "sh",
        "text",
    ] == [kind for kind, _ in followed]
    index = (course / "site" / "index.html").read_text("utf-8")
    assert "Where is its artery?" in index
    assert (course / "site" / "before-the-list.html").is_file()


@pytest.mark.long
def test_the_course_builds_strictly_in_a_fresh_environment(place, wheel):
    """With packages from an index and nothing else, the installed plugin builds a new course by ``mkdocs --strict``."""
    from tests.installed.conftest import install

    fresh = install(place / "fresh", wheel, with_packages=True)
    assert 0 == fresh.run("wristward", "new", "my course", cwd=place).returncode
    finished = fresh.run("mkdocs", "build", "--strict", cwd=place / "my course")

    assert 0 == finished.returncode, finished.stderr
    assert [] == re.findall("^(?:WARNING|ERROR).*", finished.stderr, re.M)
    assert (place / "my course" / "site" / "elbow-to-wrist.html").is_file()

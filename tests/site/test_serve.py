"""The preview keeps the last good site, shows each mistake on the page and in the terminal, and recovers."""

import socket

import pytest

from tests.preview import Preview
from tests.projects import command_line, make_project, run

ALERT = 'role="alert"'
UNDER_WAY = 'role="status"'
LEVEL = "anatomy_data/levels/z020.yaml"


@pytest.fixture
def preview(project):
    """The tiny project, shown."""
    command, environment = command_line("serve")
    shown = Preview(command, cwd=project, environment=environment)
    yield shown
    shown.process.kill()
    shown.process.wait()


def change(path, old, new):
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")


def test_a_mistake_is_shown_over_the_last_site_until_it_is_mended(preview, project):
    """A mistake in a page, the data or the configuration leaves the last page up with the mistake on it; mended, it goes.

    What was changed meanwhile is there then, and an overlay that was named while the preview ran is watched as well.
    """
    preview.wait_for("Serving at")
    preview.wait_for_page(has=["A page of its own"], lacks=[ALERT])

    page = project / "content" / "index.md"
    change(page, "A page of its own", "A changed page\n\n```wristward\nfigure: section\nz_mm: 999\n```\n")
    preview.wait_for("content/index.md:7:7: z_mm is 999 (allowed: a whole number from 0 to 40)")
    preview.wait_for_page(
        has=["A page of its own", ALERT, "content/index.md:7:7: z_mm is 999"], lacks=["A changed page"]
    )
    change(page, "999", "9")
    preview.wait_for_page(has=["A changed page", 'data-wristward="section"'], lacks=[ALERT])

    change(project / LEVEL, "z_mm: 20", "z_mm: 20\nzz: 1")
    preview.wait_for(f"{LEVEL}:3:1: unknown key &#x27;zz&#x27;".replace("&#x27;", "'"))
    preview.wait_for_page(has=["A changed page", ALERT, f"{LEVEL}:3:1: unknown key"], lacks=[])
    change(project / LEVEL, "zz: 1\n", "")
    preview.wait_for_page(has=["A changed page"], lacks=[ALERT])

    config = project / "mkdocs.yml"
    change(config, "site_name: Small arm", "site_name: [")
    preview.wait_for_page(has=["A changed page", ALERT, "mkdocs.yml:"], lacks=[])
    (project / "own" / "levels").mkdir(parents=True)
    change(config, "site_name: [", "site_name: Own arm")
    change(config, "workers: 1", "workers: 1, overlays: [own]")
    preview.wait_for_page(has=["Own arm"], lacks=[ALERT])
    (project / "own" / "levels" / "z020.yaml").write_text("vessels: {middle_artery: {diameter: 2}}\n")
    preview.wait_for_page(has=[ALERT, "own/levels/z020.yaml:1:27: unknown key"], lacks=[])
    (project / "own" / "levels" / "z020.yaml").write_text("vessels: {middle_artery: {diameter_mm: 2}}\n")
    preview.wait_for_page(has=["Own arm"], lacks=[ALERT])

    assert "Traceback" not in preview.said
    preview.end()


def test_the_preview_answers_before_there_is_a_site(tmp_path):
    """While the first site is made, its address says so and how far it is, and then shows it; a rebuild is told too."""
    project = make_project(tmp_path / "project")
    command, environment = command_line("serve")
    preview = Preview(command, cwd=project, environment=environment)
    try:
        preview.wait_for("Making the site; http://127.0.0.1:")
        seen = []
        preview.until(lambda: _seen(preview, seen) == "a site", f"a site; said: {preview.said}")
        change(project / "content" / "index.md", "A page of its own", "A changed page")
        preview.wait_for_page(has=["A changed page"], lacks=[UNDER_WAY])
    finally:
        preview.process.kill()
        preview.process.wait()

    assert "being made" in seen
    assert {"being made", "a site"} == set(seen)
    assert "Serving at" in preview.said


def _seen(preview, seen):
    """Note and return what the preview's address shows; nothing while it does not listen yet."""
    try:
        page = preview.page()
    except OSError:
        return None
    made = 'http-equiv="refresh"' in page and "The site is being made" in page
    seen.append("being made" if made else "a site" if "A page of its own" in page else page)
    return seen[-1]


def test_a_taken_port_is_told_before_anything_is_built(project):
    """A second preview on one port ends at once with words, and builds nothing."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        finished = run(project, "serve", "--port", str(port))

    assert 1 == finished.returncode
    assert f"cannot listen on 127.0.0.1:{port}: Address already in use\n" == finished.stderr
    assert not (project / "site").exists()


def test_a_first_build_that_fails_ends_with_its_mistake(project):
    """With no earlier site to show, the mistake is told and the command ends."""
    change(project / LEVEL, "z_mm: 20", "z_mm: 20\nzz: 1")
    finished = run(project, "serve", "--port", "0")

    assert 1 == finished.returncode
    assert finished.stderr.startswith(f"{LEVEL}:3:1: unknown key 'zz'")
    assert "Traceback" not in finished.stderr

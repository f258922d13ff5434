"""The contributor guide's recipes for kinds, followed on a copy: what they list is what a new kind touches, and it works.

A folder beside this file holds what one recipe adds: new files at their place, and in ``edits.yaml`` what is written into
files that are there.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
import yaml

from tests.projects import ROOT, make_project, run

HERE = Path(__file__).parent
COPIED = ("generator/wristward", "anatomy_data/reader", "content/gallery.md")
# Folder of what a recipe adds: (its heading in the guide, the new kind, what the guide lists and a copy does without).
RECIPES = {
    "figure_kind": ("Add a figure kind.", "shares", set()),
    "quiz_kind": ("Add a question kind.", "tissue", {"tests/quiz/"}),
}
FILES = {"figure_kind": 8, "quiz_kind": 6}
LISTED = re.compile(r"^- `([^`]+)`", re.MULTILINE)
EXAMPLE = re.compile(r"(?<!````markdown\n)^```wristward\n.*?^```$", re.MULTILINE | re.DOTALL)


def edits(recipe):
    """Return what a recipe writes into files that are there."""
    return yaml.safe_load((HERE / recipe / "edits.yaml").read_text("utf-8"))


def new_files(recipe):
    """Return the files that a recipe adds, relative to the checkout."""
    folder = HERE / recipe
    found = (path for path in folder.rglob("*") if path.is_file() and "__pycache__" not in path.parts)
    return sorted(path.relative_to(folder) for path in found if path.name != "edits.yaml")


def follow(recipe, root):
    """Do on a copy what a recipe says."""
    for path in new_files(recipe):
        (root / path).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(HERE / recipe / path, root / path)
    for edit in edits(recipe):
        text, anchor = (root / edit["file"]).read_text("utf-8"), edit.get("before") or edit["after"]
        assert 1 == text.count(anchor), (edit["file"], anchor)
        at = text.index(anchor) + (len(anchor) if "after" in edit else 0)
        (root / edit["file"]).write_text(text[:at] + edit["text"] + text[at:], "utf-8")


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """A tiny site built by a copy of the program with both kinds, with a page that holds a figure and a quiz of them."""
    root = tmp_path_factory.mktemp("copy")
    for name in COPIED:
        source, target = ROOT / name, root / name
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(source, target) if source.is_file() else shutil.copytree(source, target)
    for recipe in RECIPES:
        follow(recipe, root)
    folder = make_project(tmp_path_factory.mktemp("site") / "a project")
    shutil.copytree(root / "anatomy_data" / "reader", folder / "anatomy_data" / "reader", dirs_exist_ok=True)
    shown = next(edit["text"] for edit in edits("figure_kind") if edit["file"] == "content/gallery.md")
    fence = EXAMPLE.search(shown)[0].replace("z_mm: 97", "z_mm: 20")
    quiz = "```quiz\nkinds: tissue\ncount: 2\n```"
    (folder / "content" / "own.md").write_text(f"# Own\n\n{fence}\n\n{quiz}\n", "utf-8")
    with (folder / "mkdocs.yml").open("a", encoding="utf-8") as file:
        file.write("  - own.md\n")
    finished = run(folder, "build", program=root / "generator")
    assert 0 == finished.returncode, finished.stderr
    return folder / "site"


@pytest.mark.parametrize("recipe", RECIPES)
def test_the_guide_lists_what_is_touched(recipe):
    """The guide's list names each file that the kind adds or changes, and no other; a folder of scripts counts once."""
    heading, kind, besides = RECIPES[recipe]
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8").split(f"**{heading}**")[1].split("\n**")[0]
    listed = set(LISTED.findall(text))
    named = {path.as_posix().replace(kind, "KIND") for path in new_files(recipe)}
    scripts = {name.rpartition("/")[0] + "/" for name in named if "/browser/" in name}
    touched = {edit["file"] for edit in edits(recipe)} | {name for name in named if "/browser/" not in name} | scripts
    each_language = {name for name in touched if name.startswith("anatomy_data/reader/")}

    assert listed == besides | (touched - each_language) | {
        re.sub("/reader/[a-z]+/", "/reader/*/", name) for name in each_language
    }
    assert {path.name for path in (ROOT / "anatomy_data" / "reader").iterdir()} == {
        name.split("/")[2] for name in each_language
    }
    assert FILES[recipe] == len(touched | besides)


@pytest.mark.browser
def test_the_new_figure_works(site, visit):
    """The figure is on the page before any script, its script answers a reader, and other pages load none of it."""
    visited = visit((site / "own.html").as_uri())
    host = visited.page.locator("[data-wristward=shares]")
    before = host.locator("svg text").all_text_contents()
    host.get_by_role("button", name="Longest first").click()

    assert "Muscles" in before
    assert "Muscles fill most of it." == host.get_by_role("status").inner_text()
    assert [] == visited.errors
    assert ["own.html"] == [
        path.name for path in site.rglob("*.html") if "wristward-shares." in path.read_text("utf-8")
    ]


@pytest.mark.browser
def test_the_new_question_is_played(site, visit):
    """A quiz of the new kind is asked, drawn alike and in order as its row says, and answered."""
    visited = visit((site / "own.html").as_uri())
    host = visited.page.locator("[data-wristward=quiz]")
    host.get_by_role("button", name="Begin").click()
    stem = host.locator(".w-quiz-stem").inner_text()
    offered = host.locator(".w-quiz-option").all_inner_texts()
    shapes = host.locator(".w-quiz-figure .w-shape").evaluate_all("(all) => all.flatMap((one) => [...one.classList])")
    host.locator(".w-quiz-option").first.click()
    host.get_by_role("button", name="Check the answer").click()
    told = host.locator(".w-quiz-live").inner_text()

    assert stem.startswith("What carries the number 1? All that is round is drawn alike.")
    assert sorted(offered) == offered and 4 == len(offered)
    assert {"w-shape", "w-bone", "w-muscle", "w-sheet", "w-tendon"} == set(shapes)
    assert "This number is on the" in told
    assert [] == visited.errors

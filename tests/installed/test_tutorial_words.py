"""What the tutorial promises is what the program says, tried without building: the whole of it is followed by `--long`."""

import re

import markdown
import pytest

from tests.installed.test_tutorial import steps
from wristward.cli.main import main
from wristward.data.read import read_dataset
from wristward.pages.atlas import Atlas
from wristward.pages.fences.fences import FenceError, Fences, Source
from wristward.site.settings import read_settings


@pytest.fixture(scope="module")
def atlas(dataset, arm_sections):
    """The shipped data; the tutorial's pages measure nothing."""
    return Atlas(dataset=dataset, sections=arm_sections, measures={})


def rendered(atlas, name, text):
    """Return what a page's fences are answered with, or its HTML."""
    fences = Fences(lambda: atlas)
    fences.begin(Source(file=name, text=text, here="index.md"))
    try:
        return markdown.markdown(re.sub(r"\A---\n.*?\n---\n", "", text, flags=re.S), extensions=[fences.extension()])
    except FenceError as error:
        return str(error)


def test_the_tutorial_promises_what_is_said(atlas, tmp_path, capsys):
    """Each page of the tutorial is drawn or answered as it says; each file laid over the arm is listed as it says."""
    course, answers = tmp_path / "my-course", []
    for block in steps():
        if block.kind == "sh" and " new " in block.body:
            assert 0 == main(["new", str(course)])
            answers = [capsys.readouterr().out.replace(str(course), "../my-course")]
        elif block.title is not None:
            (course / block.title).parent.mkdir(parents=True, exist_ok=True)
            (course / block.title).write_text(block.body, "utf-8")
            if block.kind == "markdown":
                answers = [rendered(atlas, block.title, block.body)]
            else:
                settings = read_settings(course / "mkdocs.yml")
                changed = read_dataset(settings.data, settings.overlays).overrides
                answers = ["\n".join(str(one) for one in changed), "relations: all"]
        elif block.kind == "text" and answers:
            assert [] == [line for line in block.body.splitlines() if not any(line in one for one in answers)]
            answers = []

    final = rendered(atlas, "content/index.md", (course / "content" / "index.md").read_text("utf-8"))
    assert ('data-wristward="section"' in final, 'data-wristward="quiz"' in final) == (True, True)

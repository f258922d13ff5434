"""Fences: every figure is drawn, every mistake is told at its place in the file, and nothing is swallowed."""

import re
from dataclasses import replace
from pathlib import Path

import markdown
import pytest

from wristward.bridge.setting import setting_of
from wristward.errors import one_of
from wristward.pages.atlas import Atlas
from wristward.pages.fences.fences import FenceError, Fences, Source
from wristward.pages.fences.figure_kinds import FIGURE_KINDS, TRAVEL
from wristward.project.measured import measure_all
from wristward.project.store import FolderStore

ROOT = Path(__file__).resolve().parents[3]
GALLERY = re.compile(r"(?<!````markdown\n)^```wristward\nfigure: (\w+)\n(.*?)\n```$", re.MULTILINE | re.DOTALL)
ASKED = dict(GALLERY.findall((ROOT / "content" / "gallery.md").read_text("utf-8")))
"""Options of each figure, as the gallery shows it: what is drawn for readers is what is tried here."""

STRUCTURES = "unknown structure 'median_nerv'; did you mean 'median_nerve'?"
NAMES = {"elbow_to_wrist" if name == TRAVEL else name: kind for name, kind in FIGURE_KINDS.items()}
"""Every kind as the shipped region has it named."""

FIGURES = one_of(NAMES)


@pytest.fixture(scope="module")
def atlas(dataset, arm_sections):
    """The shipped data, solved and measured."""
    partners = setting_of(dataset).partners
    measures = measure_all(arm_sections, partners=partners, store=FolderStore(ROOT / ".cache" / "measures"))
    return Atlas(dataset=dataset, sections=arm_sections, measures=measures)


@pytest.fixture
def render(atlas):
    """Render a page with fences in it; its front matter is cut off first, as mkdocs does."""

    def html(text, **options):
        fences = Fences(lambda: atlas, **options)
        fences.begin(Source(file="content/page.md", text=text, here="page.md"))
        body = re.sub(r"\A---\n.*?\n---\n", "", text, flags=re.DOTALL)
        done = markdown.markdown(body, extensions=[fences.extension(), "admonition", "md_in_html"])
        fences.end()
        return done

    return html


def fence(*lines):
    return "\n".join(["```wristward", *lines, "```", ""])


def test_each_figure_is_drawn(render):
    """All figures of the gallery, which leaves none out, on one page, some of them twice; no id is used twice."""
    assert set(ASKED) == set(NAMES)
    bodies = [fence(f"figure: {figure}", *asked.split("\n")) for figure, asked in ASKED.items()]
    twice = [bodies[list(ASKED).index(figure)] for figure in ("section", "charts", "chart", "window")]
    html = render("\n".join([*bodies, *twice]))
    ids = re.findall(r'(?<![-\w])id="([^"]*)"', html)

    assert [2, 1] == [html.count('data-wristward="section"'), html.count('data-wristward="travel"')]
    assert 2 == html.count('<div class="ww-window">') == 2 * html.count('<div class="ww-coverage">')
    assert [] == sorted({one for one in ids if ids.count(one) > 1})
    assert "wristward\n" not in re.sub(r"<[^>]*>", "", html)
    assert [] == re.findall(r'href="[^":]*\.md', html)


def test_a_window_says_what_the_command_says(render, atlas):
    """The figure's sentence is the report's, its table holds the chance at the best height, for each reading."""
    from tests.reports import window_report
    from wristward.block.report import percent

    html = render(fence("figure: window", "nerve: median_nerve", "volume_ml: 6", "arm: small"))
    for reading in ("take_off", "parting"):
        report = window_report(atlas.dataset, nerve="median_nerve", volume_ml=6, arm="small", reading=reading)
        column = ("take_off", "parting").index(reading) + 1
        rows = re.findall(r"<tr><th scope=\"row\">.*?</tr>", html)
        told = [re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row)[column] for row in rows]
        at = report["z_mm"].index(report["window"]["best_mm"])

        assert [percent(event["chance_caught"][at], atlas.dataset.words) for event in report["events"]] == told
        assert report["sentence"] in html


def test_a_nerve_out_of_reach_has_words_and_no_chart(render, atlas):
    """Where no level catches the whole nerve, the figure says so and draws no line."""
    html = render(fence("figure: window", "nerve: posterior_antebrachial_cutaneous_nerve", "volume_ml: 5"))

    assert "lies above the elbow" in html
    assert "<svg" not in html


FAULTS = {
    "figure: sektion": f"1:9: figure is 'sektion'; did you mean 'section'? (allowed: {FIGURES})",
    "figure: ../../x": f"1:9: figure is '../../x' (allowed: {FIGURES})",
    "figure: [a]": f"1:9: figure is a list (allowed: {FIGURES})",
    "z_mm: 3": f"1:1: 'figure' is missing (allowed: {FIGURES})",
    "figure: section": "1:1: 'z_mm' is missing",
    "figure: section\nz_mm: 999": "2:7: z_mm is 999 (allowed: a whole number from 0 to 260)",
    "figure: section\nz_mm: 9.5": "2:7: z_mm is 9.5, must be a whole number",
    "figure: section\nz_mm: -1": "2:7: z_mm is -1, must be at least 0",
    "figure: section\nz_mm: 97\nshow: median_nerv": f"3:7: {STRUCTURES}",
    "figure: section\nz_mm: 10\nshow: supinator_deep_layer": "3:7: 'supinator_deep_layer' is not cut at z 10 mm",
    "figure: section\nzmm: 97": "2:1: unknown key 'zmm'; did you mean 'z_mm'? (allowed: figure, show, z_mm)",
    "figure: section\nz_mm: 97\nz_mm: 98": "3:1: duplicate key 'z_mm' (first at line 2)",
    "figure: elbow_to_wrist\nz_mm: 300": "2:7: z_mm is 300 (allowed: a whole number from 0 to 260)",
    "figure: charts\nstructure: median_nerv": f"2:12: {STRUCTURES}",
    "figure: chart\nstructure: median_nerve": "1:1: 'of' is missing",
    "figure: chart\nstructure: median_nerve\nof: area": "3:5: of is 'area' (allowed for 'median_nerve': 'depth' or 'gap')",
    "figure: chart\nstructure: median_nerve\nof: dept": (
        "3:5: of is 'dept'; did you mean 'depth'? (allowed: 'area', 'depth' or 'gap')"
    ),
    "figure: window\nnerve: ulnar_nerve\nvolume_ml: 99": "3:12: volume_ml is 99 (allowed: 1 to 10)",
    "figure: window\nnerve: ulnar_nerve\nvolume_ml: 5\narm: big": "4:6: unknown arm 'big' (allowed: large, mean, small)",
    "figure: coverage\noperation: thumb_base": "2:12: unknown operation 'thumb_base'; did you mean 'thumb_base_joint'? (allowed: OPERATIONS)",
    "figure: section: x": "1:16: a ':' where no key can stand (check indentation and quotes)",
    "- a": "1:1: a figure is missing (allowed: lines such as 'figure: section')",
    "": "1:1: a figure is missing (allowed: lines such as 'figure: section')",
}


@pytest.mark.parametrize("body", FAULTS)
def test_each_mistake_is_told_with_its_place(render, atlas, body):
    """The whole message names file, line and column of the editor, front matter and an example above counted."""
    before = ["---", "title: x", "---", "", "````markdown", "```wristward", *body.split("\n"), "```", "````", "", ""]
    expected = re.sub(r"^(\d+)", lambda found: str(int(found[1]) + len(before)), FAULTS[body])
    expected = re.sub(r"first at line (\d+)", lambda found: f"first at line {int(found[1]) + len(before)}", expected)
    expected = expected.replace("OPERATIONS", ", ".join(sorted(atlas.dataset.operations.operations)))
    with pytest.raises(FenceError) as caught:
        render("\n".join(before[:-1]) + "\n" + fence(*body.split("\n")))

    assert f"content/page.md:{expected}" == str(caught.value)


@pytest.mark.parametrize("bad", ["```wristward\nfigure: section\nz_mm: 97\n", "```wristward z_mm=97\n```\n"])
def test_a_fence_that_is_not_come_to_is_refused(render, bad):
    """A fence that is not closed, or whose first line Markdown cannot read, is no text to be shown to readers."""
    with pytest.raises(FenceError) as caught:
        render(fence("figure: section", "z_mm: 97") + "\n" + bad)

    text = (
        "this figure is not closed (allowed: a last line of as many signs), or its first line says more than its name"
    )
    assert f"content/page.md:6:1: {text}" == str(caught.value)


def test_all_mistakes_of_a_fence_are_told_at_once(render):
    """Several mistakes are several lines, sorted."""
    with pytest.raises(FenceError) as caught:
        render(fence("figure: chart", "structure: 3", "of: x", "more: 1"))

    assert [
        "content/page.md:3:12: structure is 3, must be text (put it in quotes)",
        "content/page.md:4:5: of is 'x' (allowed: 'area', 'depth' or 'gap')",
        "content/page.md:5:1: unknown key 'more' (allowed: figure, of, structure)",
    ] == str(caught.value).splitlines()


def test_the_column_counts_the_indent(render):
    """Inside a list or an admonition the place is that of the file, indent and all, and of the right fence."""
    good = "    " + fence("figure: section", "z_mm: 97").replace("\n", "\n    ")
    bad = "    " + fence("figure: section", "z_mm: 970").replace("\n", "\n    ")
    with pytest.raises(FenceError) as caught:
        render(f"!!! note\n\n{good}\n\n{bad}\n")

    assert "content/page.md:11:11: z_mm is 970 (allowed: a whole number from 0 to 260)" == str(caught.value)


def test_an_option_behind_the_name_is_refused(render):
    """What stands behind the fence's name is told with the line of that fence."""
    with pytest.raises(FenceError) as caught:
        render(fence("figure: section", "z_mm: 97") + "\n" + fence("x").replace("wristward", 'wristward z_mm="97"'))

    text = "unknown option 'z_mm' behind the fence's name (allowed: none; write it as a line inside)"
    assert f"content/page.md:6:1: {text}" == str(caught.value)


@pytest.mark.parametrize("figure", [name for name, kind in NAMES.items() if kind.once is not None])
def test_what_can_stand_once_is_refused_twice(render, figure):
    """A figure whose parts have fixed ids is refused where it comes again."""
    body = fence(f"figure: {figure}", *ASKED[figure].split("\n"))
    with pytest.raises(FenceError) as caught:
        render(f"{body}\n{body}")

    line = body.count("\n") + 3
    assert f"content/page.md:{line}:9: this page has the figure '{figure}' already" == str(caught.value)


def test_the_figure_through_the_region_goes_by_the_region_s_name(render):
    """A region names the figure that goes through it; the program's own name for it is unknown to authors."""
    with pytest.raises(FenceError) as caught:
        render(fence(f"figure: {TRAVEL}", ASKED["elbow_to_wrist"]))

    assert f"content/page.md:2:9: figure is '{TRAVEL}' (allowed: {FIGURES})" == str(caught.value)


def test_a_fault_of_ours_is_not_swallowed(render, monkeypatch):
    """An exception that nobody foresaw stops the page with its place; superfences would leave a hole in it."""

    def broken(asked, atlas):
        raise KeyError("gone")

    monkeypatch.setitem(FIGURE_KINDS, "section", replace(FIGURE_KINDS["section"], draw=broken))
    with pytest.raises(FenceError) as caught:
        render(fence("figure: section", "z_mm: 97"))

    assert "content/page.md:2:1: this figure cannot be drawn: KeyError: 'gone'" == str(caught.value)


def test_data_without_block_files_has_no_window(render, atlas, monkeypatch):
    """Where the data lacks the files that a figure is made from, the fence names them."""
    monkeypatch.setattr(atlas, "dataset", replace(atlas.dataset, parts={}))
    with pytest.raises(FenceError) as caught:
        render(fence("figure: window", "nerve: ulnar_nerve", "volume_ml: 5"))

    assert "content/page.md:2:9: figure is 'window', and the data has no 'branches.yaml'" == str(caught.value)

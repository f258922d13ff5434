"""The page Block levels before any script runs: numbers, window, both readings, and what must be said beside them."""

import gzip
import html
import re
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import plotly.graph_objects as go
import pytest
from scipy.stats import truncnorm

from tests.browser import synthetic
from tests.reports import window_report
from wristward.block.blocks import READINGS, block_model
from wristward.block.report import percent, window_reports
from wristward.bridge.hosts.blocks import chart_of
from wristward.bridge.pack.blocks import blocks_script
from wristward.figure import block_chart
from wristward.measure.text import capital
from wristward.pages.atlas import Atlas
from wristward.pages.blocks.levels import block_levels_page, block_views
from wristward.pages.blocks.menu import SINGLE
from wristward.pages.blocks.practice import practice_table
from wristward.pages.blocks.scan import touching_mm

PANEL = re.compile(r'<section class="w-b-panel" data-nerve="(\w+)">(.*?)</section>', re.DOTALL)
POINT = re.compile(r"[ML]([\d.]+) ([\d.]+)")


class WhenAsked(dict):
    """Made-up sections, each made when it is asked for."""

    def __missing__(self, z_mm):
        return synthetic.section(z_mm)


@pytest.fixture(scope="module")
def atlas(dataset):
    """The shipped data with made-up sections: what is tested here asks nothing of the section but to be there."""
    return Atlas(dataset=dataset, sections=WhenAsked({260: synthetic.section(260)}), measures={})


@pytest.fixture(scope="module")
def page(atlas):
    return block_levels_page(atlas)


@pytest.fixture(scope="module")
def panels(page):
    found = dict(PANEL.findall(page))
    assert found
    return found


@pytest.fixture(scope="module")
def views(atlas):
    found = block_views(atlas)
    assert found
    return found


@pytest.fixture(scope="module")
def reports(dataset):
    model = block_model(dataset)
    return {
        nerve: {
            reading: window_report(dataset, nerve=nerve, volume_ml=model.default_ml, reading=reading)
            for reading in READINGS
        }
        for nerve in model.blocks
    }


def text_of(markup):
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", markup)))


def test_it_opens_the_menu_of_blocks():
    """The page is the first of the pages about blocks, and the first entry of their menu."""
    menu = (Path(__file__).parents[3] / "mkdocs.yml").read_text("utf-8")
    entries = re.search(r"- Blocks:\n((?: +- wristward:\w+\n)+)", menu)[1]

    assert ("block_levels", "block-levels.md") == SINGLE[0][:2]
    assert "wristward:block_levels" == entries.split()[1]


def test_every_block_has_a_panel_with_its_sentence(panels, reports):
    """Each block of the model stands on the page with the sentence to repeat, both readings in it."""
    found = {
        nerve: html.unescape(re.search(r'data-part="sentence">(.*?)</p>', panel)[1]) for nerve, panel in panels.items()
    }

    assert {nerve: report["take_off"]["sentence"] for nerve, report in reports.items()} == found


def test_the_joint_curve_is_the_chance(panels, reports):
    """The upper lines, read off the drawing at every node, are the chance of both under each reading."""
    off = []
    for nerve, panel in panels.items():
        for reading in READINGS:
            path = re.search(rf'data-line="both" data-reading="{reading}" d="(.*?)"', panel)
            if path is None:
                assert reports[nerve]["take_off"]["both"] == reports[nerve]["parting"]["both"]
                continue
            both = reports[nerve][reading]["both"]
            top, bottom = block_chart.JOINT
            for x, y in POINT.findall(path[1]):
                share = (float(x) - block_chart.LEFT) / (block_chart.WIDTH - block_chart.LEFT - block_chart.RIGHT)
                drawn = (bottom - float(y)) / (bottom - top)
                off.append(abs(drawn - both[round((1 - share) * (len(both) - 1))]))

    assert len(off) > 6 * 130
    assert max(off) < 0.001


def test_the_window_is_shaded_or_said_to_be_empty(panels, reports, dataset):
    """A window lies shaded where the report has it; where there is none, nothing is shaded and the words say so."""
    for nerve, panel in panels.items():
        for reading in READINGS:
            window = reports[nerve][reading]["window"]
            band = re.search(rf'data-window="{reading}"[^>]* d="(.*?)"', panel)[1]
            card = text_of(re.search(rf'data-part="card-{reading}">(.*?)</span>', panel)[1])
            if window["empty"]:
                assert (nerve, "") == (nerve, band)
                assert "no level" in card or "above the elbow" in card
                continue
            left, right = re.match(r"M([\d.]+) \d+H([\d.]+)V", band).groups()
            width = block_chart.WIDTH - block_chart.LEFT - block_chart.RIGHT
            drawn = [260 * (1 - (float(x) - block_chart.LEFT) / width) for x in (right, left)]

            assert [window["low_mm"], window["high_mm"]] == pytest.approx(drawn, abs=0.05)
            assert f"{window['low_mm'] / 10:g} to {window['high_mm'] / 10:g} cm" == card


def test_the_median_window_by_parting_lies_below_the_one_by_take_off(reports, panels):
    """By parting the median nerve's window ends below 4 cm and below where the one by take-off begins, which itself ends
    below 8 cm; the page says both."""
    parting, take_off = (reports["median_nerve"][reading]["window"] for reading in ("parting", "take_off"))

    assert not parting["empty"] and not take_off["empty"]
    assert parting["high_mm"] < 40 and parting["high_mm"] < take_off["low_mm"]
    assert take_off["high_mm"] < 80
    said = text_of(panels["median_nerve"])
    for window in (parting, take_off):
        assert f"from {window['low_mm'] / 10:g} to {window['high_mm'] / 10:g} cm above the wrist crease" in said


def test_the_table_holds_the_chances_at_the_needle(panels, reports, dataset):
    """At the height the page begins with, each branch's row carries the chance by take-off and by parting."""
    z_mm = round(reports["median_nerve"]["take_off"]["window"]["best_mm"])
    row = re.compile(r'data-event="(\w+)".*?"take_off">(.*?)</td>.*?"parting">(.*?)</td>', re.DOTALL)
    for nerve, panel in panels.items():
        expected = [
            (
                first["id"],
                percent(first["chance_caught"][z_mm], dataset.words),
                percent(second["chance_caught"][z_mm], dataset.words),
            )
            for first, second in zip(*(reports[nerve][reading]["events"] for reading in READINGS), strict=True)
        ]

        assert expected == row.findall(panel)


def test_what_is_out_of_reach_has_no_best_level(panels, reports):
    """A nerve that no level has whole shows no best level, no way to go to one, and says why instead of what limits it."""
    far = {nerve for nerve, report in reports.items() if not report["take_off"]["in_reach"]}
    marked = {
        nerve for nerve, panel in panels.items() if re.search(r'data-best="take_off"[^>]*visibility="hidden"', panel)
    }
    told = {nerve for nerve, panel in panels.items() if "No level of the forearm has the whole nerve in reach" in panel}
    off = {nerve for nerve, panel in panels.items() if re.search(r'data-part="best-take_off"[^>]* disabled', panel)}

    assert far == {"medial_antebrachial_cutaneous_nerve_anterior_branch", "posterior_antebrachial_cutaneous_nerve"}
    assert [far, far, far] == [marked, told, off]


def test_grip_is_said_wherever_muscles_are_called_spared(page):
    """Every heading that calls forearm muscles spared is followed by the loss of grip and its source."""
    blocks = re.split(r"(?=<h[23]|^## )", page, flags=re.MULTILINE)
    spared = [block for block in blocks if "muscles spared" in re.split(r"</h[23]>|\n", block)[0]]

    assert 4 == len(spared)
    for block in spared:
        said = text_of(block)
        assert "had fallen by 21.4 %" in said and "does not spare the hand's own" in said
        assert "#lam_2014" in block


def test_the_palmar_branch_stands_apart(panels, reports, dataset):
    """The ulnar nerve's palmar branch is no part of what is wanted; both types are told with their chances at the best level."""
    report = reports["ulnar_nerve"]["take_off"]
    panel = text_of(panels["ulnar_nerve"])
    apart = [event for event in report["events"] if event["role"] == "apart"]

    assert ["palmar branch, high type", "palmar branch, low type"] == [event["name"] for event in apart]
    assert "palmar" not in report["sentence"]
    for event in apart:
        chance = percent(event["chance_caught"][round(report["window"]["best_mm"])], dataset.words)
        assert (
            f"the {event['name']}, there in {percent(event['prevalence'], dataset.words)} of 100 arms, is caught in {chance} of 100"
            in panel
        )


def test_what_lies_outside_the_sections_is_told_in_words(panels, dataset):
    """A branch above the elbow crease or beyond the wrist crease in 1 arm of 100 or more is told, with its share."""
    told, expected = [], []
    for nerve, block in block_model(dataset).blocks.items():
        panel = text_of(panels[nerve])
        for id_ in (*block.wanted, *block.unwanted, *block.apart, *block.beside):
            event = dataset.branches.branches[id_]
            low, high = ((end - event.mean_z_mm) / event.sd_mm for end in (event.min_z_mm, event.max_z_mm))
            cut = truncnorm(low, high, loc=event.mean_z_mm, scale=event.sd_mm)
            name = dataset.words[f"block.event.{id_}"]
            for share, where in ((cut.sf(260), "above the elbow crease"), (cut.cdf(0), "beyond the wrist crease")):
                if share >= 0.01:
                    expected.append((nerve, id_, where))
                    percents = percent(share, dataset.words)
                    line = rf"{re.escape(capital(name))}: at [\d.]+ cm on average; in {percents} of 100 arms {where}"
                    told.extend((nerve, id_, where) for _ in re.findall(line, panel))

    assert {"medial_antebrachial_split", "pronator_teres_first_branch", "radial_nerve_divides"} <= {
        one[1] for one in expected
    }
    assert expected == told


def test_what_the_orders_change_is_told(panels, reports):
    """Beside the assumptions stands, for both readings, how much the orders of branches change the chance of both."""
    told = {
        nerve: re.findall(r"(That branches follow one another.*?\.)(?= By| *$| [A-Z])", text_of(panel))
        for nerve, panel in panels.items()
    }
    expected = {
        nerve: [given[reading]["orders"][reading]["says"] for reading in READINGS]
        if given["take_off"]["in_reach"]
        else []
        for nerve, given in reports.items()
    }

    assert {nerve: len(one) for nerve, one in expected.items()} == {nerve: len(one) for nerve, one in told.items()}
    assert [] == [says for nerve, one in expected.items() for says in one if says not in text_of(panels[nerve])]


def test_practice_is_compared_with_what_is_computed(atlas, reports):
    """Each statement of common practice stands beside the model's numbers; agreement follows from them."""
    model = block_model(atlas.dataset)
    ulnar, by_parting = (reports["ulnar_nerve"][reading]["window"] for reading in READINGS)
    given = {nerve: window_reports(atlas.dataset, nerve=nerve, volume_ml=model.default_ml) for nerve in reports}
    table = text_of(practice_table(atlas, model, given))
    moved = {
        nerve: {
            reading: replace(one, window=replace(one.window, low_mm=90.0, high_mm=100.0)) for reading, one in by.items()
        }
        for nerve, by in given.items()
    }
    other = text_of(practice_table(atlas, model, moved))

    spans = [f"{one['low_mm'] / 10:g} to {one['high_mm'] / 10:g} cm" for one in (ulnar, by_parting)]
    assert f"Ulnar: by take-off {spans[0]}, by parting {spans[1]}" in table
    assert "In part: the window reaches beyond" in table and "a little below the mean take-off" in table
    assert 4 == table.count("Common practice, no source")
    best = window_report(atlas.dataset, nerve="median_nerve", volume_ml=10)["window"]
    lower = f"10 mL does its best at {best['best_mm'] / 10:g} cm, in {round(100 * best['best_chance'])} of 100 arms"
    assert (lower in table, "100 of 100. In part: at the same level" in table) == (True, True)
    assert "The window begins at 9 cm; its dorsal branch leaves the trunk at 7.7 cm on average. Yes." in other


def test_assumptions_are_called_assumptions(page):
    """The three numbers of the spread are labelled as assumed, and that no forearm study measures them stands above all."""
    labels = re.findall(r'<label for="bl-(?:base|perMl|sd)">(.*?)</label>', page)

    assert 3 == len(labels)
    assert all(label.startswith("Assumed:") for label in labels)
    assert "No study of the forearm measures" in page[: page.index('class="w-b-panel"')]


def test_nothing_promises(page):
    """No "always", "never", "safe" or "motor-sparing" in what the page says."""
    assert [] == re.findall(r"(?i)\b(?:always|never|safe(?:ly|r|st)?|motor[- ]sparing)\b", text_of(page))


def test_plotly_accepts_the_figure(views, dataset):
    """The chart's plotly form is valid, and its lines are the same curves."""
    for view in views:
        chart = chart_of(view, dataset.words, z_mm=55.0)
        figure = go.Figure(block_chart.plotly_of(chart, dataset.words))
        both = next(trace for trace in figure.data if trace.uid == "both-take_off")

        assert [round(100 * value, 1) for value in view.reports["take_off"].both[::2]] == list(both.y)


def test_the_tables_are_small_and_the_same_again(dataset):
    """Every block's tables together travel in less than 45 kB compressed, the same bytes each time."""
    first = blocks_script(dataset)

    assert first == blocks_script(dataset)
    assert len(gzip.compress(first.encode(), mtime=0)) < 45_000


def test_what_to_look_for_stands_with_each_window(panels, reports, dataset):
    """Each nerve in reach says that its window is for an arm not scanned, and what ultrasound showed of its branches."""
    told = {nerve for nerve, panel in panels.items() if "A window is for an arm that was not scanned" in panel}
    findings = {
        nerve: [dataset.branches.findings[id_].says for id_ in record.scan]
        for nerve, record in dataset.branches.blocks.items()
        if record.scan
    }

    assert {nerve for nerve, report in reports.items() if report["take_off"]["in_reach"]} == told
    assert {"median_nerve", "ulnar_nerve"} == set(findings)
    assert [] == [says for nerve, said in findings.items() for says in said if says not in text_of(panels[nerve])]


def test_where_nerve_and_artery_touch_is_measured():
    """Stretches over which a nerve touches its vessel are the runs of neighbouring heights without a gap, proximal first."""

    class Drawn:
        measures = dict.fromkeys(range(10), ())

        def measure(self, nerve, z_mm):
            gaps = {2: 0.0, 3: 0.7, 4: 0.8, 6: 0.0, 9: None}
            return SimpleNamespace(partner_gap_mm=gaps[z_mm]) if z_mm in gaps else None

    assert [(6.0, 6.0), (2.0, 3.0)] == list(touching_mm(Drawn(), "own"))

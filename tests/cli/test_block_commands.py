"""The commands ``window`` and ``coverage``: what they print, as words and as JSON, and how they answer what is wrong."""

import json
import re

import pytest

from tests.reports import coverage_report, window_report
from wristward.cli import blocks
from wristward.cli.main import main
from wristward.locate import where_is_data

DATA = str(where_is_data())
WINDOW = ["window", "--nerve", "ulnar", "--volume-ml", "5"]
COVERAGE = ["coverage", "--operation", "thumb_base_joint"]
FORBIDDEN = re.compile(r"\b(always|never|safe|safely|motor[- ]sparing)\b", re.IGNORECASE)


@pytest.fixture
def run(dataset, monkeypatch, capsys):
    """Run a command on the data that is already read; return its exit code, lines, and complaints."""
    monkeypatch.setattr(blocks, "read_data", lambda options: dataset)

    def start(*words):
        try:
            code = main([*words])
        except SystemExit as stopped:
            code = stopped.code
        out, err = capsys.readouterr()
        return code, out, err

    return start


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        (["--nerve", "ulnar", "--volume-ml", "5"], {"nerve": "ulnar_nerve", "volume_ml": 5}),
        (
            ["--nerve", "median_nerve", "--volume-ml", "3.5", "--arm", "small", "--reading", "parting"],
            {"nerve": "median_nerve", "volume_ml": 3.5, "arm": "small", "reading": "parting"},
        ),
    ],
)
def test_window_as_json_is_the_report(words, asked, run, dataset):
    """With --json the command prints the report itself, and nothing on the other stream."""
    code, out, err = run("window", *words, "--json")

    assert (0, "") == (code, err)
    assert window_report(dataset, **asked) == json.loads(out)


def test_coverage_as_json_is_the_report(run, dataset):
    """With --json the command prints the report itself, and nothing on the other stream."""
    code, out, err = run(*COVERAGE, "--json")

    assert (0, "") == (code, err)
    assert coverage_report(dataset, "thumb_base_joint") == json.loads(out)


@pytest.mark.parametrize("reading", ["take_off", "parting"])
def test_window_in_words(reading, run, dataset):
    """In words: the question, the sentence with both readings, what limits it, each branch, what the orders do, the loss of
    grip, what is assumed, and the caution last."""
    report = window_report(dataset, nerve="median_nerve", volume_ml=5, reading=reading)
    code, out, err = run("window", "--nerve", "median_nerve", "--volume-ml", "5", "--reading", reading)
    lines = out.splitlines()

    assert (0, "") == (code, err)
    assert f"median nerve, 5 mL, mean arm, {dataset.words[f'block.reading.{reading}']}" == lines[0]
    assert [report["sentence"], *report["limits"]] == lines[1:4]
    assert [event["name"] for event in report["events"]] == [line.strip().split(" (")[0] for line in lines[5:12]]
    assert [
        report["orders"][reading]["says"],
        report["grip"],
        report["assumed"]["says"],
        dataset.words["site.cautions.short"].strip(),
    ] == lines[12:]


def test_a_nerve_out_of_reach_is_told_without_a_level(run, dataset):
    """Where no level has the nerve in reach, no level is named and no muscle is spoken of."""
    code, out, _ = run("window", "--nerve", "posterior", "--volume-ml", "5")
    report = window_report(dataset, nerve="posterior_antebrachial_cutaneous_nerve", volume_ml=5)

    assert 0 == code
    assert [report["sentence"], report["assumed"]["says"], dataset.words["site.cautions.short"].strip()] == (
        out.splitlines()[1:]
    )


def test_coverage_in_words(run, dataset):
    """In words: the operation, its cuff, every layer with its smallest set and what leaving one out leaves, the caution."""
    report = coverage_report(dataset, "carpal_tunnel_release")
    code, out, err = run("coverage", "--operation", "carpal_tunnel_release")
    lines, words = out.splitlines(), dataset.words

    assert (0, "") == (code, err)
    assert [report["name"], report["cuff"]["says"]] == lines[:2]
    assert words["site.cautions.short"].strip() == lines[-1]
    for layer, found in report["layers"].items():
        head = next(
            at for at, line in enumerate(lines) if line.startswith(words[f"block.command.layer.{layer}"] + ": ")
        )
        part = lines[head : lines.index("", head)]
        assert 1 + len(found["nerves"]) + 1 + len(found["left_out"]) + len(found["above"]) == len(part), layer


@pytest.mark.parametrize("operation", ["little_finger_wires", "distal_radius_plate", "dorsal_wrist_ganglion"])
def test_nothing_printed_promises(operation, run):
    """No line of either command says "always", "never" or "safe", and no hole of a pattern is left open."""
    for words in (["coverage", "--operation", operation], WINDOW):
        _, out, _ = run(*words)

        assert FORBIDDEN.search(out) is None
        assert "{" not in out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["window", "--nerve", "m", "--volume-ml", "5"], "nerve is 'm' (allowed: 'lateral_antebrachial"),
        (["window", "--nerve", "sciatic", "--volume-ml", "5"], "nerve is 'sciatic' (allowed: 'lateral_antebrachial"),
        (["window", "--nerve", "ulnar", "--volume-ml", "40"], "volume is 40 mL (allowed: 1 to 10)"),
        (["window", "--nerve", "ulnar", "--volume-ml", "-1"], "volume is -1 mL (allowed: 1 to 10)"),
        (["window", "--nerve", "ulnar", "--volume-ml", "nan"], "volume is nan mL (allowed: 1 to 10)"),
        ([*WINDOW, "--arm", "huge"], "arm is 'huge' (allowed: 'large', 'mean' or 'small')"),
        (["coverage", "--operation", "hip"], "operation is 'hip' (allowed: 'carpal_tunnel_release', "),
    ],
)
def test_what_is_not_there_ends_with_one_line(words, says, run):
    """An unknown nerve, arm or operation, or a volume outside the tables: one line that says what is allowed, exit 1."""
    code, out, err = run(*words)

    assert (1, "", 1) == (code, out, len(err.splitlines()))
    assert err.startswith(says)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["window", "--volume-ml", "5"], "the following arguments are required: --nerve"),
        (["window", "--nerve", "ulnar"], "the following arguments are required: --volume-ml"),
        (["window", "--nerve", "ulnar", "--volume-ml", "lots"], "argument --volume-ml: invalid float value: 'lots'"),
        ([*WINDOW, "--reading", "exit"], "argument --reading: invalid choice: 'exit'"),
        ([*WINDOW, "--weight-kg", "70"], "unrecognized arguments: --weight-kg 70"),
        ([*WINDOW, "--volume", "5"], "unrecognized arguments: --volume 5"),
        (["coverage"], "the following arguments are required: --operation"),
        ([*COVERAGE, "--percent", "1"], "unrecognized arguments: --percent 1"),
    ],
)
def test_wrong_options_are_refused(words, says, run):
    """A missing, misspelt or shortened option and a patient's numbers are refused with usage, exit 2, nothing printed."""
    code, out, err = run(*words)

    assert (2, "") == (code, out)
    assert says in err.splitlines()[-1]


@pytest.mark.parametrize("command", ["window", "coverage"])
def test_help_has_an_example(command, run):
    """Each command's help ends with an example that names it."""
    code, out, _ = run(command, "--help")

    assert 0 == code
    assert f"python3 -m generator {command} --" in out.splitlines()[-1]


def test_an_overlay_changes_the_answer_and_nothing_is_written(tmp_path, monkeypatch, capsys, dataset):
    """A course's own take-off, laid over the data given, moves the window by as much; no section is solved for it and no
    file is left behind, not even a cache."""
    over, here = tmp_path / "course", tmp_path / "here"
    over.mkdir()
    here.mkdir()
    (over / "branches.yaml").write_text(
        "branches: {ulnar_dorsal_cutaneous_branch_take_off: {mean_z_mm: 87, min_z_mm: 50, max_z_mm: 130}}\n", "utf-8"
    )
    monkeypatch.chdir(here)
    code = main([*WINDOW, "--data", DATA, "--overlay", str(over), "--cache", str(here / "cache"), "--json"])
    moved = json.loads(capsys.readouterr().out)["window"]["low_mm"]
    before = window_report(dataset, nerve="ulnar", volume_ml=5)["window"]["low_mm"]

    assert (0, 10) == (code, moved - before)
    assert [] == list(here.iterdir())


def test_a_folder_that_is_not_there_is_named(capsys):
    """A data folder that is not there is named, exit 1."""
    assert 1 == main([*COVERAGE, "--data", "nowhere"])
    assert ("", "nowhere: there is no such folder\n") == capsys.readouterr()

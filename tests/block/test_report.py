"""The report on a window: plain values that agree with the model, and sentences a trainee can repeat."""

import json
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.block.conftest import BLOCKS
from tests.reports import window_report
from wristward.block.blocks import READINGS, scaled
from wristward.block.chance import chances
from wristward.block.report import block_id, event_names, percent

KEYS = {
    "nerve", "name", "volume_ml", "arm", "reading", "assumed", "events", "z_mm", "wanted", "spared", "decisive_spared",
    "both", "window", "windows", "orders", "in_reach", "limits", "sentence", "grip",
}  # fmt: skip
FORBIDDEN = re.compile(r"\b(always|never|safe|safely|motor[- ]sparing)\b", re.IGNORECASE)


def numbers(text):
    """Return the numbers of a sentence, in order; its wording belongs to the readers' catalogue."""
    return [float(one) for one in re.findall(r"\d+(?:\.\d+)?", text)]


@pytest.fixture(scope="module")
def median(dataset):
    return window_report(dataset, nerve="median_nerve", volume_ml=5)


@pytest.mark.parametrize("arm", ["small", "mean", "large"])
@pytest.mark.parametrize("reading", READINGS)
def test_a_report_holds_the_chances_of_the_model(reading, arm, dataset, model):
    """Every curve of a report is the model's, at each whole millimetre of the arm, to four digits."""
    scale = dataset.region.arms[arm].length_scale
    changed = scaled(model, length_scale=scale)
    assert BLOCKS == tuple(model.blocks)
    for nerve in BLOCKS:
        report = window_report(dataset, nerve=nerve, volume_ml=4, arm=arm, reading=reading)
        z_mm = np.arange(0, np.floor(260 * scale + 1e-9) + 1)
        found = chances(changed, changed.blocks[nerve], reading=reading, z_mm=z_mm, volume_ml=4)

        assert set(report) == KEYS
        assert list(z_mm) == report["z_mm"]
        for key in ("wanted", "spared", "decisive_spared", "both"):
            assert np.allclose(getattr(found, key), report[key], atol=5.1e-5), (nerve, key)
        for event in report["events"]:
            assert np.allclose(found.caught[event["id"]], event["chance_caught"], atol=5.1e-5), event["id"]
        assert report["window"] == report["windows"][reading]
        assert json.loads(json.dumps(report, allow_nan=False)) == report


def test_a_report_says_what_it_rests_on(median):
    """Assumption, demands, roles and the event each branch is counted at stand in the report."""
    assert {
        "base_mm": 25,
        "per_ml_mm": 8,
        "sd_mm": 15,
        "length_mm": 65,
        "wanted_at_least": 0.9,
        "spared_at_least": 0.9,
    } == {key: value for key, value in median["assumed"].items() if key != "says"}
    assert [25, 8, 65, 15] == numbers(median["assumed"]["says"])
    assert [("median_palmar_cutaneous_branch_take_off", "wanted")] == [
        (event["id"], event["role"]) for event in median["events"] if event["role"] == "wanted"
    ]
    last = median["events"][-1]
    assert last["id"] == last["counted_at"] == "flexor_digitorum_superficialis_last_branch"


def test_by_parting_every_branch_is_counted_at_its_parting(dataset):
    """The report by parting names the event that decides, for the wanted branch as for those to be spared."""
    by_parting = window_report(dataset, nerve="median_nerve", volume_ml=5, reading="parting")

    counted = {event["role"]: event["counted_at"] for event in by_parting["events"]}

    assert {
        "wanted": "median_palmar_cutaneous_branch_parting",
        "unwanted": "flexor_digitorum_superficialis_last_branch_point",
    } == counted


def test_the_median_sentence_has_both_readings(median, dataset):
    """The median nerve's sentence names volume, span and demand by take-off and by parting; what limits the window is told
    with level and chance."""
    by_take_off, by_parting = median["sentence"].split("By parting:")
    palmar, flexor = (
        dataset.words[f"block.event.{id_}"]
        for id_ in ("median_palmar_cutaneous_branch_take_off", "flexor_digitorum_superficialis_last_branch")
    )

    assert [5, 4.2, 7, 90, 100] == numbers(by_take_off)
    assert [0.5, 2.7, 90, 100] == numbers(by_parting)
    assert by_take_off.startswith("Median nerve, 5 mL. By take-off:")
    assert palmar in by_take_off and palmar in by_parting
    assert [[4.1, 89, 100], [7.1, 10, 100]] == [numbers(text) for text in median["limits"]]
    assert palmar in median["limits"][0] and flexor in median["limits"][1]


def test_a_sentence_says_once_what_both_readings_find(dataset):
    """Where the readings agree, the sentence says so, with the window's own ends."""
    report = window_report(dataset, nerve="superficial_radial_nerve", volume_ml=5)
    low, high = report["window"]["low_mm"], report["window"]["high_mm"]

    assert report["windows"]["take_off"] == report["windows"]["parting"]
    assert [5, low / 10, high / 10, 90, 100] == numbers(report["sentence"])
    assert report["sentence"].startswith("Superficial radial nerve, 5 mL, ")
    assert dataset.words["block.event.superficial_radial_first_fork"] in report["sentence"]


def test_a_nerve_that_splits_above_the_elbow_is_told_in_words(dataset):
    """Where no level of the forearm has the nerve in reach, the sentence says that, and names no best level."""
    report = window_report(dataset, nerve="posterior_antebrachial_cutaneous_nerve", volume_ml=5)

    assert report["in_reach"] is False
    assert report["window"]["empty"] is True
    assert [] == numbers(report["sentence"])
    assert (
        dataset.words["block.window.beyond_above"].format(
            nerve="Posterior antebrachial cutaneous nerve",
            wanted=dataset.words["block.event.posterior_antebrachial_piercing"],
        )
        == report["sentence"]
    )


def test_no_report_promises(dataset):
    """No sentence of any report says "always", "never" or "safe", and every one ends."""
    promises = []
    for nerve in BLOCKS:
        for volume_ml in (1, 5, 10):
            report = window_report(dataset, nerve=nerve, volume_ml=volume_ml)
            said = [report["sentence"], *report["limits"], report["assumed"]["says"]]
            said += [one["says"] for one in report["orders"].values()] + [report["grip"] or "."]
            promises += [text for text in said if FORBIDDEN.search(text) or not text.endswith(".") or "{" in text]

    assert [] == promises


@pytest.mark.parametrize("nerve", BLOCKS)
def test_the_effect_of_the_orders_is_reported(nerve, dataset, model):
    """The report says where the orders change the chance of both the most, and by how much, under each reading."""
    z_mm = np.arange(0, 261.0)
    report = window_report(dataset, nerve=nerve, volume_ml=5)
    for reading in READINGS:
        given = {"reading": reading, "z_mm": z_mm, "volume_ml": 5}
        block = model.blocks[nerve]
        change = chances(model, block, **given).both - chances(model, block, **given, ordered=False).both
        largest = float(np.abs(change).max())
        told = report["orders"][reading]

        assert abs(abs(told["chance"]) - largest) < 1e-4
        assert abs(change[round(told["z_mm"])] - told["chance"]) < 1e-4
        expected = [round(100 * largest, 1), 100, told["z_mm"] / 10] if told["chance"] else []
        assert expected == numbers(told["says"])
    if nerve == "median_nerve":
        assert abs(report["orders"]["take_off"]["chance"] - 0.039) < 0.001


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ({"nerve": "sciatic"}, "nerve is 'sciatic' (allowed: {blocks})"),
        ({"nerve": "m"}, "nerve is 'm' (allowed: {blocks})"),
        ({"arm": "huge"}, "arm is 'huge' (allowed: {arms})"),
        ({"reading": "exit"}, "reading is 'exit' (allowed: take_off, parting)"),
        ({"volume_ml": 0.5}, "volume is 0.5 mL (allowed: 1 to 10)"),
        ({"volume_ml": 10.5}, "volume is 10.5 mL (allowed: 1 to 10)"),
        ({"volume_ml": float("nan")}, "volume is nan mL (allowed: 1 to 10)"),
    ],
)
def test_what_is_not_there_is_answered(asked, message, dataset):
    """An unknown nerve, arm or reading and a volume outside the tables are answered with what is allowed."""
    with pytest.raises(ValueError) as caught:
        window_report(dataset, **{"nerve": "ulnar", "volume_ml": 5, **asked})

    def one_of(names):
        names = sorted(f"'{name}'" for name in names)
        return f"{', '.join(names[:-1])} or {names[-1]}"

    sizes = [name for name, arm in dataset.region.arms.items() if not (arm.knots or arm.structures)]
    allowed = {"blocks": one_of(BLOCKS), "arms": one_of(sizes)}
    assert message.format(**allowed) == str(caught.value)


def test_a_nerve_may_be_named_by_its_beginning(model):
    """A beginning that fits one block means it, and a full id means itself even where others begin alike."""
    assert "ulnar_nerve" == block_id(model, "uln")
    assert "median_nerve" == block_id(model, "median")
    with pytest.raises(ValueError):
        block_id(model, "media")
    assert all(nerve == block_id(model, nerve) for nerve in BLOCKS)


@given(st.floats(0, 1))
def test_a_chance_is_told_in_whole_hundredths(dataset, chance):
    """A chance is rounded to a whole number of 100; near the ends it is said to be over 99 or under 1."""
    told = percent(chance, dataset.words)
    if told == "over 99":
        assert 0.995 <= chance < 0.9995
    elif told == "under 1":
        assert 0.0005 < chance <= 0.005
    else:
        assert abs(100 * chance - int(told)) <= 0.5
        assert told != "100" or chance >= 0.9995
        assert told != "0" or chance <= 0.0005


def test_names_in_words(dataset):
    """Several events are joined."""
    assert "first fork and split in two" == event_names(
        dataset.words, ["superficial_radial_first_fork", "lateral_antebrachial_split"]
    )

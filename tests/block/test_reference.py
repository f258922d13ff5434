"""The model against what the number sheet worked out by itself: its rows, its self-tests and its tables."""

from dataclasses import replace

import numpy as np
import pytest

from tests.block.conftest import at_one, parting_nowhere_but, published, raw, sheet_rows
from wristward.block.blocks import with_spread
from wristward.block.chance import chances, upper_edges_mm
from wristward.block.distribution import share_below
from wristward.block.report import block_window

VALUES = published("worked_values")
PALMAR = "median_palmar_cutaneous_branch_take_off"
DORSAL = "ulnar_dorsal_cutaneous_branch_take_off"
HIGH = "ulnar_palmar_cutaneous_branch_high_take_off"
FLEXOR = "flexor_digitorum_superficialis_last_branch"
POINT = "flexor_digitorum_superficialis_last_branch_point"
ENTRY = "ulnar_last_forearm_motor_entry"
READ_LATER = {
    "median_palmar_cutaneous_branch_parting",
    "ulnar_palmar_cutaneous_branch_high_parting",
    "ulnar_last_forearm_motor_entry",
}
"""Events that the number sheet has not: read for the block model after it."""

Z_MM = np.arange(0, 261.0)
MEDIAN, ULNAR = "median_nerve", "ulnar_nerve"


def off_by(percent, printed):
    """Return by how many points a chance misses what is printed; a printed bound is missed by what is beyond it."""
    if printed == "over_99":
        return max(0.0, 99 - percent)
    if printed == "under_1":
        return max(0.0, percent - 1)
    return abs(percent - printed)


def one(model, nerve, row, *, reading="take_off", ordered=True):
    return chances(
        model, model.blocks[nerve], reading=reading, z_mm=np.array([row["z_mm"]]), volume_ml=row["ml"], ordered=ordered
    )


def test_every_row_of_the_sheet_is_an_event():
    """Each distribution of the sheet stands in branches.yaml with the sheet's numbers, in mm; what else does was read later."""
    sheet = {
        id_: tuple(round(10 * float(row[key]), 6) for key in ("mean_z", "sd", "min", "max")) + (float(row["present"]),)
        for id_, row in sheet_rows().items()
    }
    ours = {
        record["sheet_row"]: (
            *(record[key] for key in ("mean_z_mm", "sd_mm", "min_z_mm", "max_z_mm")), record["prevalence"],
        )
        for record in raw("branches")["branches"].values()
        if "sheet_row" in record
    }  # fmt: skip

    assert sheet == ours
    assert 38 == len(ours)
    assert READ_LATER == {id_ for id_, one in raw("branches")["branches"].items() if "sheet_row" not in one}


def test_every_event_claims_no_more_confidence_than_the_sheet():
    """An event's confidence is the sheet's, and it names the sheet's rows."""
    rows = sheet_rows()
    branches = {id_: one for id_, one in raw("branches")["branches"].items() if id_ not in READ_LATER}
    expected = {
        id_: (int(row["conf"]), ["CSV", *row["from"].split()])
        for id_, record in branches.items()
        if (row := rows[record["sheet_row"]])
    }

    assert 38 == len(branches)
    assert expected == {id_: (record["confidence"], record["rows"]) for id_, record in branches.items()}


@pytest.mark.parametrize("row", VALUES["self_tests"]["values"], ids=lambda row: f"{row['event']}-{row['percent']}")
def test_self_tests_of_the_sheet(row, model, limbs):
    """The sheet's own checks on its distributions hold, by formula and over drawn limbs."""
    event, height = model.events[row["event"]], row.get("below_mm", row.get("above_mm"))
    below = 100 * np.array([share_below(event, height), np.mean(limbs.z_mm[event.id] < height)])
    found = below if "below_mm" in row else 100 - below

    assert np.all(np.abs(found - row["percent"]) <= row["within"]), found


@pytest.mark.parametrize("row", VALUES["worked_table"]["values"], ids=lambda row: f"z{row['z_mm']}-{row['ml']}mL")
def test_worked_table_of_the_sheet(row, model):
    """The worked table is reproduced within 1 point with a bathed length that does not scatter."""
    still = with_spread(model, sd_mm=0)
    median, ulnar = one(still, MEDIAN, row), one(still, ULNAR, row)
    edge_mm = float(upper_edges_mm(still, z_mm=np.array([row["z_mm"]]), volume_ml=row["ml"])[0][0, 0])
    missed = {
        "palmar": off_by(100 * float(median.caught[PALMAR][0]), row["palmar"]),
        "superficialis": off_by(at_one(median, "decisive_spared"), row["superficialis"]),
        "dorsal": off_by(100 * float(ulnar.caught[DORSAL][0]), row["dorsal"]),
        "ulnar_muscles": off_by(at_one(ulnar, "spared"), row["ulnar_muscles"]),
    }

    assert abs(edge_mm - row["edge_mm"]) <= 0.5
    assert {} == {key: points for key, points in missed.items() if points > 1}


@pytest.mark.parametrize("ordered", [False, True], ids=["independent", "ordered"])
@pytest.mark.parametrize("row", VALUES["median_check"]["values"], ids=lambda row: f"z{row['z_mm']}-{row['ml']}mL")
def test_check_on_the_median_window(row, ordered, model):
    """The check on the median window is reproduced within 2 points, as it was made and with the orders kept."""
    old = parting_nowhere_but(model, FLEXOR)
    take_off = one(old, MEDIAN, row, ordered=ordered)
    parting = one(old, MEDIAN, row, reading="parting", ordered=ordered)
    missed = {
        "palmar": off_by(100 * float(take_off.caught[PALMAR][0]), row["palmar"]),
        "take_off": off_by(at_one(take_off, "decisive_spared"), row["take_off"]),
        "parting": off_by(at_one(parting, "decisive_spared"), row["parting"]),
        "both_one_sided": off_by(at_one(parting, "both"), row["both_one_sided"]),
    }

    assert {} == {key: points for key, points in missed.items() if points > 2}


@pytest.mark.parametrize("volume_ml", [3, 5])
def test_one_sided_no_median_level_does_both_in_more_than_two_thirds(volume_ml, model):
    """By parting for the flexor's branch alone, as the model once counted, no median level does both in more than two thirds
    of limbs, and the best one is near z 40."""
    old = parting_nowhere_but(model, FLEXOR)
    found = chances(old, old.blocks[MEDIAN], reading="parting", z_mm=Z_MM, volume_ml=volume_ml)
    best = float(found.z_mm[int(np.argmax(found.both))])

    assert 0.62 < found.both.max() < 0.667
    assert abs(best - 40) <= 5


@pytest.mark.parametrize(
    "row", VALUES["one_event_at_a_time"]["values"], ids=lambda row: f"{row['palmar']}-{row['flexor']}"
)
def test_which_event_counts_decides_the_median_window(row, model):
    """With each branch counted where an independent sampler counted it, windows are its own within 1 mm and the best joint
    chance within 1 point."""
    events = dict(model.events)
    for at, (mean_mm, sd_mm) in ((PALMAR, row["palmar"]), (POINT, row["flexor"])):
        moved = replace(events[at], mean_z_mm=float(mean_mm), sd_mm=sd_mm, beside_trunk_until=None)
        # What is moved by a fixed length keeps its cut at the same distance.
        shift = mean_mm - model.events[at].mean_z_mm if sd_mm == model.events[at].sd_mm else 0.0
        events[at] = replace(moved, min_z_mm=moved.min_z_mm + shift, max_z_mm=moved.max_z_mm + shift)
        if sd_mm != model.events[at].sd_mm:
            events[at] = replace(events[at], min_z_mm=mean_mm - 4 * sd_mm, max_z_mm=mean_mm + 4 * sd_mm)
    changed = parting_nowhere_but(replace(model, events=events), FLEXOR)
    found = chances(changed, changed.blocks[MEDIAN], reading="parting", z_mm=Z_MM, volume_ml=5)
    window = block_window(changed, MEDIAN, found)
    off_mm = [] if row["window"] is None else np.abs(np.subtract(window.span_mm, row["window"]))

    assert (row["window"] is None) == window.empty
    assert np.all(np.asarray(off_mm) <= 1), window.span_mm
    assert abs(100 * float(found.both.max()) - row["both"]) <= 1
    assert abs(window.best_mm - row.get("at", window.best_mm)) <= 2


@pytest.mark.parametrize("row", VALUES["ulnar_by_entry"]["values"], ids=lambda row: f"{row['ml']}mL")
def test_ulnar_entries_lower_the_upper_end_of_the_window(row, model):
    """By take-off the ulnar window ends where an independent sampler had it; with the lower of two entries into the deep
    flexor, as published and not widened, within 1 mm of its range."""
    entry = replace(model.events[ENTRY], sd_mm=9.7)
    changed = replace(model, events=model.events | {ENTRY: entry})
    ends = {}
    for reading in ("take_off", "parting"):
        found = chances(changed, changed.blocks[ULNAR], reading=reading, z_mm=Z_MM, volume_ml=row["ml"])
        ends[reading] = block_window(changed, ULNAR, found).high_mm

    assert abs(ends["take_off"] - row["take_off"]) <= 1
    assert row["entry"][0] - 1 <= ends["parting"] <= row["entry"][1] + 1


@pytest.mark.parametrize("row", VALUES["high_palmar_branch"]["values"], ids=lambda row: f"z{row['z_mm']}")
def test_the_high_palmar_branch_of_the_ulnar_nerve(row, model):
    """Where the high palmar branch is there, it is caught as often as the sheet says."""
    found = 100 * float(one(model, ULNAR, row).caught[HIGH][0])

    assert abs(found - row["percent"]) <= row["within"], found


@pytest.mark.parametrize("row", VALUES["artery_trade"]["values"], ids=lambda row: f"z{row['z_mm']}")
def test_above_the_ulnar_artery_muscles_are_reached(row, model):
    """Clear of the artery, as many limbs keep every forearm muscle of the ulnar nerve as the sheet says."""
    found = at_one(one(model, ULNAR, row), "spared")

    assert abs(found - row["percent"]) <= row["within"], found


def test_no_ulnar_level_lies_above_both_skin_branches(model):
    """Where a level spares the ulnar nerve's forearm muscles in 9 of 10, the high palmar branch is still missed often."""
    found = chances(model, model.blocks[ULNAR], reading="take_off", z_mm=np.arange(0, 261.0), volume_ml=5)
    clear = (found.spared >= 0.9) & (found.caught[DORSAL] >= 0.9)
    high = found.caught[HIGH][clear]

    assert clear.any()
    assert high.max() < 0.999 or high.min() < 0.5

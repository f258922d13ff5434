"""Sums of the scenario beside printed limits: hand-computed, and over every story."""

from types import SimpleNamespace

import pytest

from tests.block.conftest import raw
from wristward.block.dose import dose_mg, dose_sum

OPERATIONS, DRUGS = raw("operations")["operations"], raw("drugs")["drugs"]


def limit(id_, **given):
    keys = ("mg_per_kg", "mg_per_kg_low", "mg", "mg_low", "mg_per_day", "use", "note", "seen")
    values = {key: given.get(key) for key in keys}
    return SimpleNamespace(id=id_, label=id_, source="s", adrenaline=given.get("adrenaline", False), **values)


def injection(drug, percent, volume_ml, *, with_adrenaline=False):
    return SimpleNamespace(drug=drug, percent=percent, volume_ml=volume_ml, with_adrenaline=with_adrenaline)


FILE = SimpleNamespace(
    mg_per_ml_per_percent=10,
    drugs={
        "one": SimpleNamespace(
            name="one",
            limits=(
                limit("low", mg_per_kg=3), limit("high", mg_per_kg=4.5, mg=300), limit("day", mg_per_day=400),
                limit("mixed", mg_per_kg=7, mg=500, adrenaline=True),
            ),
        ),
        "two": SimpleNamespace(name="two", limits=(limit("flat", mg=150),)),
    },
)  # fmt: skip


@pytest.mark.parametrize(
    ("percent", "volume_ml", "mg"), [(1, 10, 100), (0.75, 4, 30), (2, 5, 100), (0.5, 3, 15), (1.5, 4, 60)]
)
def test_percent_times_ten_is_milligrams_in_a_millilitre(percent, volume_ml, mg):
    """One percent is one gram in a hundred millilitres."""
    assert mg == pytest.approx(dose_mg(percent=percent, volume_ml=volume_ml, mg_per_ml_per_percent=10))


def test_a_sum_by_hand():
    """60 kg, 5 mL of 1 % and 4 mL of 2 % of one drug and 3 mL of 0.5 % of another: 130 mg and 15 mg beside each limit."""
    operation = SimpleNamespace(
        person_kg=60, injections=(injection("one", 1, 5), injection("two", 0.5, 3), injection("one", 2, 4))
    )
    found = dose_sum(operation, FILE)
    one, two = found.drugs

    assert [("one", (50, 80), 130), ("two", (15,), 15)] == [
        (drug.drug, drug.parts_mg, drug.total_mg) for drug in found.drugs
    ]
    # 3 mg/kg is 180 mg; 4.5 mg/kg is 270 mg, below the 300 mg beside it.
    assert {"low": 180, "high": 270, "day": None, "mixed": 420} == {line.id: line.limit_mg for line in one.lines}
    assert {"low": True, "high": True, "day": True, "mixed": False} == {line.id: line.applies for line in one.lines}
    assert pytest.approx([130 / 180, 130 / 270]) == [line.share for line in one.lines if line.share and line.applies]
    assert 150 == two.lines[0].limit_mg
    # Fractions add up over the drugs, each by its lowest and by its highest limit that applies.
    assert pytest.approx(130 / 180 + 15 / 150) == found.strictest
    assert pytest.approx(130 / 270 + 15 / 150) == found.most_generous


@pytest.mark.parametrize(("kg", "limit_mg"), [(60, 270), (66, 297), (67, 300), (90, 300)])
def test_the_lower_of_both_limits_counts(kg, limit_mg):
    """Where a label prints mg for each kg and an absolute limit, the lower one for the made-up person counts."""
    found = dose_sum(SimpleNamespace(person_kg=kg, injections=(injection("one", 1, 5),)), FILE)

    assert pytest.approx(limit_mg) == next(line.limit_mg for line in found.drugs[0].lines if line.id == "high")


def test_one_plain_injection_makes_the_plain_limit_apply():
    """Only where every injection of a drug is mixed with adrenaline does that limit apply."""
    both = (injection("one", 1, 5, with_adrenaline=True), injection("one", 1, 2))

    assert [False, True] == [
        dose_sum(SimpleNamespace(person_kg=60, injections=part), FILE).drugs[0].with_adrenaline
        for part in (both, both[:1])
    ]


def test_no_injections_make_no_sum_and_no_weight_makes_none():
    """An operation without injections has no sum; injections without a made-up person are an error."""
    assert dose_sum(SimpleNamespace(person_kg=None, injections=()), FILE) is None
    with pytest.raises(ValueError) as caught:
        dose_sum(SimpleNamespace(person_kg=None, injections=(injection("one", 1, 5),)), FILE)
    assert "injections need the weight of the made-up person" == str(caught.value)


@pytest.mark.parametrize("operation", sorted(id_ for id_, one in OPERATIONS.items() if "injections" in one))
def test_sums_of_every_story(operation, dataset):
    """Each story's amounts, limits and shares are those worked out from the raw files."""
    record = OPERATIONS[operation]
    found = dose_sum(dataset.operations.operations[operation], dataset.drugs)
    totals, adrenaline = {}, {}
    for one in record["injections"]:
        totals[one["drug"]] = totals.get(one["drug"], 0) + one["percent"] * 10 * one["volume_ml"]
        adrenaline[one["drug"]] = adrenaline.get(one["drug"], True) and one.get("with_adrenaline", False)
    shares = {}
    for drug, total in totals.items():
        for one in DRUGS[drug]["limits"]:
            printed = [
                one[key] * factor for key, factor in (("mg_per_kg", record["person_kg"]), ("mg", 1)) if key in one
            ]
            if printed and one["adrenaline"] == adrenaline[drug]:
                shares.setdefault(drug, []).append(total / min(printed))

    assert totals == {drug.drug: pytest.approx(drug.total_mg) for drug in found.drugs}
    assert {drug: sorted(values) for drug, values in shares.items()} == {
        drug.drug: pytest.approx(sorted(line.share for line in drug.lines if line.applies and line.share is not None))
        for drug in found.drugs
    }
    assert pytest.approx(sum(max(values) for values in shares.values())) == found.strictest
    assert pytest.approx(sum(min(values) for values in shares.values())) == found.most_generous


def test_every_limit_stands_beside_its_label_and_source():
    """No limit is shown without the label or guideline that prints it and a source of the bibliography."""
    sources = raw("sources")["sources"]
    limits = [(drug, one) for drug, record in DRUGS.items() for one in record["limits"]]
    bare = [
        (drug, one["id"])
        for drug, one in limits
        if not one["label"] or one["source"] not in sources or one["seen"] not in ("table", "memory")
    ]

    assert set(DRUGS) == {drug for drug, _ in limits}
    assert [] == bare


def test_labels_disagree_where_the_number_sheet_says_so():
    """The plain absolute limits of lidocaine that the sheet lists side by side, 300 and 200 mg, are both there."""
    plain = [one["mg"] for one in DRUGS["lidocaine"]["limits"] if not one["adrenaline"] and "mg" in one]

    assert {300, 200} == set(plain)

"""Which nerves an operation needs: the set cover against brute force over every hand and every set of nerves."""

from itertools import chain, combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.block.conftest import raw
from tests.hands import every_hand
from tests.reports import coverage_report
from wristward.block.coverage import (
    MOST_NERVES,
    HandKind,
    best_covers,
    covered_share,
    hand_kinds,
    smallest_cover,
    uncovered_without,
)
from wristward.block.coverage_band import how_often, needed_bands
from wristward.block.skin_alone import skin_alone

OPERATIONS = raw("operations")["operations"]
TERRITORIES = raw("territories")
NAMES = "abcdef"


def subsets(names):
    names = sorted(names)
    return chain.from_iterable(combinations(names, size) for size in range(len(names) + 1))


def asked_of(record):
    """Return the territories of each layer of an operation, from the raw files."""
    under = TERRITORIES["cuffs"].get(record["cuff"]["site"], {}).get("territories", [])
    asked = {"skin": record["skin"], "deep": record.get("deep", [])}
    asked["all"] = asked["skin"] + asked["deep"]
    return asked | ({"with_cuff": asked["all"] + under} if under else {})


@pytest.mark.parametrize("operation", sorted(OPERATIONS))
def test_an_operation_by_brute_force(operation, dataset):
    """For every layer the shares needed, the best set of each size, the smallest set, what leaving a nerve out leaves
    uncovered and the take-offs to be above are those of all hands and all sets."""
    report = coverage_report(dataset, operation)
    asked = asked_of(OPERATIONS[operation])

    assert [layer for layer in ("skin", "deep", "all", "with_cuff") if asked.get(layer)] == list(report["layers"])
    for layer, ids in asked.items():
        if not ids:
            continue
        found, kinds, above = report["layers"][layer], {}, {}
        for chance, parts in every_hand(TERRITORIES, ids):
            nerves = frozenset(part["nerve"] for part in parts)
            kinds[nerves] = kinds.get(nerves, 0.0) + chance
            for part in {(part["nerve"], part["by"]) for part in parts if "by" in part}:
                above[part] = above.get(part, 0.0) + chance
        names = sorted(set().union(*kinds))

        def covered(held, kinds=kinds):
            return sum(chance for nerves, chance in kinds.items() if nerves <= set(held))

        assert {one: pytest.approx(sum(c for n, c in kinds.items() if one in n), abs=1e-5) for one in names} == {
            one["nerve"]: one["needed_in"] for one in found["nerves"]
        }
        by_size = [max(covered(held) for held in combinations(names, size)) for size in range(len(names) + 1)]
        assert pytest.approx(by_size, abs=1e-5) == [one["covered"] for one in found["best"]]
        assert all(pytest.approx(covered(one["nerves"]), abs=1e-5) == one["covered"] for one in found["best"])
        enough = [held for held in subsets(names) if covered(held) >= report["covered_at_least"] - 1e-12]
        smallest = found["smallest"]["nerves"]
        assert min(len(held) for held in enough) == len(smallest)
        assert tuple(smallest) in enough
        assert {
            one: pytest.approx(1 - covered([other for other in smallest if other != one]), abs=1e-5) for one in smallest
        } == found["left_out"]
        assert {part: pytest.approx(share, abs=1e-5) for part, share in above.items()} == {
            (one["nerve"], one["event"]): one["needed_in"] for one in found["above"]
        }
        assert pytest.approx(1, abs=1e-5) == sum(kind["chance"] for kind in found["kinds"])


hands_of_letters = st.lists(
    st.tuples(st.integers(1, 20), st.frozensets(st.sampled_from(NAMES), max_size=5)), min_size=1, max_size=7
)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(hands_of_letters, st.floats(0, 1))
def test_any_set_cover_by_brute_force(parts, asked):
    """Whatever kinds of hands there are, no set of nerves of a size covers more than the best one, and no smaller set than
    the smallest covers enough."""
    total = sum(weight for weight, _ in parts)
    kinds = [HandKind(chance=weight / total, nerves=nerves) for weight, nerves in parts]
    names = set().union(*(kind.nerves for kind in kinds))
    best = best_covers(kinds)
    smallest = smallest_cover(best, covered_at_least=asked)

    assert list(range(len(names) + 1)) == [len(cover.nerves) for cover in best]
    for held in subsets(names):
        covered = sum(kind.chance for kind in kinds if kind.nerves <= set(held))
        assert abs(covered - covered_share(kinds, held)) < 1e-12
        assert covered <= best[len(held)].covered + 1e-12
        assert len(held) >= len(smallest.nerves) or covered < asked + 1e-9
    assert smallest.covered >= asked - 1e-9
    for nerve, share in uncovered_without(kinds, smallest.nerves).items():
        others = set(smallest.nerves) - {nerve}
        assert abs(share - sum(kind.chance for kind in kinds if not kind.nerves <= others)) < 1e-9


def test_of_equal_sets_the_first_in_the_alphabet_is_taken():
    """Two nerves that cover as much are told apart by name, so that the answer does not change between runs."""
    kinds = [HandKind(chance=0.5, nerves=frozenset("b")), HandKind(chance=0.5, nerves=frozenset("a"))]

    assert [(), ("a",), ("a", "b")] == [cover.nerves for cover in best_covers(kinds)]


def test_more_nerves_than_can_be_looked_at_are_refused():
    """Above the limit the answer is an error, not a wait."""
    many = frozenset(f"n{index}" for index in range(MOST_NERVES + 1))
    with pytest.raises(ValueError) as caught:
        best_covers([HandKind(chance=1.0, nerves=many)])

    assert "15 nerves are needed, at most 14 can be looked at" == str(caught.value)


def test_factors_that_no_territory_asks_of_change_nothing(dataset):
    """Kinds of hands are by the nerves they need: chances add up to one and no kind stands twice."""
    file = dataset.territories
    factors = {id_: record.alternatives for id_, record in file.factors.items()}
    kinds = hand_kinds(factors, file.territories, ["little_palmar"], patch_at_least=file.patch_at_least)

    assert [(1.0, frozenset({"ulnar_nerve"}))] == [(kind.chance, kind.nerves) for kind in kinds]


def test_twelve_operations_with_cuffs_of_both_kinds():
    """The scenario has twelve operations, with and without cuff, and skin under a forearm cuff brings its own nerves."""
    sites = {record["cuff"]["site"] for record in OPERATIONS.values()}

    assert 12 == len(OPERATIONS)
    assert {"none", "forearm", "arm"} == sites


def test_a_forearm_cuff_needs_the_nerves_of_forearm_skin(dataset):
    """Under a forearm cuff lateral, medial and posterior antebrachial cutaneous nerves are needed in every hand."""
    layer = coverage_report(dataset, "carpal_tunnel_release")["layers"]["with_cuff"]
    needed = {one["nerve"]: one["needed_in"] for one in layer["nerves"]}

    assert {
        "lateral_antebrachial_cutaneous_nerve": 1.0,
        "medial_antebrachial_cutaneous_nerve_anterior_branch": 1.0,
        "medial_antebrachial_cutaneous_nerve_posterior_branch": 1.0,
        "posterior_antebrachial_cutaneous_nerve": 1.0,
    } == {nerve: share for nerve, share in needed.items() if "antebrachial" in nerve}


def test_an_unknown_operation_is_answered(dataset):
    """What is not in the scenario is answered with what is."""
    names = sorted(f"'{name}'" for name in OPERATIONS)
    with pytest.raises(ValueError) as caught:
        coverage_report(dataset, "appendicectomy")

    assert f"operation is 'appendicectomy' (allowed: {', '.join(names[:-1])} or {names[-1]})" == str(caught.value)


@pytest.mark.parametrize("nerve", ["median_nerve", "ulnar_nerve", "superficial_radial_nerve"])
def test_skin_that_a_nerve_has_alone(nerve, dataset):
    """Shares of hands in which a nerve serves a patch, and serves it alone, are those of every hand; least shared first."""
    found = skin_alone(dataset.territories, nerve)
    expected = {}
    for id_, record in TERRITORIES["territories"].items():
        if record["layer"] == "skin":
            sets = [(chance, {part["nerve"] for part in parts}) for chance, parts in every_hand(TERRITORIES, [id_])]
            served = sum(chance for chance, nerves in sets if nerve in nerves)
            if served:
                expected[id_] = (sum(chance for chance, nerves in sets if nerves == {nerve}), served)

    assert expected == {one.territory: (pytest.approx(one.alone), pytest.approx(one.served)) for one in found}
    alone = [one.alone for one in found]
    assert all(first >= second - 1e-9 for first, second in zip(alone, alone[1:], strict=False))


def test_bands_of_needs_follow_what_was_counted(dataset):
    """What every hand of the model needs has no doubt; else the share lies in its band, which is as wide as the counted hands
    leave it: of 150 hands about 7 are all radial."""
    record = dataset.operations.operations["little_finger_wires"]
    ids = [*record.skin, *record.deep]
    bands = needed_bands(dataset, ids)
    shares = {
        one["nerve"]: one["needed_in"]
        for one in coverage_report(dataset, "little_finger_wires")["layers"]["all"]["nerves"]
    }
    low, high = bands["superficial_radial_nerve"]

    assert set(shares) == set(bands)
    assert (1.0, 1.0) == bands["ulnar_nerve"]
    assert low < shares["superficial_radial_nerve"] < high
    assert 0.02 <= low <= 0.05 and 0.09 <= high <= 0.15
    assert ["rarely", "sometimes", "sometimes", "usually"] == [how_often(share) for share in (0.149, 0.15, 0.849, 0.85)]

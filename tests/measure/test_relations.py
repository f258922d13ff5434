"""Each kind of claim, once where it holds and once where it fails, on sections worked out on paper."""

from __future__ import annotations

import pytest

from tests.shapes import WAYS, box, mirrored, section, solved
from wristward.data.records.relation import RELATION_KINDS
from wristward.measure.relations import Verdict, evaluate_claim

# Volar is up, ulnar is right. The nerve lies in a 1 mm seam between two flexors, the artery ulnar to it.
SUPERFICIAL = solved("superficial", box(-20, 14.5, 20, 24))
DEEP = solved("deep", box(-20, 0, 20, 9.5))
NERVE = solved("nerve", box(-2, 10, 2, 14), kind="nerve")
ARTERY = solved("artery", box(5, 10, 9, 14), kind="artery")
RADIUS = solved("radius", box(-18, -20, -8, -10), kind="bone")
ULNA = solved("ulna", box(8, -39, 18, -10), kind="bone")
SKIN_VEIN = solved("vein", box(-30, 36, -28, 38), kind="vein", layer="subcutaneous")
CUT = section(RADIUS, ULNA, DEEP, SUPERFICIAL, ARTERY, NERVE, SKIN_VEIN)

CLAIMS = [
    ("in_seam", {"structure": "nerve", "between": ["superficial", "deep"], "within_mm": 0.5},
     Verdict(True, 0.5, "nerve is 0.5 mm from superficial (allowed: at most 0.5 mm)")),
    ("in_seam", {"structure": "nerve", "between": ["superficial", ["radius", "ulna"]], "within_mm": 1},
     Verdict(False, 20.88, "nerve is 20.9 mm from radius or ulna (allowed: at most 1 mm)")),
    ("between", {"structure": "nerve", "between": ["superficial", "artery"], "least_deg": 91},
     Verdict(False, 90.0, "nerve sees superficial and artery 90° apart (allowed: at least 91°)")),
    ("between", {"structure": "nerve", "between": ["superficial", "deep"]},
     Verdict(True, 180.0, "nerve sees superficial and deep 180° apart (allowed: at least 90°)")),
    ("between", {"structure": "artery", "between": ["nerve", "gone"]}, Verdict(False, None, "gone is not cut")),
    ("touches", {"structure": "nerve", "other": "deep", "toward": "volar"},
     Verdict(True, 0.5, "nerve is 0.5 mm from deep (allowed: at most 0.8 mm)")),
    ("touches", {"structure": "nerve", "other": "deep", "toward": "dorsal"},
     Verdict(False, -2.5, "nerve lies 2.5 mm volar of deep (allowed: dorsal of it)")),
    ("touches", {"structure": "nerve", "other": "artery"},
     Verdict(False, 3.0, "nerve is 3.0 mm from artery (allowed: at most 0.8 mm)")),
    ("clear_of", {"structure": "nerve", "other": "artery", "least_mm": 3},
     Verdict(True, 3.0, "nerve is 3.0 mm from artery (allowed: at least 3 mm)")),
    ("clear_of", {"structure": "nerve", "other": ["artery", "deep"], "least_mm": 1},
     Verdict(False, 0.5, "nerve is 0.5 mm from artery or deep (allowed: at least 1 mm)")),
    ("gap", {"structure": "nerve", "other": "artery", "min_mm": 2, "max_mm": 4, "toward": "radial"},
     Verdict(True, 3.0, "nerve is 3.0 mm from artery (allowed: at least 2 and at most 4 mm)")),
    ("gap", {"structure": "nerve", "other": "artery", "max_mm": 2.5},
     Verdict(False, 3.0, "nerve is 3.0 mm from artery (allowed: at most 2.5 mm)")),
    ("centre_distance", {"structure": "nerve", "other": "artery", "max_mm": 7},
     Verdict(True, 7.0, "centres of nerve and artery are 7.0 mm apart (allowed: at most 7 mm)")),
    ("centre_distance", {"structure": "nerve", "other": "artery", "min_mm": 7.5},
     Verdict(False, 7.0, "centres of nerve and artery are 7.0 mm apart (allowed: at least 7.5 mm)")),
    ("depth", {"structure": "ulna", "max_mm": 5}, Verdict(True, 1.0, "ulna is 1.0 mm deep (allowed: at most 5 mm)")),
    ("depth", {"structure": "nerve", "max_mm": 19},
     Verdict(False, 26.0, "nerve is 26.0 mm deep (allowed: at most 19 mm)")),
    ("fascia_gap", {"structure": "superficial", "max_mm": 11},
     Verdict(True, 11.0, "superficial is 11.0 mm from the deep fascia (allowed: at most 11 mm)")),
    ("fascia_gap", {"structure": "superficial", "min_mm": 12},
     Verdict(False, 11.0, "superficial is 11.0 mm from the deep fascia (allowed: at least 12 mm)")),
    ("skin_share", {"structure": "nerve", "toward": "ulnar", "min_percent": 43, "max_percent": 53},
     Verdict(True, 50.0, "centre of nerve lies at 50.0 % of the skin's width toward ulnar (allowed: 43 to 53 %)")),
    ("skin_share", {"structure": "ulna", "toward": "ulnar", "min_percent": 0, "max_percent": 60},
     Verdict(False, 63.0, "centre of ulna lies at 63.0 % of the skin's width toward ulnar (allowed: 0 to 60 %)")),
    ("side", {"structure": "nerve", "of": "artery", "toward": "radial", "least_mm": 7},
     Verdict(True, 7.0, "centre of nerve lies 7.0 mm radial of artery (allowed: at least 7 mm)")),
    ("side", {"structure": "nerve", "of": "artery", "toward": "ulnar"},
     Verdict(False, -7.0, "centre of nerve lies -7.0 mm ulnar of artery (allowed: at least 0 mm)")),
    ("deep_to", {"structure": "nerve", "cover": "superficial"},
     Verdict(True, 1.0, "100% of the outline of nerve is covered by superficial toward skin (allowed: at least 50%)")),
    ("deep_to", {"structure": "nerve", "cover": "superficial", "along": "dorsal"},
     Verdict(False, 0.0, "0% of the outline of nerve is covered by superficial toward dorsal (allowed: at least 50%)")),
    ("on_every_line", {"structure": "superficial", "of": "deep", "toward": "volar"},
     Verdict(True, 0.0, "superficial and deep interlock by 0.0 mm (allowed: 0.5 mm, superficial volar)")),
    ("on_every_line", {"structure": "deep", "of": "superficial", "toward": "volar"},
     Verdict(False, 24.0, "deep and superficial interlock by 24.0 mm at x -19.9 mm (allowed: 0.5 mm, deep volar)")),
    ("on_every_line", {"structure": "artery", "of": "nerve", "toward": "ulnar"},
     Verdict(True, 0.0, "artery and nerve interlock by 0.0 mm (allowed: 0.5 mm, artery ulnar)")),
    ("inside", {"structure": "nerve", "container": "superficial"},
     Verdict(False, 0.5, "nerve is outside superficial, 0.5 mm from its fibres "
                         "(allowed: inside, between parts up to 3.5 mm apart)")),
    ("outside_fascia", {"structure": "vein"},
     Verdict(True, 2.0, "centre of vein lies 2.0 mm outside the deep fascia, its layer is 'subcutaneous' "
                        "(allowed: outside it)")),
    ("outside_fascia", {"structure": "nerve"},
     Verdict(False, -23.0, "centre of nerve lies 23.0 mm deep to the deep fascia, its layer is 'subfascial' "
                           "(allowed: outside it)")),
    ("subfascial", {"structure": "nerve"},
     Verdict(True, 23.0, "centre of nerve lies 23.0 mm deep to the deep fascia, its layer is 'subfascial' "
                         "(allowed: deep to it)")),
    ("subfascial", {"structure": "vein"},
     Verdict(False, -2.0, "centre of vein lies 2.0 mm outside the deep fascia, its layer is 'subcutaneous' "
                          "(allowed: deep to it)")),
    ("order", {"of": ["radius", ["nerve", "superficial"], "artery", "ulna"], "toward": "ulnar"},
     Verdict(True, 6.0, "ulna lies 6.0 mm ulnar of artery (allowed: more than 0 mm)")),
    ("order", {"of": ["radius", "ulna", "artery"], "toward": "ulnar"},
     Verdict(False, -6.0, "artery lies -6.0 mm ulnar of ulna (allowed: more than 0 mm)")),
    ("order", {"of": ["radius", "gone", "ulna"], "toward": "ulnar"}, Verdict(False, None, "gone is not cut")),
    ("order", {"of": ["radius", "gone", "ulna"], "toward": "ulnar", "skip_absent": True},
     Verdict(True, 26.0, "ulna lies 26.0 mm ulnar of radius (allowed: more than 0 mm)")),
    ("ring_order", {"of": ["artery", "nerve", "vein", "radius", "ulna"]},
     Verdict(True, 30.3, "nerve comes 30° after artery round the limb (allowed: more than 0°)")),
    ("ring_order", {"of": ["artery", "vein", "nerve"]},
     Verdict(False, -38.1, "nerve comes -38° after vein round the limb (allowed: more than 0°)")),
    ("contents", {"roof": "superficial", "floor": ["deep"], "of": ["nerve", "artery"], "toward": "volar"},
     Verdict(True, 2.0, "2 lie between superficial and deep (as stated)")),
    ("contents", {"roof": "superficial", "floor": ["deep"], "of": ["nerve", "vein"], "toward": "volar"},
     Verdict(False, 2.0, "2 lie between superficial and deep (missing: vein; not allowed: artery)")),
    ("present", {"structures": ["radius", "ulna"], "as_tissue": "bone"}, Verdict(True, 2.0, "all are cut")),
    ("present", {"structures": ["radius", "gone"]}, Verdict(False, None, "gone is not cut")),
    ("present", {"structures": "nerve", "as_tissue": "tendon"},
     Verdict(False, None, "nerve is cut as nerve (allowed: tendon)")),
    ("absent", {"structures": "gone"}, Verdict(True, 0.0, "none is cut")),
    ("absent", {"structures": ["gone", "nerve"]}, Verdict(False, 1.0, "nerve cut (allowed: none)")),
]  # fmt: skip
IDS = [f"{kind}-{'holds' if verdict.holds else 'fails'}-{k}" for k, (kind, _, verdict) in enumerate(CLAIMS)]


def _evaluate(kind, claim, cut):
    return evaluate_claim(kind, RELATION_KINDS[kind].model_validate(claim), cut, WAYS)


@pytest.mark.parametrize(("kind", "claim", "expected"), CLAIMS, ids=IDS)
def test_claim_is_decided_with_its_number(kind, claim, expected):
    """A claim's verdict, its number and its words are those worked out on paper."""
    actual = _evaluate(kind, claim, CUT)

    assert expected == actual


@pytest.mark.parametrize(("kind", "claim", "expected"), CLAIMS, ids=IDS)
def test_claim_is_the_same_on_a_left_arm(kind, claim, expected):
    """Sides are anatomical: the mirrored section of a left arm gets the same verdict and number."""
    actual = _evaluate(kind, claim, mirrored(CUT))

    assert (expected.holds, expected.value) == (actual.holds, actual.value)


def test_every_kind_is_tried_both_ways():
    """No kind of claim is left without a section on which it holds and one on which it fails."""
    # Inside has a test of its own below.
    tried = {(kind, verdict.holds) for kind, _, verdict in CLAIMS} | {("inside", True)}

    assert {(kind, holds) for kind in RELATION_KINDS for holds in (True, False)} == tried


def test_inside_counts_the_slit_between_layers():
    """A nerve in the slit between two layers is inside the muscle they make, up to the slit's width."""
    layers = [solved("one", box(-10, 0, 10, 4), part_of="both"), solved("two", box(-10, 7, 10, 11), part_of="both")]
    cut = section(*layers, solved("nerve", box(-1, 5, 1, 6), kind="nerve"))

    held = [_evaluate("inside", {"structure": "nerve", "container": "both", "slit_mm": s}, cut).holds for s in (2, 3.2)]

    assert [False, True] == held


def test_a_muscle_stands_for_its_tendons():
    """A claim about a muscle looks at its tendons too."""
    tendon = solved("tendon", box(2.5, 10, 4, 14), kind="tendon", part_of="deep")

    verdict = _evaluate("gap", {"structure": "nerve", "other": "deep", "max_mm": 1}, section(NERVE, tendon))

    assert Verdict(True, 0.5, "nerve is 0.5 mm from deep (allowed: at most 1 mm)") == verdict


def test_ring_order_may_start_anywhere():
    """A ring that starts just before bearing 0 and goes on past it is in order."""
    places = {"a": (30, -5), "b": (30, 5), "c": (0, 30), "d": (-30, 0)}
    cut = section(*(solved(name, box(x - 1, y - 1, x + 1, y + 1)) for name, (x, y) in places.items()))

    held = [_evaluate("ring_order", {"of": list(order)}, cut).holds for order in ("abcd", "bcda", "cdab", "acbd")]

    assert [True, True, True, False] == held


def test_a_group_may_straddle_bearing_zero():
    """Neighbours on both sides of bearing 0 count as one place in a ring."""
    places = {"a": (30, -5), "b": (30, 5), "c": (0, 30), "d": (-30, 0)}
    cut = section(*(solved(name, box(x - 1, y - 1, x + 1, y + 1)) for name, (x, y) in places.items()))

    assert _evaluate("ring_order", {"of": [["a", "b"], "c", "d"]}, cut).holds

"""Other arms: what a file of arms/ changes, what it may not, and where its mistakes are said."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from wristward.data.read import read_dataset
from wristward.errors import DataError
from wristward.locate import where_is_data

SMALL = Path(__file__).parent / "small"
HEAD = "who: somebody\nsource: own_drawing\nconfidence: 1\n"
TWIG = """
structures:
  twig: {kind: nerve, name: twig, from_z_mm: 120, to_z_mm: 0, course: [{from_z_mm: 110, to_z_mm: 10, free: true}], source: own_drawing, confidence: 1}
knots:
  - {z_mm: 100, nerves: {twig: {at: [5, 5], area_mm2: 1}}}
  - {z_mm: 50, source: own_drawing, confidence: 1, nerves: {twig: {at: [6, 5], area_mm2: 1}}}
"""


@pytest.fixture
def small(tmp_path) -> Path:
    """A copy of the small arm."""
    shutil.copytree(SMALL, tmp_path / "small")
    return tmp_path / "small"


def put(folder: Path, name: str, text: str) -> Path:
    """Write an arm's file and return the data folder."""
    (folder / "arms").mkdir(exist_ok=True)
    (folder / "arms" / f"{name}.yaml").write_text(HEAD + text, encoding="utf-8")
    return folder


def read(folder: Path, *overlays: Path):
    return read_dataset(folder, overlays, parts=())


def problems_of(*folders: Path) -> list[str]:
    with pytest.raises(DataError) as raised:
        read(*folders)
    return str(raised.value).splitlines()


def test_an_arm_that_is_only_larger_is_the_drawn_one(small):
    """An arm with scales alone stands among the region's arms and has no data of its own."""
    data = read(put(small, "huge", "length_scale: 1.2\n"))

    assert (1.2, 1.0, True) == (
        data.region.arms["huge"].length_scale, data.region.arms["huge"].girth_scale, data.region.arms["huge"].is_scaled_only,
    )  # fmt: skip
    assert ({}, data) == (data.arms, data.of_arm("huge"))


def test_an_arm_adds_knots_at_heights_that_are_drawn_and_at_new_ones(small):
    """A new structure comes behind the catalogue; a knot of the arm changes what is drawn at its height or is one more."""
    data = read(put(small, "twigged", TWIG))
    arm = data.of_arm("twigged")

    assert [*data.structures, "twig"] == list(arm.structures)
    assert ([200.0, 100.0, 0.0], [60.0, 50.0]) == tuple(
        [one.z_mm for one in drawn] for drawn in (arm.levels, arm.knots)
    )
    assert [(100.0, (5.0, 5.0)), (50.0, (6.0, 5.0))] == [
        (one.z_mm, one.nerves["twig"].at) for one in arm.levels_and_knots() if "twig" in one.nerves
    ]
    assert data.levels[1].muscles == arm.levels[1].muscles
    assert ("twigged", "small/arms/twigged.yaml", 6) == (arm.arm, *arm.where("structure", "twig")[:2])
    assert "twig" not in data.structures and [60.0] == [knot.z_mm for knot in data.knots]


def test_a_structure_taken_out_takes_its_knots_with_it(small):
    """Null in the catalogue is enough, whatever levels draw the structure."""
    data = read(put(small, "bare", "structures: {skin_vein: null}\n"))

    assert "skin_vein" not in data.of_arm("bare").structures
    assert [False] * 4 == ["skin_vein" in one.vessels for one in data.of_arm("bare").levels_and_knots()]
    assert [True] * 4 == ["skin_vein" in one.vessels for one in data.levels_and_knots()]


def test_a_stretch_drawn_anew_forgets_the_knots_of_the_drawn_arm(small):
    """Between the ends given only the arm's own knots of a structure count, and above and below the drawn arm's."""
    text = "redraws: [{structure: middle_nerve, from_z_mm: 150, to_z_mm: 0}]\n"
    text += (
        "knots: [{z_mm: 20, source: own_drawing, confidence: 1, nerves: {middle_nerve: {at: [3, 3], area_mm2: 7}}}]\n"
    )
    arm = read(put(small, "moved", text)).of_arm("moved")

    assert [200.0, 20.0] == [one.z_mm for one in arm.levels_and_knots() if "middle_nerve" in one.nerves]


def test_a_lifted_relation_is_not_asked_and_an_arm_states_its_own(small):
    """Relations are the drawn arm's but for those lifted, then the arm's own."""
    text = "lifts: [nerve_by_artery]\n"
    text += "relations: [{id: vein_there, says: A vein., z_mm: [20, 180], present: {structures: skin_vein}, source: own_drawing, confidence: 1}]\n"
    data = read(put(small, "free", text))

    assert [["nerve_by_artery"], ["vein_there"]] == [
        [relation.id for relation in one.relations] for one in (data, data.of_arm("free"))
    ]
    assert ("small/arms/free.yaml", 4) == data.where("lift", "free nerve_by_artery")[:2]
    assert ("small/arms/free.yaml", 5) == data.of_arm("free").where("relation", "vein_there")[:2]


def test_an_overlay_adds_an_arm_and_changes_one(small, tmp_path):
    """A course's folder may hold an arm of its own and changes of a packaged one, null included."""
    put(small, "bare", "structures: {skin_vein: null}\n")
    (tmp_path / "course" / "arms").mkdir(parents=True)
    (tmp_path / "course" / "arms" / "bare.yaml").write_text("girth_scale: 0.9\n", encoding="utf-8")
    put(tmp_path / "course", "twigged", TWIG)
    (tmp_path / "course" / "arms" / "mine.yaml").write_text(HEAD + "structures: {skin_vein: null}\n", encoding="utf-8")
    data = read(small, tmp_path / "course")

    assert (0.9, ["bare", "mine", "twigged"]) == (data.region.arms["bare"].girth_scale, sorted(data.arms))
    assert [False, False, True] == ["skin_vein" in data.arms[name].structures for name in ("bare", "mine", "twigged")]


@pytest.mark.parametrize(
    ("text", "messages"),
    [
        ("girht_scale: 1\n", ["4:1: unknown key 'girht_scale'; did you mean 'girth_scale'? "]),
        ("lifts: [nerve_by_artry]\n", ["4:9: unknown relation 'nerve_by_artry'; did you mean 'nerve_by_artery'? "]),
        ("lifts: [nerve_by_artery, nerve_by_artery]\n", ["4:26: 'nerve_by_artery' is lifted twice"]),
        ("structures: {skin_vain: null}\n", ["4:14: nothing to take out: there is no structure 'skin_vain'; did you mean"]),
        (
            "structures: {middle_artery: null}\n",
            [
                "1:1: in this arm unknown structure 'middle_artery'; did you mean 'middle_nerve'? (allowed: ",
                "1:1: in this arm unknown structure 'middle_artery'; did you mean 'middle_nerve'? (allowed: ",
            ],
        ),
        ("structures: {twig: {kind: nerve, name: twig}}\n", ["4:20: 'from_z_mm' is missing"]),
        ("knots: [{nerves: {}}]\n", ["4:9: 'z_mm' is missing"]),
        ("knots: [{z_mm: low}]\n", ["4:16: z_mm is 'low', must be a number"]),
        (
            "knots: [{z_mm: 40, nerves: {middle_nerve: {at: [0, 5], area_mm2: -7}}}]\n",
            ["4:66: area_mm2 is -7, must be more than 0"],
        ),
        (
            "knots: [{z_mm: 40, nerves: {middle_nerve: {at: [0, 5], area_mm2: 7}}}]\n",
            ["4:43: 'source' is missing, and nothing around it names one"],
        ),
        (
            "redraws: [{structure: middle_nerve, from_z_mm: 0, to_z_mm: 50}]\n",
            ["4:60: to_z_mm 50 is above from_z_mm 0 (z falls from proximal to distal)"],
        ),
        ("redraws: [{structure: middle_nerv, from_z_mm: 50, to_z_mm: 0}]\n", ["4:23: unknown structure 'middle_nerv'; did you"]),
        (
            "relations: [{id: nerve_by_artery, says: Again., z_mm: [0, 1], present: {structures: radius}}]\n",
            ["4:18: relation 'nerve_by_artery' is also stated at small/relations.yaml:3 (allowed: another id, and that one among 'lifts')"],
        ),
    ],
)  # fmt: skip
def test_mistakes_are_answered_in_the_arms_own_file(text, messages, small):
    """Whatever is wrong with an arm is said with the place in its file, all at once."""
    found = [line.removeprefix("small/arms/odd.yaml:") for line in problems_of(put(small, "odd", text))]

    assert len(messages) == len(found)
    assert [True] * len(messages) == [line.startswith(text) for line, text in zip(found, messages, strict=True)], found


def test_two_definitions_of_one_arm_are_told(small):
    """An arm stands in the region or in a file of its own, and what differs only in the latter."""
    region = small / "region.yaml"
    text = region.read_text(encoding="utf-8")
    region.write_text(text.replace("  small: {", "  small: {lifts: [nerve_by_artery], "), encoding="utf-8")

    assert [
        "small/arms/mean.yaml:1:1: arm 'mean' is also defined at small/region.yaml:18",
        "small/region.yaml:17:11: 'lifts' of an arm stands in a file of its own (allowed: arms/small.yaml)",
    ] == problems_of(put(small, "mean", ""))


def test_the_drawn_arm_is_needed(small):
    """Without an arm 'mean' there is nothing to compare with."""
    region = small / "region.yaml"
    text = region.read_text(encoding="utf-8")
    region.write_text(
        "".join(line for line in text.splitlines(True) if not line.startswith("  mean:")), encoding="utf-8"
    )

    assert [
        "small/region.yaml:3:1: arm 'mean' is missing, the one that is drawn (allowed: arms/mean.yaml)"
    ] == problems_of(small)


def test_an_arm_needs_its_words(small):
    """Where arms have words for readers, an arm without them is told, its lifts too."""
    (small / "reader" / "en" / "arms.yaml").write_text(
        "figure: {arm: {small: a, mean: b}}\nclient: {arms: {name: {small: a, mean: b}}}\narms: {lifts: {x: {y: z}}, differs: {x: y}}\n",
        encoding="utf-8",
    )
    put(small, "free", "lifts: [nerve_by_artery]\n")

    assert [
        "small/arms/free.yaml:1:1: 'free' has no words for readers (allowed: 'arms.differs.free' in reader/en/)",
        "small/arms/free.yaml:1:1: 'free' has no words for readers (allowed: 'client.arms.name.free' in reader/en/)",
        "small/arms/free.yaml:1:1: 'free' has no words for readers (allowed: 'figure.arm.free' in reader/en/)",
        "small/arms/free.yaml:4:9: 'nerve_by_artery' has no words for readers (allowed: 'arms.lifts.free.nerve_by_artery' in reader/en/)",
    ] == problems_of(small)


def test_shipped_arms_change_what_their_names_say():
    """Each shipped arm has what it is called after, says how common that is, and states facts about it."""
    data = read_dataset(where_is_data())
    new = {name: sorted(set(arm.structures) - set(data.structures)) for name, arm in data.arms.items()}
    gone = {name: sorted(set(data.structures) - set(arm.structures)) for name, arm in data.arms.items()}
    region = data.region.arms

    assert {
        "bifid_median_nerve": ["median_nerve_ulnar_part", "persistent_median_artery"],
        "high_ulnar_palmar_branch": ["ulnar_palmar_cutaneous_branch"],
        "palmaris_longus_absent": [],
        "superficial_ulnar_artery": [],
    } == new
    assert {name: ["palmaris_longus"] if name == "palmaris_longus_absent" else [] for name in new} == gone
    assert {"small", "mean", "large"} == set(region) - set(new)
    assert [] == [name for name in new if not (region[name].variants or region[name].branches)]
    assert [] == [
        name for name, arm in data.arms.items() if not {r.id for r in arm.relations} - {r.id for r in data.relations}
    ]

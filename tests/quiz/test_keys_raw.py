"""Keys of distances, stretches, operations, tests and the wrist, recomputed from the raw YAML or with shapely."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml
from shapely.geometry import LineString, Polygon
from shapely.ops import unary_union

from tests.hands import nerves_needed

ROOT = Path(__file__).resolve().parents[2] / "anatomy_data"


def _raw(name):
    return yaml.safe_load((ROOT / name).read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def catalogue():
    """Raw records of every structure, by id."""
    found = {}
    for path in sorted((ROOT / "structures").glob("*.yaml")):
        found |= yaml.safe_load(path.read_text(encoding="utf-8"))["structures"]
    return found


@pytest.fixture(scope="module")
def names(catalogue):
    """Id of a structure by its name."""
    return {record["name"]: id_ for id_, record in catalogue.items()}


def _of(items, kind, begins=""):
    found = [item for item in items if item.kind == kind and item.fact.startswith(begins)]
    assert found, f"nothing is asked of the kind {kind}, {begins}"
    return found


def _right(item):
    return sorted(option.text for option in item.options if option.right)


def test_bands_hold_the_raw_means(items, catalogue):
    """The right band holds the mean, the landmark, the last fibres or the difference in the YAML; no other band does."""
    events, landmarks = _raw("branches.yaml")["branches"], _raw("region.yaml")["landmarks"]
    wrong = []
    for item in _of(items, "distance"):
        ids = item.fact.split("|")
        if ids[0] == "fibres":
            true_mm = catalogue[ids[1]]["belly"]["to_z_mm"]
        elif ids[0] == "landmark":
            true_mm = landmarks[ids[1]]["z_mm"]
        else:
            means = [events[id_]["mean_z_mm"] for id_ in ids]
            true_mm = means[0] if len(means) == 1 else means[0] - means[1]
        held = []
        for option in item.options:
            low, high = (10 * float(one) for one in re.findall(r"[\d.]+", option.text))
            held += [option.right] if low <= true_mm <= high else []
        if held != [True]:
            wrong.append((item.fact, true_mm, held))

    assert [] == wrong


def test_the_key_is_seldom_the_lowest_way_apart(items):
    """What lies between two events is never the lowest band on offer, or it would tell itself."""
    lowest = []
    for item in _of(items, "distance"):
        starts = {float(re.findall(r"[\d.]+", option.text)[0]): option.right for option in item.options}
        if "|" in item.fact and not item.fact.startswith(("fibres", "landmark")) and starts[min(starts)]:
            lowest.append(item.fact)

    assert [] == lowest


def test_stretches_follow_the_raw_course(items, catalogue):
    """Stretches are those of the raw course with their confidence, from proximal to distal, and none comes twice."""
    asked = [item for item in _of(items, "order") if item.fact.split("|")[0] in catalogue]
    wrong = []
    for item in asked:
        id_, *starts = item.fact.split("|")
        runs = {f"{run['from_z_mm']:g}": run for run in catalogue[id_]["course"]}
        heights = [float(start) for start in starts]
        sure = all(runs[start].get("confidence", catalogue[id_]["confidence"]) >= 2 for start in starts)
        texts = {option.text for option in item.options}
        if heights != sorted(heights, reverse=True) or not sure or len(texts) != len(starts):
            wrong.append(item.fact)

    assert asked and [] == wrong


def test_nerves_needed_are_those_of_all_hands(items, names):
    """A nerve is keyed where 85 of 100 hands of the raw YAML need it, and offered as wrong where 15 or fewer do."""
    file, operations = _raw("territories.yaml"), _raw("operations.yaml")["operations"]
    wrong = []
    for item in _of(items, "operation"):
        first, second = item.fact.split("|")
        if first == "written":
            continue
        ids = [second] if first == "tissue" else operations[first][second]
        shares = nerves_needed(file, ids)
        for option in item.options:
            share = shares.get(names[option.text], 0.0)
            if (share < 0.85 - 1e-9) if option.right else (share > 0.15 + 1e-9):
                wrong.append((item.fact, option.text, round(share, 3)))
        wrong += [(item.fact, id_) for id_ in ids if file["territories"][id_]["confidence"] < 2]

    assert [] == wrong


def test_movements_hang_on_the_raw_nerves(items, names):
    """The nerve of a movement is the one the YAML gives, and no nerve offered as wrong is that of the muscle too."""
    signs = _raw("teaching.yaml")["signs"]
    wrong = []
    for item in _of(items, "testing", "nerve|"):
        sign = signs[item.fact.split("|")[1]]
        offered = {names[option.text] for option in item.options if not option.right}
        if [names[text] for text in _right(item)] != sign["supply"] or offered & set(sign["supply"]):
            wrong.append(item.fact)
    for item in _of(items, "testing", "muscle|"):
        if _right(item) != [signs[item.fact.split("|")[1]]["name"]]:
            wrong.append(item.fact)

    assert [] == wrong


def test_after_a_block_the_trunk_is_lost_and_far_branches_stay(items, dataset):
    """Drawn with another seed: what is keyed lost or kept after a block is so in 88 of 100 limbs, under both readings."""
    import numpy as np

    from tests.block.counted import count_chances
    from wristward.block.blocks import block_model
    from wristward.block.sampler import draw_limbs

    model, signs = block_model(dataset), _raw("teaching.yaml")["signs"]
    limbs = draw_limbs(model, count=20_000, seed=77)
    by_name = {sign["name"]: sign for sign in signs.values()}
    wrong, judged = [], 0
    for item in _of(items, "testing", "after|"):
        nerve, z_mm = item.fact.split("|")[1].split("@")
        for option in item.options:
            sign = next((by_name[name] for name in by_name if option.text.endswith(f"of {name}")), None)
            if sign is None:
                continue
            judged += 1
            if sign.get("branch") is None:
                wrong += [(item.fact, option.text)] if option.right != (sign["supply"] == [nerve]) else []
                continue
            for reading in ("take_off", "parting"):
                chance = count_chances(
                    model, model.blocks[nerve], limbs, reading=reading, z_mm=np.array([float(z_mm)]),
                    volume_ml=model.default_ml,
                ).caught[sign["branch"]][0]  # fmt: skip
                if (chance < 0.88) if option.right else (chance > 0.12):
                    wrong.append((item.fact, option.text, reading, round(float(chance), 3)))

    assert judged and [] == wrong


def test_compartments_are_those_of_the_relation(items, names):
    """Places, partners and neighbours in the extensor compartments follow the raw list, counted from the radial side."""
    relations = {one["id"]: one for one in _raw("relations.yaml")["relations"]}
    rows = [
        one if isinstance(one, list) else [one] for one in relations["dorsal_compartments_in_order"]["ring_order"]["of"]
    ]
    place = {tendon: k for k, row in enumerate(rows) for tendon in row}
    words = ["the first", "the second", "the third", "the fourth", "the fifth", "the sixth"]
    wrong = []
    for item in _of(items, "wrist"):
        what, *rest = item.fact.split("|")
        (right,) = _right(item) if item.form == "choice" else (None,)
        if what == "compartment" and words[place[rest[0]]] != right:
            wrong.append(item.fact)
        if what in ("shares", "next"):
            steps = [place[names[option.text]] - place[rest[0]] for option in item.options]
            asked = 0 if what == "shares" else 1
            if [step == asked for step in steps] != [option.right for option in item.options]:
                wrong.append(item.fact)

    assert {"compartment", "shares", "next"} <= {item.fact.split("|")[0] for item in _of(items, "wrist")}
    assert [] == wrong


def test_the_tunnel_holds_what_it_should(items, names, sections):
    """Seen with shapely at the crease: from what is keyed inside, roof and floor are met; from what is outside, not."""
    rings = {one.id: Polygon(one.ring_mm).buffer(0) for one in sections[0].structures}
    claim = next(one for one in _raw("relations.yaml")["relations"] if "contents" in one)["contents"]
    roof, floor = rings[claim["roof"]], unary_union([rings[id_] for id_ in claim["floor"] if id_ in rings])
    wrong = []
    for item in _of(items, "wrist", "tunnel_contents|"):
        inside = item.fact.split("|")[1] == "inside"
        for option in item.options:
            x, y = rings[names[option.text]].centroid.coords[0]
            held = roof.intersects(LineString([(x, y), (x, y + 60)])) and floor.intersects(
                LineString([(x, y), (x, y - 60)])
            )
            if held != (option.right == inside):
                wrong.append((item.fact, option.text))

    assert [] == wrong

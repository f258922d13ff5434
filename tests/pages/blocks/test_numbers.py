"""The numbers on the pages about blocks, worked out again from the data files by another way."""

import re
from html import unescape
from pathlib import Path

import numpy as np
import pytest
import yaml
from scipy.stats import truncnorm
from shapely import LinearRing, Polygon

from tests.block.counted import count_chances
from tests.hands import every_hand, nerves_needed
from wristward.block.blocks import READINGS, block_model
from wristward.block.sampler import draw_limbs
from wristward.figure.branch_dots import FROM_MM, SIDE, TO_MM, WIDTH, label_side
from wristward.pages.blocks.cases import places_of

DATA = Path(__file__).resolve().parents[3] / "anatomy_data"
ROW = re.compile(r'<tr><th scope="row">(.*?)</th>(.*?)</tr>')
CELL = re.compile(r"<td[^>]*>(.*?)</td>")
TAG = re.compile(r"<[^>]+>")
POINTS = 1.5
"""Percentage points that a count over drawn limbs may differ."""


def raw(name):
    return yaml.safe_load((DATA / f"{name}.yaml").read_text(encoding="utf-8"))


def rows_of(html):
    """Return the rows of every table in a text: first cell, then the others, without tags."""
    return [[TAG.sub("", unescape(cell)) for cell in (row[1], *CELL.findall(row[2]))] for row in ROW.finditer(html)]


def part_of(markdown, anchor):
    """Return what stands under the heading with an anchor, up to the next heading."""
    after = markdown.split(f"{{ #{anchor} }}", 1)[1]
    return re.split(r"\n##+ ", after, maxsplit=1)[0]


def shown(chance):
    whole = round(100 * chance)
    if whole == 100 and chance < 0.9995:
        return "over 99 of 100"
    return "under 1 of 100" if whole == 0 and chance > 0.0005 else f"{whole} of 100"


def often(chance):
    """Return how often, in words, with the share where hands differ."""
    word = "usually" if chance >= 0.85 else "rarely" if chance < 0.15 else "sometimes"
    return word if chance > 0.9995 else f"{word} ({shown(chance)})"


def hundredths(text):
    """Return the number of "87 of 100"."""
    return {"over 99 of 100": 99.6, "under 1 of 100": 0.4}.get(text) or float(text.split()[0])


def test_coverage_is_that_of_every_hand(written, dataset):
    """For each operation the shares of hands that need a nerve, by layer, are those counted over every hand."""
    territories, operations = raw("territories"), raw("operations")["operations"]
    names = {id_: record.name for id_, record in dataset.structures.items()}
    assert "carpal_tunnel_release" in operations
    for id_, record in operations.items():
        text = part_of(written["coverage.md"].markdown, id_)
        found = {row[0]: row[1:] for row in rows_of(text)}
        skin, deep = nerves_needed(territories, record["skin"]), nerves_needed(territories, record["deep"])
        both = nerves_needed(territories, [*record["skin"], *record["deep"]])
        columns = [skin, deep, both]
        under = territories["cuffs"].get(record["cuff"]["site"], {}).get("territories", [])
        if under:
            columns.insert(2, nerves_needed(territories, under))
        expected = {
            names[nerve]: [often(column[nerve]) if nerve in column else "none" for column in columns]
            for nerve in set().union(*columns)
        }
        banded = re.compile(r" \((\d+|over 99|under 1) of 100, (.*?) to (.*?)\)")
        bands = [banded.search(cell).groups() for cells in found.values() for cell in cells if " (" in cell]

        assert expected == {
            name: [banded.sub(r" (\1 of 100)", cell) for cell in cells] for name, cells in found.items()
        }, id_
        for told in bands:
            share, low, high = (hundredths(f"{one} of 100") for one in told)
            assert low <= share <= high and high - low >= 3, told


def test_doses_are_percent_times_ten_times_volume(written):
    """Each line of a sum holds, names an injection of the story, and every share is of the lower printed limit."""
    operations, drugs = raw("operations")["operations"], raw("drugs")["drugs"]
    line = re.compile(r"([\d.]+) % × 10 × ([\d.]+) mL = ([\d.]+) mg")
    cases = raw("teaching")["cases"]
    assert 6 == len(cases)
    for case in cases:
        record = operations[case["operation"]]
        text = written[f"cases/{case['operation']}.md"].markdown
        printed = [(float(a), float(b), float(c)) for a, b, c in line.findall(text)]
        used = [(float(one["percent"]), float(one["volume_ml"])) for one in record["injections"]]

        assert sorted(used) == sorted((percent, ml) for percent, ml, _ in printed)
        assert [] == [one for one in printed if abs(one[0] * 10 * one[1] - one[2]) > 1e-9]
        for drug in {one["drug"] for one in record["injections"]}:
            own = [one for one in record["injections"] if one["drug"] == drug]
            total = sum(one["percent"] * 10 * one["volume_ml"] for one in own)
            adrenaline = all(one.get("with_adrenaline", False) for one in own)
            part = text.split(f"### {drug.capitalize()}\n", 1)[1]
            part = re.split(r"\n##+ ", part, maxsplit=1)[0]
            rows = rows_of(part)
            for limit in drugs[drug]["limits"]:
                weight = limit["mg_per_kg"] * record["person_kg"] if "mg_per_kg" in limit else None
                both = [one for one in (weight, limit.get("mg")) if one is not None]
                mixture = "with adrenaline" if limit["adrenaline"] else "plain"
                shares = [one[4] for one in rows if one[0] == limit["label"] and one[1] == mixture]

                assert shares, limit["id"]
                if both and limit["adrenaline"] == adrenaline:
                    assert f"{round(100 * total / min(both))} %" in shares, (case["operation"], limit["id"])


@pytest.fixture(scope="module")
def limbs(dataset):
    return draw_limbs(block_model(dataset), count=60_000)


def test_chances_of_the_cases_are_those_of_drawn_limbs(written, dataset, limbs):
    """At every level of a story the chances of sparing and of both are those counted over drawn limbs."""
    model = block_model(dataset)
    asked = 0
    for case in dataset.teaching.cases:
        record = dataset.operations.operations[case.operation]
        text = written[f"cases/{case.operation}.md"].markdown
        for (nerve, z_mm), ml in places_of(record).items():
            if nerve not in model.blocks or not model.blocks[nerve].unwanted:
                continue
            heading = f"### {dataset.structures[nerve].name.capitalize()}, {f'{z_mm / 10:g}'} cm"
            part = re.split(r"\n##+ ", text.split(heading, 1)[1], maxsplit=1)[0]
            for key, says in (("spared", "muscles of this nerve spared"), ("both", "Everything wanted caught")):
                line = next(one for one in part.splitlines() if says in one)
                found = re.search(r"by take-off in (.*? of 100), by parting in (.*? of 100)", line).groups()
                for reading, told in zip(READINGS, found, strict=True):
                    counted = count_chances(
                        model, model.blocks[nerve], limbs, reading=reading, z_mm=np.array([z_mm]), volume_ml=ml
                    )
                    share = 100 * float(getattr(counted, key)[0])
                    assert abs(share - hundredths(told)) < POINTS, (case.operation, nerve, key, reading, share, told)
                    asked += 1

    assert asked >= 30


def test_incomplete_blocks_are_those_of_drawn_events(written):
    """Each chance on the page of incomplete blocks is that of events and lengths drawn from the data files."""
    branches, random = raw("branches"), np.random.default_rng(7)
    spread = branches["spread"]
    told = re.findall(r"(misses|reaches) this in (.*? of 100) arms", written["incomplete.md"].markdown)
    asked = [one for reason in raw("teaching")["reasons"] for one in reason.get("computed", [])]

    assert len(asked) == len(told) >= 5
    for one, (verb, share) in zip(asked, told, strict=True):
        event = branches["branches"][one["event"]]
        mean, sd = event["mean_z_mm"], event["sd_mm"]
        a, b = (event["min_z_mm"] - mean) / sd, (event["max_z_mm"] - mean) / sd
        z_mm = truncnorm.rvs(a, b, loc=mean, scale=sd, size=200_000, random_state=random)
        length = random.normal(spread["base_mm"] + spread["per_ml_mm"] * one["volume_ml"], spread["sd_mm"], 200_000)
        caught = 100 * float(np.mean(z_mm < one["z_mm"] + np.maximum(length, 0) / 2))
        expected = caught if one["asks"] == "caught" else 100 - caught

        assert {"caught": "reaches", "missed": "misses"}[one["asks"]] == verb
        assert abs(expected - hundredths(share)) < POINTS, one


def test_skin_least_shared_is_counted_over_every_hand(written, dataset):
    """The patches named for testing a nerve are the least shared ones, with the share of hands that leave it alone."""
    territories = raw("territories")
    skin = [id_ for id_, one in territories["territories"].items() if one["layer"] == "skin"]
    text = written["testing.md"].markdown
    assert "median_nerve" in dataset.teaching.nerves
    for nerve in dataset.teaching.nerves:
        name = dataset.structures[nerve].name
        heading = f"## {name[:1].upper()}{name[1:]}\n"
        part = re.split(r"\n## ", text.split(heading, 1)[1], maxsplit=1)[0]
        first = rows_of(part.split("</table>", 1)[0])
        alone = {id_: _alone(territories, id_, nerve) for id_ in skin}
        best = sorted(alone.values(), reverse=True)[: len(first)]

        assert [shown(share) for share in best] == [row[1] for row in first], nerve


def _alone(territories, id_, nerve):
    hands = every_hand(territories, [id_])
    return sum(chance for chance, parts in hands if {part["nerve"] for part in parts} == {nerve})


def test_every_study_is_a_dot_in_its_place(written):
    """Each published height of an event on the axis is one dot, at its place between elbow and wrist."""
    branches = raw("branches")["branches"]
    expected = sorted(
        study["z_mm"]
        for event in branches.values()
        if event["mean_z_mm"] <= FROM_MM
        for study in event["studies"]
        if "z_mm" in study
    )
    dots = re.findall(r'<circle class="b-dot" data-z-mm="([\d.-]+)" cx="([\d.]+)"', written["branches.md"].markdown)

    assert expected == sorted(float(z) for z, _ in dots)
    assert len(expected) > 60
    for z, x in dots:
        place = SIDE + (FROM_MM - float(z)) * (WIDTH - 2 * SIDE) / (FROM_MM - TO_MM)
        assert abs(place - float(x)) < 0.06, z


def test_labels_of_studies_keep_within_the_chart():
    """A name is put only where it has the room; where there is none, it is put on a line of its own."""
    assert ("start", 108) == label_side(90, 100, "1 Short 2001")
    assert ("end", 372) == label_side(380, 400, "1 Short 2001")
    assert label_side(30, 450, "1 A name that is far too long for either side of it 2001") is None


def test_what_is_seen_is_what_the_section_shows(written, dataset, arm_sections):
    """The depth told for each nerve of a case is its outline's distance from the skin's, to a tenth, then to whole mm."""
    asked = 0
    for case in dataset.teaching.cases:
        record = dataset.operations.operations[case.operation]
        text = written[f"cases/{case.operation}.md"].markdown
        for nerve, z_mm in places_of(record):
            section = arm_sections[round(z_mm)]
            solved = section.find(nerve)
            depth = LinearRing(section.skin_mm).distance(Polygon(solved.ring_mm))
            name = dataset.structures[nerve].name
            told = re.findall(rf"the {name} lies (?:under the skin|under the deep fascia), (\d+) mm deep", text)

            assert str(round(round(depth, 1))) in told, (case.operation, nerve, depth, told)
            asked += 1

    assert asked >= 12

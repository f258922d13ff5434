"""What the region owns: directions, compartments and stretches that others name, and the range of heights."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from wristward.data.checks.part import Part
from wristward.data.read import read_dataset
from wristward.data.reading.faults import read_record
from wristward.data.reading.tree import read_yaml
from wristward.data.records.record import Record, RegionHeight
from wristward.data.records.teaching import ComputedRecord
from wristward.errors import DataError
from wristward.locate import where_is_data

SMALL = Path(__file__).parent / "small"
MISTAKES = {
    "a direction twice": (
        "region.yaml", "minus: radial", "minus: volar",
        "small/region.yaml:9:6: direction 'volar' stands twice (allowed: four different ones)",
    ),
    "a direction that is none": (
        "relations.yaml", "max_mm: 2}", "max_mm: 2, toward: radail}",
        "small/relations.yaml:6:77: unknown direction 'radail'; did you mean 'radial'? "
        "(allowed: dorsal, radial, ulnar, volar)",
    ),
    "a compartment that is none": (
        "structures/soft.yaml", "compartment: volar_superficial", "compartment: volar_superfical",
        "small/structures/soft.yaml:7:18: unknown compartment 'volar_superfical'; did you mean 'volar_superficial'? "
        "(allowed: dorsal_superficial, volar_superficial)",
    ),
    "a tone that is none": (
        "region.yaml", "tone: straw", "tone: hay",
        "small/region.yaml:21:30: tone is 'hay' (allowed: 'brick', 'clay', 'flesh', 'ochre', 'rose' or 'straw')",
    ),
    "a stretch upside down": (
        "region.yaml", "level_names:", "stretches: {low: {z_mm: [40, 0]}}\nlevel_names:",
        "small/region.yaml:23:25: z_mm goes from 40 to 0 (allowed: [lowest, highest])",
    ),
    "a stretch outside the region": (
        "region.yaml", "level_names:", "stretches: {low: {z_mm: [0, 400]}}\nlevel_names:",
        "small/region.yaml:23:29: z_mm is 400, outside the region (allowed: 0 to 200)",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_is_answered_with_what_the_region_allows(name, tmp_path):
    """What the region does not name, or names wrongly, is answered at its place with what it names."""
    file, right, wrong, answer = MISTAKES[name]
    shutil.copytree(SMALL, tmp_path / "small")
    path = tmp_path / "small" / file
    text = path.read_text(encoding="utf-8")
    assert right in text
    path.write_text(text.replace(right, wrong, 1), encoding="utf-8")

    with pytest.raises(DataError) as error:
        read_dataset(tmp_path / "small", parts=())

    assert [answer] == [str(problem) for problem in error.value.problems]


@pytest.mark.parametrize(
    ("z_mm", "answer"),
    [("-1", ["f:1:7: z_mm is -1, must be at least 0"]), ("0", []), ("200", []),
     ("200.5", ["f:1:7: z_mm is 200.5, must be at most 200"])],
)  # fmt: skip
def test_a_height_of_the_region_lies_between_its_ends(z_mm, answer):
    """Heights that must lie in the region are held to its length, both ends included."""
    root, _ = read_yaml(f"z_mm: {z_mm}\nnerve: a\nevent: b\nvolume_ml: 3\nasks: missed".encode(), file="f")
    _, problems = read_record(ComputedRecord, root, top_mm=200.0)

    assert answer == [str(problem) for problem in problems]


@pytest.mark.parametrize(("length", "answers"), [("200", ["small/a_story.yaml:2:7: z_mm is 230, must be at most 200"]),
                                                 ("240", [])])  # fmt: skip
def test_heights_are_held_to_the_region_that_is_read(length, answers, tmp_path):
    """It is the region's own length that bounds a height, wherever the file stands in the order of reading."""

    class Story(Record):
        z_mm: RegionHeight

    shutil.copytree(SMALL, tmp_path / "small")
    region = tmp_path / "small" / "region.yaml"
    region.write_text(region.read_text(encoding="utf-8").replace("length_mm: 200", f"length_mm: {length}"), "utf-8")
    (tmp_path / "small" / "a_story.yaml").write_text("\nz_mm: 230\n", encoding="utf-8")
    problems = []
    try:
        read_dataset(tmp_path / "small", parts=[Part(name="a_story", file="a_story.yaml", record=Story)])
    except DataError as error:
        problems = [str(problem) for problem in error.problems]

    assert answers == problems


def test_what_the_region_names_has_its_words(tmp_path):
    """A compartment without words for readers is answered at its place, wherever it is shown."""
    (tmp_path / "course").mkdir()
    (tmp_path / "course" / "region.yaml").write_text("compartments:\n  upper: {tone: rose}\n", encoding="utf-8")

    with pytest.raises(DataError) as error:
        read_dataset(where_is_data(), [tmp_path / "course"])

    assert [
        f"course/region.yaml:2:3: 'upper' has no words for readers (allowed: '{key}.upper' in reader/en/)"
        for key in ("figure.compartment", "site.compartments")
    ] == [str(problem) for problem in error.value.problems]

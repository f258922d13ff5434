"""What the region owns: directions, compartments and stretches that others name, and the range of heights."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from wristward.data.checks.presence import check_region_heights
from wristward.data.read import read_dataset
from wristward.data.reading.loaded import Loaded
from wristward.data.reading.tree import read_yaml
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
        "small/region.yaml:22:25: z_mm goes from 40 to 0 (allowed: [lowest, highest])",
    ),
    "a stretch outside the region": (
        "region.yaml", "level_names:", "stretches: {low: {z_mm: [0, 400]}}\nlevel_names:",
        "small/region.yaml:22:29: z_mm is 400, outside the region (allowed: 0 to 200)",
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
    [("-1", ["f:1:7: z_mm is -1, must be at least 0"]), ("0", []), ("260", []),
     ("260.5", ["f:1:7: z_mm is 260.5, must be at most 260"])],
)  # fmt: skip
def test_a_height_of_the_region_lies_between_its_ends(z_mm, answer):
    """Heights that must lie in the region are held to its length, both ends included."""
    region = read_dataset(where_is_data()).region
    root, _ = read_yaml(f"z_mm: {z_mm}\nnerve: a\nevent: b\nvolume_ml: 3\nasks: missed".encode(), file="f")
    loaded = Loaded(name="f", root=root, record=ComputedRecord.model_validate(root.plain()))

    assert answer == [str(problem) for problem in check_region_heights(loaded, region)]


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

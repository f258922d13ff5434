"""Levels are the heights that readers know by name; every other height that is drawn is a knot's file."""

import shutil
from pathlib import Path

import pytest

from wristward.data.read import read_dataset
from wristward.errors import DataError
from wristward.locate import where_is_data

SMALL = Path(__file__).parents[1] / "small"
EMPTY = "source: own_drawing\nconfidence: 1\n"


@pytest.fixture
def small(tmp_path):
    """A copy of the small arm, with levels at 200, 100 and 0 mm and a knot at 60 mm."""
    shutil.copytree(SMALL, tmp_path / "small")
    return tmp_path / "small"


def put(path, text):
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def rename(folder, old, new):
    region = folder / "region.yaml"
    text = region.read_text(encoding="utf-8")
    assert old in text
    region.write_text(text.replace(old, new), encoding="utf-8")


def problems_of(*folders):
    with pytest.raises(DataError) as raised:
        read_dataset(folders[0], folders[1:], parts=())
    return str(raised.value).splitlines()


def test_shipped_levels_are_those_with_a_name(dataset):
    """Each level has a name for readers and each name its level, no knot has one, and together they fill every file."""
    names = [one.z_mm for one in dataset.region.level_names]
    drawn = len([*(where_is_data() / "levels").iterdir(), *(where_is_data() / "knots").iterdir()])

    assert names == [level.z_mm for level in dataset.levels]
    assert set() == set(names) & {knot.z_mm for knot in dataset.knots}
    assert drawn == len(dataset.levels_and_knots())
    assert (14, 89) == (len(dataset.levels), len(dataset.knots))


def test_levels_and_knots_stand_together_from_the_elbow_down(small):
    """What an arm is interpolated from is all that is drawn, proximal first, whichever folder it lies in."""
    data = read_dataset(small, parts=())

    assert ([200.0, 100.0, 0.0], [60.0]) == tuple([one.z_mm for one in drawn] for drawn in (data.levels, data.knots))
    assert [200.0, 100.0, 60.0, 0.0] == [one.z_mm for one in data.levels_and_knots()]


def test_a_level_without_a_name_and_a_knot_with_one_are_told(small):
    """A height in the wrong one of the two folders is told at its place, with both ways out."""
    rename(small, "{z_mm: 100, name: middle}", "{z_mm: 60, name: middle}")

    assert [
        "small/knots/z060.yaml:2:7: z_mm 60 has a name for readers, so it is a level (allowed: levels/z060.yaml)",
        "small/levels/z100.yaml:2:7: z_mm 100 has no name for readers "
        "(allowed: knots/z100.yaml, or a name among region.yaml's level_names)",
    ] == problems_of(small)


def test_a_knot_at_the_height_of_a_level_is_told(small):
    """One height is drawn in one file, whichever folder the other lies in."""
    put(small / "knots" / "extra.yaml", f"z_mm: 100\n{EMPTY}")

    assert [
        "small/knots/extra.yaml:1:7: z_mm 100 has a name for readers, so it is a level (allowed: levels/extra.yaml)",
        "small/levels/z100.yaml:2:7: z_mm 100 is also that of small/knots/extra.yaml:1",
    ] == problems_of(small)


def test_names_that_cannot_be_read_start_no_second_complaint(small):
    """With a mistake among the names nothing is said of the files that would need them."""
    rename(small, "{z_mm: 100, name: middle}", "{z_mm: low, name: middle}")

    assert ["small/region.yaml:26:12: z_mm is 'low', must be a number"] == problems_of(small)


def test_an_overlay_adds_to_either_folder(small, tmp_path):
    """A course draws a knot between, and a level where it names the height."""
    course = tmp_path / "course"
    put(course / "knots" / "z030.yaml", f"z_mm: 30\n{EMPTY}")
    put(course / "levels" / "z150.yaml", f"z_mm: 150\n{EMPTY}")
    put(
        course / "region.yaml",
        "level_names: [{z_mm: 200, name: a}, {z_mm: 150, name: b}, {z_mm: 100, name: c}, {z_mm: 0, name: d}]",
    )
    data = read_dataset(small, [course], parts=())

    assert ([200.0, 150.0, 100.0, 0.0], [60.0, 30.0]) == tuple(
        [one.z_mm for one in drawn] for drawn in (data.levels, data.knots)
    )


def test_a_course_names_a_knot_and_takes_a_name_away(small, tmp_path):
    """What lies below a course cannot be moved by it: its names alone decide what readers meet."""
    put(
        tmp_path / "course" / "region.yaml",
        "level_names: [{z_mm: 200, name: a}, {z_mm: 60, name: b}, {z_mm: 0, name: c}]",
    )
    data = read_dataset(small, [tmp_path / "course"], parts=())

    assert ([200.0, 60.0, 0.0], [100.0]) == tuple([one.z_mm for one in drawn] for drawn in (data.levels, data.knots))


def test_a_change_laid_in_the_wrong_folder_is_told(small, tmp_path):
    """Changes of a knot that are put among the levels lead to where the knot is, and the other way round."""
    put(tmp_path / "course" / "levels" / "z060.yaml", "vessels: {skin_vein: {diameter_mm: 3}}")
    put(tmp_path / "course" / "knots" / "z100.yaml", "vessels: {skin_vein: {diameter_mm: 3}}")

    assert [
        "course/knots/z100.yaml:1:1: what lies below it here is levels/z100.yaml (allowed: levels/z100.yaml)",
        "course/levels/z060.yaml:1:1: what lies below it here is knots/z060.yaml (allowed: knots/z060.yaml)",
    ] == problems_of(small, tmp_path / "course")

"""What figures are told of a dataset."""

from dataclasses import replace

from wristward.bridge.setting import setting_of
from wristward.data.records.region import LevelName


def test_the_levels_to_step_to_are_those_with_a_name(dataset):
    """Every level of the region is a step, by its height and name from the elbow down; knots and names beyond it are none."""
    beyond = LevelName(z_mm=-3.0, name="in the hand")
    region = dataset.region.model_copy(update={"level_names": (beyond, *reversed(dataset.region.level_names))})

    assert [(one.z_mm, one.name) for one in dataset.region.level_names] == list(setting_of(dataset).levels)
    assert setting_of(dataset).levels == setting_of(replace(dataset, region=region)).levels

"""What the tests of the block model share: the model of the shipped data, the limbs drawn from it, and the raw file."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import yaml
from scipy.stats import truncnorm

from wristward.block.blocks import block_model
from wristward.block.sampler import draw_limbs

HERE = Path(__file__).parent
DATA = HERE.parents[1] / "anatomy_data"
BLOCKS = (
    "median_nerve", "ulnar_nerve", "superficial_radial_nerve", "lateral_antebrachial_cutaneous_nerve",
    "medial_antebrachial_cutaneous_nerve_anterior_branch", "posterior_antebrachial_cutaneous_nerve",
)  # fmt: skip
"""Every nerve that the data file has a block of, in its order."""


def raw(name):
    """Return a file of the data as plain values, read without the program."""
    return yaml.safe_load((DATA / f"{name}.yaml").read_text(encoding="utf-8"))


def published(name):
    """Return a table of this folder."""
    return yaml.safe_load((HERE / f"{name}.yaml").read_text(encoding="utf-8"))


def sheet_rows():
    """Return the rows of the number sheet's list of distributions, by id; lengths still in cm."""
    with (HERE / "branch_rows.csv").open(encoding="utf-8", newline="") as file:
        return {row["id"]: row for row in csv.DictReader(file)}


def distribution(record):
    """Return the truncated normal of a raw record of branches.yaml."""
    mean, sd = record["mean_z_mm"], record["sd_mm"]
    return truncnorm((record["min_z_mm"] - mean) / sd, (record["max_z_mm"] - mean) / sd, loc=mean, scale=sd)


def at_one(found, key, index=0):
    """Return a chance of a ``Chances`` in points of 100."""
    return 100 * float(np.asarray(getattr(found, key))[index])


@pytest.fixture(scope="session")
def model(dataset):
    """The block model of the shipped data."""
    return block_model(dataset)


def parting_nowhere_but(model, *ids):
    """Return the model as it was counted before every side had a parting: it holds for these events alone."""
    events = {
        id_: event if id_ in ids else replace(event, beside_trunk_until=None) for id_, event in model.events.items()
    }
    return replace(model, events=events)


@pytest.fixture(scope="session")
def limbs(model):
    """As many limbs as the tables rest on."""
    return draw_limbs(model)


@pytest.fixture(scope="session")
def branches():
    """branches.yaml as plain values."""
    return raw("branches")

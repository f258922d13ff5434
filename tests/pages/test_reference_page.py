"""The reference names every key that can be written, and only those."""

import re

import pytest

from wristward.data.parts import PARTS
from wristward.data.read import CORE
from wristward.data.records.record import Record, Sourced
from wristward.pages.atlas import Atlas
from wristward.pages.fences.figure_kinds import FIGURE_KINDS
from wristward.pages.reference_page import reference_page
from wristward.pages.saying import Words

ROW = re.compile(r"^\| `([\w-]+)` \| (.*?) \| (yes|no) \|", re.MULTILINE)


class Said:
    """As much of an atlas as the page asks for."""

    travel_page = Atlas.travel_page

    def __init__(self, dataset):
        self.words, self.dataset = Words(dataset.words), dataset


@pytest.fixture(scope="module")
def page(dataset):
    return reference_page(Said(dataset))


def keys_of(record, seen):
    """Every (record, key) below a record, by its own field definitions."""
    if record in seen:
        return
    seen.add(record)
    for name, info in record.model_fields.items():
        yield info.alias or name
        pending = [info.annotation, *info.metadata]
        while pending:
            one = pending.pop()
            if isinstance(one, type) and issubclass(one, Record):
                yield from keys_of(one, seen)
            else:
                pending += [*getattr(one, "__args__", ()), *getattr(one, "__metadata__", ())]


def test_every_key_is_in_the_reference(page):
    """Each key of each record of a file or a fence has a row, and each row a key."""
    seen = set()
    records = [
        *(kind.record for kind in FIGURE_KINDS.values()),
        *CORE.values(),
        *(part.record for part in PARTS),
        Sourced,
    ]
    expected = {key for record in records for key in keys_of(record, seen)}

    assert len(seen) > 60
    assert expected == {key for key, _, _ in ROW.findall(page)}


def test_bounds_choices_and_needs_are_told(page):
    """A row says which value is allowed and whether the key must be there."""
    section = page.split("{ #figure-section }")[1].split("###")[0]
    chart = page.split("{ #figure-chart }")[1].split("###")[0]
    found = {key: (value, must) for key, value, must in [*ROW.findall(section), *ROW.findall(chart)]}

    assert ("whole number at least 0", "yes") == found["z_mm"]
    assert ("text", "no") == found["show"]
    assert ("`area`, `depth`, `gap`", "yes") == found["of"]


def test_every_knot_is_listed_and_no_level(page, dataset):
    """Each knot has a row: its height, which leads to Elbow to wrist there, and the ids of what it draws."""
    rows = dict(re.findall(r"^\| \[`(\d+)`\]\(elbow-to-wrist\.md\?z=\1\) \| (.*) \|$", page, re.MULTILINE))

    assert {f"{knot.z_mm:g}": list(knot.knots()) for knot in dataset.knots} == {
        z_mm: [id_ for id_ in re.findall(r"`(\w+)`", held) if id_ in dataset.structures] for z_mm, held in rows.items()
    }
    assert "muscles" in rows["150"] and "skin" not in rows["150"]


def test_every_link_inside_leads_to_a_heading(page):
    """Each anchor that a table links to is one of the page's headings, and none is used twice."""
    anchors = re.findall(r"\{ #([\w-]+) \}", page)

    assert len(anchors) == len(set(anchors))
    assert set() == set(re.findall(r"\]\(#([\w-]+)\)", page)) - set(anchors)

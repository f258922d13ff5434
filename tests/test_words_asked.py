"""Every word is asked for: by a page, a script, a command, or by how a language is read."""

from __future__ import annotations

import pytest

from tests.projects import ROOT
from tests.script_reading import tokens
from tests.words_asked import Template, asked_by_commands, asked_by_scripts, asked_by_site, recorded, templates
from wristward.bridge.setting import setting_of
from wristward.data.read import read_dataset
from wristward.locate import where_is_data
from wristward.pages.atlas import Atlas
from wristward.project.measured import measure_all
from wristward.project.store import FolderStore
from wristward.quiz.compose import under

WRITTEN = (
    "quiz.claim_way.", "quiz.stretch.", "quiz.toward.", "site.structure.course_", "site.structure.sides.",
    "teach.kind.", "teach.method.", "teach.of.", "teach.unit.",
)  # fmt: skip
"""Beginnings of the names of what an author may write: they stand there for every value that is allowed."""

SELDOM = {
    "block.command.nothing": "no set of nerves leaves no patch",
    "block_levels.fits.less": "more volume spares fewer",
    "block_levels.fits.none": "practice and model do not agree",
    "block_levels.practice.found_above.common_practice_ulnar": "the window begins above the mean take-off",
    "export.left_out.form": "a form of question that no format carries",
    "block.window.limit.best_above": "a window that is empty and limited from above: the shipped data has none as it begins",
    "block.window.limit.best_below": "the same, limited from below by what every arm has in the forearm",
    "fence.window.both_readings": "a fence on a nerve whose branches have no parting: the gallery shows others",
    "export.report.left": "the same",
    "height.beyond": "a study found a branch beyond the wrist crease",
    "site.structure.no_facts": "a structure with a page and without a fact",
    "teach.cases.no_window": "all that a nerve's block wants holds together at no level of a case",
    "teach.cases.not_cut": "a nerve is not drawn at its level",
    "teach.dose.agree": "printed limits agree",
    "teach.stays.nothing": "nothing stays",
}
"""What the shipped data gives no occasion for, and the occasion."""


def test_every_word_is_asked_for(dataset, arm_sections, tmp_path):
    """No word of the catalogue is left over that no page, document, script or command asks for."""
    store = FolderStore(ROOT / ".cache" / "measures")
    measures = measure_all(arm_sections, partners=setting_of(dataset).partners, store=store)
    with recorded() as asked:
        read_dataset(where_is_data(), language="de")
    atlas = Atlas(dataset=dataset, sections=arm_sections, measures=measures)
    asked |= asked_by_site(atlas)
    asked |= asked_by_commands(atlas, tmp_path)
    asked |= asked_by_scripts(dataset, ids_of(dataset, atlas.quiz_items))
    left = {key for key in dataset.words if key not in asked and not key.startswith(WRITTEN)}

    assert [] == sorted(left - SELDOM.keys())
    assert [] == sorted(SELDOM.keys() - dataset.words.keys())


def ids_of(dataset, items):
    """Return what of the data a script may fill into a key: ids of structures, branches, operations, arms, groups, sides, and
    the topics of the questions."""
    topics = {key.removeprefix("quiz.topic.") for key in dataset.words if key.startswith("quiz.topic.")}
    topics = {one for one in topics if any(under(topic, one) for item in items for topic in item.topics)} | {"all"}
    records, sides = dataset.structures.values(), ("right", "left")
    found = {
        *dataset.structures,
        *dataset.branches.branches,
        *dataset.operations.operations,
        *dataset.region.arms,
        *topics,
        *sides,
    }
    return found | {one.kind for one in records} | {one.compartment for one in records if one.compartment is not None}


def test_words_are_recorded(dataset):
    """A word that is asked for is noted, however it is asked, and one that is only listed is not."""
    with recorded() as asked:
        dataset.words["site.menu"]
        dataset.words.get("site.nothing_of_the_kind")
        list(dataset.words.items())
        assert "print.title" in dataset.words
    dataset.words["print.title"]

    assert {"site.menu", "site.nothing_of_the_kind"} == asked


@pytest.mark.parametrize(
    ("source", "template", "may_be", "may_not_be"),
    [
        ("say(`a.${kind}s`)", Template(("a.", "s"), (frozenset(),)), "a.nerves", "a.veins"),
        ('say(`a.${x ? "b" : "c"}`)', Template(("a.", ""), (frozenset({"b", "c"}),)), "a.b", "a.nerve"),
        ("say(`a.${f({ x: 1 })}.${y}.c`)", Template(("a.", ".", ".c"), (frozenset(), frozenset())), "a.nerve.nerve.c", "a.nerve.c"),
    ],
)  # fmt: skip
def test_a_key_put_together_is_understood(source, template, may_be, may_not_be):
    """What a script puts together is a key where each part it fills in is named there, or known where a name stands."""
    assert [template] == templates(tokens(source))
    assert (True, False) == (template.may_be(may_be, {"nerve"}), template.may_be(may_not_be, {"nerve"}))

"""Facts asked at every height: where they fail, what is said, and that nothing passes unasked."""

from __future__ import annotations

from types import SimpleNamespace

from tests.shapes import FRAME, WAYS, box, section, solved
from wristward.data.reading.tree import Mark
from wristward.data.records.relation import RelationRecord
from wristward.errors import Problem
from wristward.measure.check import asked_heights, check_relations, find_failure


def _relation(**changes):
    record = {
        "id": "nerve_radial_to_artery",
        "says": "The nerve lies radial to the artery.",
        "z_mm": [10, 20],
        "side": {"structure": "nerve", "of": "artery", "toward": "radial"},
        "source": "common_practice",
        "confidence": 3,
    }
    return RelationRecord.model_validate(record | changes)


def _sections(x_at):
    """Sections at 0 to 30 mm; the artery stands at x 0, the nerve where it is told."""
    artery = solved("artery", box(-1, 0, 1, 2), kind="artery")
    return {
        z: section(artery, solved("nerve", box(x_at(z) - 1, 0, x_at(z) + 1, 2), kind="nerve"), z_mm=z)
        for z in range(31)
    }


def test_a_fact_that_holds_over_its_range_is_no_problem():
    """Only the stated range is asked: the nerve may cross outside it."""
    sections = _sections(lambda z: -5 if 10 <= z <= 20 else 5)

    assert find_failure(_relation(), sections, WAYS) is None


def test_the_ends_of_the_range_are_asked():
    """A fact that fails at the last millimetre of its range fails."""
    failure = find_failure(_relation(), _sections(lambda z: -5 if 10 < z < 20 else 5), WAYS)

    assert ((10, 10), (20, 20)) == failure.z_ranges_mm


def test_a_transition_within_the_range_is_not_asked():
    """Heights between the ends of a transition are left out; its ends are asked."""
    relation = _relation(transitions=[[12, 15]])

    assert [10, 11, 12, 15, 16, 17, 18, 19, 20] == asked_heights(relation, _sections(lambda z: 0))


def test_problem_names_place_ranges_and_the_middle_of_the_longest_stretch():
    """The problem stands at the fact's line and gives each failing stretch and one measured value."""
    sections = _sections(lambda z: 5 + z / 10 if z in (11, 15, 16, 17) else -5)
    dataset = SimpleNamespace(
        relations=(_relation(),),
        region=SimpleNamespace(frame=FRAME),
        where=lambda kind, name: Mark(f"{kind}s.yaml", 12, 5),
    )

    problems = check_relations(dataset, sections)

    expected = (
        "relation 'nerve_radial_to_artery' fails at z 11, 15–17 mm: at z 16 centre of nerve lies -6.6 mm radial of "
        "artery (allowed: at least 0 mm); it says: The nerve lies radial to the artery."
    )
    assert [Problem("relations.yaml", 12, 5, expected)] == problems


def test_a_structure_that_is_not_cut_is_a_failure():
    """A fact about a structure that ends within its range fails there."""
    sections = _sections(lambda z: -5)
    sections[13] = section(z_mm=13)

    failure = find_failure(_relation(), sections, WAYS)

    assert (((13, 13),), "nerve is not cut") == (failure.z_ranges_mm, failure.worst.detail)


def test_a_fact_that_no_section_covers_is_a_failure():
    """A range without solved sections is reported, not passed."""
    failure = find_failure(_relation(z_mm=[400, 410]), _sections(lambda z: -5), WAYS)

    assert (0, "no section was solved there") == (failure.asked, failure.worst.detail)

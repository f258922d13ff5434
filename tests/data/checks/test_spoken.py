"""What a course adds and gives no words is told at its place, before a page asks for them."""

import pytest

from wristward.data.read import read_dataset
from wristward.errors import DataError
from wristward.locate import where_is_data

SOURCED = "source: common_practice, confidence: 2, seen: memory"
OPERATIONS = f"""operations:
  nameless_operation: {{skin: [palm_middle], deep: [], cuff: {{site: none, minutes: 0}}, {SOURCED}}}
"""
CASES = f"""cases:
  - {{operation: little_finger_wires, {SOURCED}}}
"""
TERRITORIES = f"""factors:
  new_factor: {{says: Hands differ., alternatives: {{one: 0.5, other: 0.5}}, {SOURCED}}}
territories:
  new_place: {{layer: deep, part: palm, kind: bone, supply: [{{nerve: ulnar_nerve, share: 1}}], {SOURCED}}}
"""


def problems_of(folder):
    with pytest.raises(DataError) as caught:
        read_dataset(where_is_data(), [folder])
    return [str(problem).split("/", 1)[1] for problem in caught.value.problems]


def test_what_has_no_words_is_told(tmp_path):
    """Operation, territory and alternative without words are each told, with the key that is missing."""
    (tmp_path / "operations.yaml").write_text(OPERATIONS, "utf-8")
    (tmp_path / "territories.yaml").write_text(TERRITORIES, "utf-8")
    (tmp_path / "teaching.yaml").write_text(CASES, "utf-8")

    assert [
        "operations.yaml:2:3: 'nameless_operation' has no words for readers (allowed: 'quiz.operation.nameless_operation' in reader/en/)",
        "teaching.yaml:2:5: 'little_finger_wires' has no words for readers (allowed: 'teach.case.little_finger_wires' in reader/en/)",
        "territories.yaml:2:52: 'one' has no words for readers (allowed: 'teach.alternative.new_factor.one' in reader/en/)",
        "territories.yaml:2:62: 'other' has no words for readers (allowed: 'teach.alternative.new_factor.other' in reader/en/)",
        "territories.yaml:4:3: 'new_place' has no words for readers (allowed: 'block.territory.new_place' or 'quiz.territory.new_place' in reader/en/)",
    ] == [one for one in problems_of(tmp_path) if "no words" in one]

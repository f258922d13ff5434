"""What authors can get wrong in teaching.yaml and hand_map.yaml is answered with its place, all at once."""

import re
import shutil
from pathlib import Path

import pytest

from wristward.data.read import read_dataset
from wristward.errors import DataError
from wristward.locate import where_is_data

BROKEN = Path(__file__).parent / "broken"
MOVING = re.compile(r"^(anatomy_data/\w+\.yaml):\d+:\d+:")


def messages(dataset):
    """Read messages.txt, its names in braces filled in from the shipped data."""
    branches, teaching = dataset.branches, dataset.teaching
    block = branches.blocks["median_nerve"]
    named = {
        "signs": teaching.signs,
        "blocks": branches.blocks,
        "events": (*block.wanted, *block.unwanted, *block.apart),
        "findings": branches.findings,
        "variants": branches.variants,
        "operations": dataset.operations.operations,
    }
    text = (BROKEN / "messages.txt").read_text(encoding="utf-8")
    for name, ids in named.items():
        text = text.replace(f"{{{name}}}", ", ".join(sorted(ids)))
    blocks = [block.splitlines() for block in text.split("\n\n") if not block.startswith("#")]
    return {lines[0]: lines[1:] for lines in blocks if lines}


@pytest.mark.parametrize("name", ["records", "names", "checks", "heights"])
def test_broken_teaching_data_is_answered(name, dataset, tmp_path):
    """Every mistake of a folder is answered word for word: fields, names that nothing has, and contradictions."""
    shutil.copytree(BROKEN / name, tmp_path / name)
    with pytest.raises(DataError) as caught:
        read_dataset(where_is_data(), [tmp_path / name])

    assert messages(dataset)[name] == [MOVING.sub(r"\1:", str(one)) for one in caught.value.problems]


def test_every_broken_folder_has_messages(dataset):
    """No folder stands without its messages."""
    assert sorted(path.name for path in BROKEN.iterdir() if path.is_dir()) == sorted(messages(dataset))


def test_every_statement_has_a_source_and_a_confidence(dataset):
    """Whatever says something carries a key of sources.yaml and a confidence."""
    found = []

    def walk(value):
        if hasattr(value, "says") or hasattr(value, "source"):
            for one in value.says if isinstance(getattr(value, "says", None), tuple) else (value,):
                if hasattr(one, "source"):
                    found.append((one.source in dataset.sources, one.confidence in (1, 2, 3)))
        for name in getattr(type(value), "model_fields", {}):
            entry = getattr(value, name)
            for inner in entry.values() if isinstance(entry, dict) else entry if isinstance(entry, tuple) else (entry,):
                if hasattr(type(inner), "model_fields"):
                    walk(inner)

    walk(dataset.teaching)

    assert len(found) > 60
    assert {(True, True)} == set(found)

"""What authors can get wrong in the files of the block model is answered with its place, all at once.

Each folder of ``broken/`` is laid over the shipped data. Faults are found in three rounds: records by themselves, names
that nothing has, and what contradicts something else; a folder holds faults of one round.
"""

import re
import shutil
from pathlib import Path

import pytest

from tests.block.conftest import raw
from wristward.cli.main import main
from wristward.data.read import read_dataset
from wristward.errors import DataError
from wristward.locate import where_is_data

BROKEN = Path(__file__).parent / "broken"
FOLDERS = sorted(path.name for path in BROKEN.iterdir() if path.is_dir())
MOVING = re.compile(r"^(anatomy_data/\w+\.yaml):\d+:\d+:")
PLACE = re.compile(r"^[a-z_]+/[a-z]+\.yaml:\d+:\d+: [^A-Z]")


def messages():
    """Read messages.txt: the name of a folder, then its lines; names in braces are filled in from the data."""
    named = {"drugs": raw("drugs")["drugs"], "factors": raw("territories")["factors"]}
    text = (BROKEN / "messages.txt").read_text(encoding="utf-8")
    for name, ids in named.items():
        text = text.replace(f"{{{name}}}", ", ".join(sorted(ids)))
    blocks = [block.splitlines() for block in text.split("\n\n") if not block.startswith("#")]
    return {lines[0]: lines[1:] for lines in blocks if lines}


def problems_over(name, tmp_path):
    shutil.copytree(BROKEN / name, tmp_path / name)
    with pytest.raises(DataError) as caught:
        read_dataset(where_is_data(), [tmp_path / name])
    return [MOVING.sub(r"\1:", str(problem)) for problem in caught.value.problems]


def test_every_broken_folder_has_messages():
    """No folder stands without its messages, and no message without its folder."""
    assert FOLDERS == sorted(messages())


@pytest.mark.parametrize("name", FOLDERS)
def test_broken_block_data_is_answered(name, tmp_path):
    """Every mistake of a folder is answered word for word, with file, line and column."""
    found = problems_over(name, tmp_path)

    assert messages()[name] == found
    assert [] == [line for line in found if not (PLACE.match(line) or line.startswith("anatomy_data/"))]


def test_each_round_answers_for_several_files_at_once():
    """Faults in three files or more come in one answer; what a scenario's author gets wrong most is among them."""
    told = messages()
    files = {name: {line.split(":")[0] for line in lines} for name, lines in told.items()}
    text = "\n".join(line for lines in told.values() for line in lines)

    assert min(len(names) for names in files.values()) >= 3
    for fault in (
        "cannot lie above 'martin_gruber_link_joins' in every limb",
        "prevalence is 1.2, must be at most 1",
        "the prevalences of 'too_many' add up to 1.2, must be at most 1",
        "unknown territory 'palm_midle'; did you mean 'palm_middle'?",
        "'label' is missing",
    ):
        assert fault in text


def test_a_command_ends_with_the_problems_and_no_traceback(tmp_path, capsys):
    """Over broken data a command prints the problems, their number, and nothing else; it exits with 1."""
    shutil.copytree(BROKEN / "records", tmp_path / "records")
    code = main(["window", "--nerve", "ulnar", "--volume-ml", "5", "--overlay", str(tmp_path / "records")])
    out, err = capsys.readouterr()
    *lines, last = err.splitlines()
    told = messages()["records"]

    assert (1, "", f"wristward: {len(told)} problems in the data") == (code, out, last)
    assert len(told) == len(lines)
    assert any(line.endswith("branches.yaml:9:17: prevalence is 1.2, must be at most 1") for line in lines)

"""Datasets kept by the bytes of their files."""

import hashlib
import os
import pickle
import shutil

import pytest

from wristward.data.read import read_dataset
from wristward.errors import DataError
from wristward.locate import where_is_data
from wristward.project import reading
from wristward.project.reading import read_kept


@pytest.fixture
def data(tmp_path):
    """A copy of the shipped data that may be changed."""
    shutil.copytree(where_is_data(), tmp_path / "data")
    return tmp_path / "data"


@pytest.fixture
def reads(monkeypatch):
    """The folders that were really read and checked."""
    seen = []
    monkeypatch.setattr(
        reading, "read_dataset", lambda *given, **how: seen.append(given) or read_dataset(*given, **how)
    )
    return seen


@pytest.mark.parametrize("how", [{}, {"language": "de"}, {"every_language": True, "arms": ()}])
def test_what_is_kept_is_what_was_read(tmp_path, reads, how):
    """The second time the same dataset comes back, to the last word and place, and no file is checked again."""
    first = read_kept(where_is_data(), cache=tmp_path, **how)
    second = read_kept(where_is_data(), cache=tmp_path, **how)

    assert 1 == len(reads)
    assert (first, first.words, first.places) == (second, second.words, second.places)
    assert [vars(word) for word in map(_Seen, first.words.values())] == [
        vars(word) for word in map(_Seen, second.words.values())
    ]


class _Seen:
    def __init__(self, word):
        self.text, self.language, self.decimal, self.place = str(word), word.language, word.decimal, word.place


def test_arms_are_read_when_they_are_asked_for(tmp_path):
    """Of the arms drawn otherwise, those that are named are read, by default all."""
    every = read_kept(where_is_data(), cache=tmp_path)
    name = min(every.arms)
    found = [read_kept(where_is_data(), cache=tmp_path, arms=asked).arms for asked in ((), [name])]

    assert [{}, {name: every.arms[name]}] == found


def test_every_change_is_read(tmp_path, data, reads):
    """A changed file, a new one and one that is gone are each read and checked anew."""
    read_kept(data, cache=tmp_path / "cache")
    region = data / "region.yaml"
    region.write_text(region.read_text("utf-8") + "# A remark.\n", "utf-8")
    read_kept(data, cache=tmp_path / "cache")
    (data / "notes.yml").write_text("a: 1\n", "utf-8")
    with pytest.raises(DataError, match=r"notes\.yml"):
        read_kept(data, cache=tmp_path / "cache")
    (data / "notes.yml").unlink()
    (data / "sources.yaml").unlink()
    with pytest.raises(DataError, match=r"sources\.yaml"):
        read_kept(data, cache=tmp_path / "cache")

    assert 4 == len(reads)


def test_a_file_that_leads_outside_is_told(tmp_path, data):
    """A file replaced by a link to the same bytes elsewhere is refused as it is without a cache."""
    read_kept(data, cache=tmp_path / "cache")
    (data / "region.yaml").rename(tmp_path / "elsewhere.yaml")
    try:
        (data / "region.yaml").symlink_to(tmp_path / "elsewhere.yaml")
    except OSError:
        pytest.skip("this system makes no links")

    with pytest.raises(DataError, match="leads outside"):
        read_kept(data, cache=tmp_path / "cache")


class _Evil:
    def __init__(self, path):
        self.path = path

    def __reduce__(self):
        return os.mkdir, (str(self.path),)


@pytest.mark.parametrize("content", [b"", b"no pickle", pickle.dumps({"a": 1}), None])
def test_what_is_no_dataset_is_a_miss(tmp_path, reads, content):
    """An entry that is broken, or would run something, is read over, and nothing is run."""
    right = read_kept(where_is_data(), cache=tmp_path)
    (entry,) = (tmp_path / "data").glob("??/*")
    content = pickle.dumps(_Evil(tmp_path / "made")) if content is None else content
    entry.write_bytes(hashlib.sha256(content).digest() + content)

    assert right == read_kept(where_is_data(), cache=tmp_path)
    assert 2 == len(reads)
    assert not (tmp_path / "made").exists()

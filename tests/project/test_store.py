"""Solved sections on disk: what was put comes back, and whatever happened to a file is a miss."""

import os

import pytest

from wristward.project.store import FolderStore


def files(folder):
    return sorted(path for path in folder.rglob("*") if path.is_file())


def test_what_was_put_comes_back(tmp_path):
    """Bytes come back under their key, also in another process's store of the same folder."""
    FolderStore(tmp_path).put("z=195 pose=supinated", b"\x00section")

    assert b"\x00section" == FolderStore(tmp_path).get("z=195 pose=supinated")


def test_an_unknown_key_is_a_miss(tmp_path):
    """A key that was not put is a miss, also where no folder exists yet."""
    assert FolderStore(tmp_path / "never").get("z=1") is None


@pytest.mark.parametrize("damage", [b"", b"short", b"\x01" * 80], ids=["empty", "cut", "altered"])
def test_a_damaged_entry_is_a_miss(tmp_path, damage):
    """An entry that was cut short or altered is a miss, and putting it again heals it."""
    store = FolderStore(tmp_path)
    store.put("z=1", b"whole")
    files(tmp_path)[0].write_bytes(damage)

    assert store.get("z=1") is None
    store.put("z=1", b"whole")
    assert b"whole" == store.get("z=1")


def test_a_folder_that_cannot_be_made_costs_only_the_reuse(tmp_path):
    """Where nothing can be stored, putting does nothing and getting misses."""
    (tmp_path / "file").write_text("in the way")
    store = FolderStore(tmp_path / "file")
    store.put("z=1", b"whole")

    assert store.get("z=1") is None


def test_prune_removes_what_was_unused_for_longest(tmp_path):
    """Pruning keeps the entries used last, up to the given size."""
    store = FolderStore(tmp_path)
    for age, key in ((30, "old"), (20, "older than used"), (10, "new")):
        store.put(key, b"x" * 100)
        newest = max(files(tmp_path), key=lambda path: path.stat().st_mtime_ns)
        os.utime(newest, (1_000_000 - age, 1_000_000 - age))
    store.prune(most_bytes=300)

    assert [False, True, True] == [store.get(key) is not None for key in ("old", "older than used", "new")]


def test_nothing_half_written_stays(tmp_path):
    """After putting, the folder holds the entries and no file of any other name."""
    store = FolderStore(tmp_path)
    for number in range(5):
        store.put(str(number), b"x")

    assert 5 == len(files(tmp_path))
    assert [] == [path.name for path in files(tmp_path) if path.name.startswith(".new-")]

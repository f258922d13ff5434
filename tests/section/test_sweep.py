"""The sweep: what is stored, what is found again, and what an edit makes it solve anew."""

from __future__ import annotations

from dataclasses import replace

from wristward.anatomy.track import Track
from wristward.section import sweep
from wristward.section.key import section_bytes, section_from_bytes


class Shelf:
    """A store in memory that counts."""

    def __init__(self) -> None:
        self.kept: dict[str, bytes] = {}
        self.hits = 0

    def get(self, key):
        """Return what is kept."""
        self.hits += key in self.kept
        return self.kept.get(key)

    def put(self, key, data):
        """Keep it."""
        self.kept[key] = data


def test_bytes_give_the_section_back(arm_sections):
    """A stored section read again is the same section."""
    expected = arm_sections[100]

    actual = section_from_bytes(section_bytes(expected))

    assert expected == actual


def test_a_second_sweep_solves_nothing(forearm, monkeypatch):
    """What is stored is not solved again."""
    shelf = Shelf()
    first = sweep.solve_all(forearm, z_mm=[60, 61], store=shelf)
    monkeypatch.setattr(sweep, "solve_raw", lambda plan: 1 / 0)

    second = sweep.solve_all(forearm, z_mm=[60, 61], store=shelf)

    assert first == second


def test_a_broken_entry_is_a_miss(forearm):
    """Half a stored section is solved anew and put right."""
    shelf = Shelf()
    first = sweep.solve_all(forearm, z_mm=[61], store=shelf)
    (key,) = shelf.kept
    good = shelf.kept[key]
    shelf.kept[key] = good[: len(good) // 2]

    second = sweep.solve_all(forearm, z_mm=[61], store=shelf)

    assert first == second
    assert good == shelf.kept[key]


def test_progress_counts_to_the_end(forearm):
    """The caller hears of every section."""
    heard = []

    sweep.solve_all(forearm, z_mm=[60, 61], store=Shelf(), progress=lambda done, of: heard.append((done, of)))

    assert [(0, 2), (1, 2), (2, 2)] == heard


def test_an_edit_reaches_only_its_neighbourhood(forearm):
    """Changing one knot of one muscle changes the keys between its neighbouring levels and no others."""
    track = next(b for b in forearm.bellies if len(b.area.z_mm) >= 8)
    middle = len(track.area.z_mm) // 2
    values = track.area.values.copy()
    values[middle] *= 1.05
    changed = replace(track, area=Track(track.area.z_mm, values))
    other = replace(forearm, bellies=tuple(changed if b is track else b for b in forearm.bellies))
    knots = track.area.z_mm

    before, after = (sweep.section_keys(one, range(261)) for one in (forearm, other))
    differing = [z for z in before if before[z] != after[z]]

    assert differing
    # Slopes at the two neighbouring knots change too, and sections are smoothed over 2 mm.
    assert knots[middle - 2] - 2 <= min(differing)
    assert max(differing) <= knots[min(middle + 2, len(knots) - 1)] + 2

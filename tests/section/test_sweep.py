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
    monkeypatch.setattr(sweep, "solve_raws", lambda plans: 1 / 0)

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


def test_no_height_is_solved_twice_in_a_row(forearm, monkeypatch):
    """However many runs a stretch is cut into, each plan is solved once: a run begins with what the last one left."""
    solved = []
    solve = sweep.solve_raws
    monkeypatch.setattr(sweep, "RUN_MM", 3)
    monkeypatch.setattr(sweep, "solve_raws", lambda plans: solved.extend(plan.z_mm for plan in plans) or solve(plans))

    sections = sweep.solve_all(forearm, z_mm=range(66, 58, -1))

    assert list(range(66, 58, -1)) == list(sections)
    assert list(range(68, 56, -1)) == solved


def test_processes_solve_what_one_solves(forearm, monkeypatch):
    """Spread over processes, which take from one another what is left, the sections are those of one process."""
    monkeypatch.setattr(sweep, "RUN_MM", 2)
    heights = [*range(20, 8, -1), 4]
    heard = []

    spread = sweep.solve_all(forearm, z_mm=heights, workers=2, progress=lambda done, of: heard.append((done, of)))

    assert [(done, 13) for done in range(14)] == heard
    assert sweep.solve_all(forearm, z_mm=heights) == spread
    assert heights == list(spread)


def test_a_run_is_taken_from_whom_most_is_left():
    """Of a stretch the far half is taken, in its order, and its owner goes on with the near half."""
    queue = sweep.deque(range(5))

    assert [2, 3, 4] == list(sweep._far_half(queue))
    assert [0, 1] == list(queue)
    assert [] == list(sweep._far_half(sweep.deque()))


def test_arms_are_solved_as_one_piece_of_work(forearm):
    """Sections of several arms are those of each arm alone, told as one, and what two arms share is solved once."""
    track = forearm.bellies[0]
    other = replace(forearm, bellies=(replace(track, area=Track([0.0], [150.0])), *forearm.bellies[1:]))
    shelf, heard = Shelf(), []

    both = sweep.solve_arms(
        [(forearm, [240, 30]), (other, [240, 30])],
        store=shelf,
        progress=lambda done, of: heard.append((done, of)),
    )

    # At 30 mm the muscle is not cut, so both arms are the same there.
    assert 3 == len(shelf.kept)
    assert [(0, 3), (1, 3), (2, 3), (3, 3)] == heard
    assert [sweep.solve_all(arm, z_mm=[240, 30], store=shelf) for arm in (forearm, other)] == both
    assert both[0][240] != both[1][240]
    assert both[0][30] == both[1][30]

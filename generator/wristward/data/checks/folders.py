"""Which of the two folders a height is drawn in: ``levels/`` where it has a name for readers, else ``knots/``.

A file is held against the names that stood when it was laid: an overlay may name the height of a knot below it, or take
a level's name away, and the file itself lies where its author cannot move it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from wristward.data.reading.folder import fits
from wristward.data.reading.loaded import Loaded
from wristward.data.reading.tree import Node
from wristward.data.records.level import KNOT_FILES, LEVEL_FILES, LevelRecord
from wristward.data.records.region import RegionRecord
from wristward.errors import Problem


def is_drawn(name: str) -> bool:
    """Say whether a file draws a height, a level's or a knot's."""
    return fits(name, LEVEL_FILES) or fits(name, KNOT_FILES)


def in_the_other(name: str) -> str | None:
    """Return the name that a level file would have as a knot file, or the other way round; None of other files."""
    if not is_drawn(name):
        return None
    folder, _, rest = name.partition("/")
    return f"{'knots' if folder == 'levels' else 'levels'}/{rest}"


def named_heights(region: Node | None) -> frozenset[float]:
    """Return the heights that have a name in an unchecked region.yaml, mm; what cannot be read there is left out."""
    names = region.entries.get("level_names") if region is not None else None
    heights = (entry.entries.get("z_mm") for entry in (names.items if names is not None else ()))
    return frozenset(one.value for one in heights if one is not None and isinstance(one.value, (int, float)))


def check_folders(
    files: Iterable[Loaded[LevelRecord]], region: RegionRecord, named: Mapping[str, frozenset[float]]
) -> list[Problem]:
    """Return a problem for each level that readers know by no name, and for each knot at a height that has one.

    Args:
        files: Files of levels and knots.
        region: Whose ends a height must lie between; of one beyond them that alone is told.
        named: By file the heights with a name when it was laid, mm.
    """
    problems = []
    for file in files:
        z = file.record.z_mm
        is_level, other = fits(file.name, LEVEL_FILES), in_the_other(file.name)
        if is_level == (z in named[file.name]) or not 0 <= z <= region.reference_length_mm:
            continue
        if is_level:
            text = f"z_mm {z:g} has no name for readers (allowed: {other}, or a name among region.yaml's level_names)"
        else:
            text = f"z_mm {z:g} has a name for readers, so it is a level (allowed: {other})"
        problems.append(file.problem(("z_mm",), text))
    return problems

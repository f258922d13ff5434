"""Other arms: every file of ``arms/`` is one entry of the region's arms, and what it draws otherwise is laid over the
drawn arm by the rules of any overlay. A structure that an arm takes out takes its knots with it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import PurePosixPath

from wristward.data.kinds import KNOT_MAPS
from wristward.data.reading.folder import fits
from wristward.data.reading.overlay import by_id, merge, without_nulls
from wristward.data.reading.tree import Mark, Node
from wristward.data.records.level import KNOT_FILES, LEVEL_FILES
from wristward.data.records.region import ReferenceArm
from wristward.errors import Problem, nearest, unknown

ARM_FILES = "arms/*.yaml"
DRAWN = "mean"
"""The arm that the data describe; every other one is said by its difference."""

LAST = "~"
"""Sorts behind every letter: what an arm adds comes behind the catalogue, whose order is kept."""

_CHANGES = ("lifts", "redraws", "structures", "knots", "relations")

Trees = dict[str, Node]


def gather_arms(trees: Trees) -> list[Problem]:
    """Move the files of ``arms/`` among the trees into the region's arms, and return what is defined twice."""
    files = {name: trees.pop(name) for name in sorted(trees) if fits(name, ARM_FILES)}
    region = trees.get("region.yaml")
    if region is None or not isinstance(region.value, dict):
        return []
    inline = region.value.get("arms", Node({}, region.mark))
    if not isinstance(inline.value, dict):
        return []
    problems = [
        entry.keys[key].problem(f"'{key}' of an arm stands in a file of its own (allowed: arms/{name}.yaml)")
        for name, entry in inline.value.items()
        if isinstance(entry.value, dict)
        for key in _CHANGES
        if key in entry.value
    ]
    arms, keys = dict(inline.value), dict(inline.keys)
    for file, root in files.items():
        name, mark = PurePosixPath(file).stem, Mark(root.mark.file, 1, 1)
        if name in inline.value:
            first = inline.keys[name]
            problems.append(mark.problem(f"arm '{name}' is also defined at {first.file}:{first.line}"))
        arms[name], keys[name] = root, mark
    if DRAWN not in arms:
        problems.append(
            region.mark.problem(f"arm '{DRAWN}' is missing, the one that is drawn (allowed: arms/{DRAWN}.yaml)")
        )
    if files:
        value = region.value | {"arms": Node(arms, inline.mark, keys)}
        trees["region.yaml"] = Node(value, region.mark, {"arms": region.mark} | region.keys)
    return problems


def draw_otherwise(trees: Mapping[str, Node], name: str, arm: ReferenceArm, root: Node) -> tuple[Trees, list[Problem]]:
    """Lay an arm's changes over the files of the drawn arm.

    Args:
        trees: Trees of levels, knots, structures and relations by file name; none is changed.
        name: The arm.
        arm: Its record.
        root: Its tree, whose places are kept.

    Returns:
        The files that come out otherwise and those that are new, and the problems, which name the arm's file.
    """
    changed: Trees = {}
    problems: list[Problem] = []
    gone = _structures(trees, changed, problems, name=name, root=root)
    _leave_out(trees, changed, arm, gone)
    _knots(trees, changed, problems, name=name, root=root)
    _relations(trees, changed, problems, arm=arm, root=root)
    return changed, problems


def _structures(
    trees: Mapping[str, Node], changed: Trees, problems: list[Problem], *, name: str, root: Node
) -> set[str]:
    """Change the catalogue, and return the structures that the arm does not have."""
    asked = root.entries.get("structures")
    if asked is None:
        return set()
    files = {id_: file for file, tree in _of(trees, "structures/*.yaml") for id_ in tree.at(("structures",)).entries}
    by_file: dict[str, dict[str, Node]] = {}
    gone = set()
    for id_, entry in asked.entries.items():
        if entry.value is None and id_ not in files:
            near = nearest(id_, files)
            guess = f"; did you mean '{near}'?" if near is not None else ""
            problems.append(asked.keys[id_].problem(f"nothing to take out: there is no structure '{id_}'{guess}"))
            continue
        if entry.value is None:
            gone.add(id_)
        by_file.setdefault(files.get(id_, f"structures/{LAST}{name}.yaml"), {})[id_] = entry
    for file, entries in by_file.items():
        inner = Node(entries, asked.mark, asked.keys)
        over = Node({"structures": inner}, asked.mark, {"structures": asked.mark})
        if file in trees:
            changed[file], found = merge(trees[file], over)
            problems += found
        else:
            changed[file] = without_nulls(over)
    return gone


def _leave_out(trees: Mapping[str, Node], changed: Trees, arm: ReferenceArm, gone: set[str]) -> None:
    """Take out the knots of absent structures, and those that the arm draws anew."""
    for file, tree in _of(trees, LEVEL_FILES, KNOT_FILES):
        z_mm = _height(tree)
        redrawn = [one for one in arm.redraws if z_mm is not None and one.to_z_mm <= z_mm <= one.from_z_mm]
        out = gone | {one.structure for one in redrawn}
        value = dict(tree.entries)
        for group in KNOT_MAPS:
            knots = value.get(group)
            if knots is not None and not out.isdisjoint(knots.entries):
                value[group] = Node(
                    {id_: knot for id_, knot in knots.entries.items() if id_ not in out}, knots.mark, knots.keys
                )
        if any(value[key] is not node for key, node in tree.entries.items()):
            changed[file] = Node(value, tree.mark, tree.keys)


def _knots(trees: Mapping[str, Node], changed: Trees, problems: list[Problem], *, name: str, root: Node) -> None:
    asked = root.entries.get("knots")
    files = {_height(tree): file for file, tree in _of(trees, LEVEL_FILES, KNOT_FILES)}
    for index, entry in enumerate(asked.items if asked is not None else ()):
        if "z_mm" not in entry.entries:
            problems.append(entry.mark.problem("'z_mm' is missing"))
            continue
        z_mm = _height(entry)
        file = files.get(z_mm) if z_mm is not None else None
        if file is None:
            file = files[z_mm] = f"knots/{name}-{index}.yaml"
            changed[file] = without_nulls(entry)
            continue
        kept = {key: node for key, node in entry.entries.items() if key != "z_mm"}
        changed[file], found = merge(changed.get(file) or trees[file], Node(kept, entry.mark, entry.keys))
        problems += found


def _relations(
    trees: Mapping[str, Node], changed: Trees, problems: list[Problem], *, arm: ReferenceArm, root: Node
) -> None:
    tree = trees.get("relations.yaml", Node({"relations": Node([], root.mark)}, root.mark))
    listed = tree.entries["relations"]
    stated = by_id(listed)
    for index, lifted in enumerate(arm.lifts):
        if lifted not in stated:
            problems.append(root.at(("lifts", index)).mark.problem(unknown("relation", lifted, stated)))
        elif lifted in arm.lifts[:index]:
            problems.append(root.at(("lifts", index)).mark.problem(f"'{lifted}' is lifted twice"))
    asked = root.entries.get("relations")
    own = asked.items if asked is not None else []
    for entry in own:
        id_ = entry.entries.get("id", entry)
        if isinstance(id_.value, str) and id_.value in stated:
            first = stated[id_.value].mark
            text = f"relation '{id_.value}' is also stated at {first.file}:{first.line} (allowed: another id, and that one among 'lifts')"
            problems.append(id_.mark.problem(text))
    if arm.lifts or own:
        kept = [entry for id_, entry in stated.items() if id_ not in arm.lifts]
        relations = Node([*kept, *(without_nulls(entry) for entry in own)], listed.mark)
        changed["relations.yaml"] = Node(tree.entries | {"relations": relations}, tree.mark, tree.keys)


def _height(level: Node) -> float | None:
    z_mm = level.entries["z_mm"].value
    return z_mm if isinstance(z_mm, (int, float)) else None


def _of(trees: Mapping[str, Node], *patterns: str) -> Iterable[tuple[str, Node]]:
    return [(name, tree) for name, tree in trees.items() if any(fits(name, pattern) for pattern in patterns)]

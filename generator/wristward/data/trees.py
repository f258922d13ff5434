"""The files of a data folder, with those of its overlays laid over them, as trees. The only place that opens them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from wristward.data.arms import ARM_FILES, Trees
from wristward.data.checks.folders import in_the_other, is_drawn, named_heights
from wristward.data.checks.plain import check_plain
from wristward.data.reading.folder import fits, list_files, read_bytes, shown_name
from wristward.data.reading.overlay import merge, without_nulls
from wristward.data.reading.overrides import Override, new_file, overrides
from wristward.data.reading.tree import Node, read_yaml
from wristward.data.words.catalogue import Catalogue
from wristward.data.words.languages import check_language_name, is_words
from wristward.errors import Problem


@dataclass(slots=True, kw_only=True)
class Laid:
    """What was read of the files."""

    trees: Trees = field(default_factory=dict)
    """By name relative to the data folder, sorted."""

    paths: list[Path] = field(default_factory=list)
    """Every file read, sorted."""

    overrides: list[Override] = field(default_factory=list)
    heights: dict[str, frozenset[float]] = field(default_factory=dict)
    """Which heights had a name for readers when a file of levels/ or knots/ was laid, mm."""

    unread: set[str] = field(default_factory=set)
    """Names of files that are no tree."""

    problems: list[Problem] = field(default_factory=list)


def lay_files(
    folders: Sequence[Path], patterns: Collection[str], *, needed: Iterable[str], catalogue: Catalogue
) -> Laid:
    """Read the files of a folder, and lay those of overlays over them.

    Args:
        folders: The data folder, then overlays in their order.
        patterns: What files may be called, words for readers aside from their language.
        needed: Patterns of which the data folder itself must have a file each.
        catalogue: Takes the words for readers, and says which languages are read.
    """
    laid = Laid()
    for number, folder in enumerate(folders):
        files, problems = list_files(folder, patterns)
        laid.problems += problems
        for name, path in files.items():
            shown = f"{shown_name(folder)}/{name}"
            if is_words(name):
                laid.problems += check_language_name(name, shown)
                if not catalogue.reads(name):
                    continue
            laid.paths.append(path)
            root, found = _tree(path, shown, name)
            laid.problems += found
            if root is None:
                laid.unread.add(name)
            else:
                _lay(laid, name, root, catalogue=catalogue, over=number > 0, alone=len(folders) == 1)
        named = named_heights(laid.trees.get("region.yaml"))
        laid.heights |= {name: named for name in files if is_drawn(name) and name not in laid.heights}
        if number == 0 and not problems:
            missing = [pattern for pattern in needed if not any(fits(name, pattern) for name in files)]
            laid.problems += [Problem(shown_name(folder), 1, 1, f"'{pattern}' is missing") for pattern in missing]
    laid.trees = dict(sorted(laid.trees.items()))
    laid.paths.sort()
    return laid


def _tree(path: Path, shown: str, name: str) -> tuple[Node | None, list[Problem]]:
    data, problems = read_bytes(path, shown)
    if problems:
        return None, problems
    root, found = _tree_of(data, shown, is_words(name))
    return root, list(found)


@lru_cache(maxsize=512)
def _tree_of(data: bytes, shown: str, words: bool) -> tuple[Node | None, tuple[Problem, ...]]:
    """Return the tree of a file's bytes. A preview reads a changed file and those that did not change again; no tree is altered."""
    root, problems = read_yaml(data, file=shown)
    return root, (*problems, *(check_plain(root, words=words) if root is not None else ()))


def _lay(laid: Laid, name: str, root: Node, *, catalogue: Catalogue, over: bool, alone: bool) -> None:
    below, other = laid.trees.get(name), in_the_other(name)
    if over and below is None and other in laid.trees:
        text = f"what lies below it here is {other} (allowed: {other})"
        laid.problems.append(Problem(root.mark.file, 1, 1, text))
        return
    if over:
        laid.overrides += overrides(below, root) if below is not None else [new_file(root)]
    if is_words(name):
        laid.problems += catalogue.take(name, root, over=laid.trees if over else None)
    if below is None:
        # In an arm's file null takes out what the drawn arm has, whether or not the file lies in an overlay.
        laid.trees[name] = root if alone or fits(name, ARM_FILES) else without_nulls(root)
        return
    laid.trees[name], problems = merge(below, root)
    laid.problems += problems

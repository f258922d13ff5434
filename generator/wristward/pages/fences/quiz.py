"""The fence named ``quiz``: an educator's own quiz on a page, checked like the data.

    ```quiz
    kinds: [tap, look_alike]
    topics: [a_structure]
    levels: [60, 90, 120]
    count: 6
    seed: 4
    ```

``items`` names questions of quiz_items.yaml instead. What is left out asks for nothing; what fits no question is refused.
"""

from __future__ import annotations

from typing import Any

from wristward.data.reading.tree import Node
from wristward.data.records.quiz_kinds import kinds_of
from wristward.errors import Problem, quoted, unknown
from wristward.pages import figures
from wristward.pages.atlas import Atlas
from wristward.quiz.choose import choose
from wristward.quiz.compose import under
from wristward.quiz.written import written_id

NAME = "quiz"
KEYS = ("kinds", "topics", "levels", "count", "seed", "items")
DEFAULT_COUNT, MOST = 5, 50
LARGEST_SEED = 2**31 - 1


def check(node: Node, atlas: Atlas) -> list[Problem]:
    """Return every mistake in a fence, at its place within the fence."""
    if not figures.has_quiz(atlas):
        return [node.mark.problem("there are no words for quizzes in the readers' catalogue")]
    problems = [mark.problem(unknown("key", key, KEYS)) for key, mark in node.keys.items() if key not in KEYS]
    topics = {topic for item in atlas.quiz_items for topic in item.topics}
    written = {id_ for item in atlas.quiz_items if (id_ := written_id(item)) is not None}
    problems += _names(node, "kinds", "kind", set(kinds_of(atlas.dataset.region.asked_stretches())))
    problems += _names(node, "topics", "topic", topics, begins=True)
    problems += _names(node, "items", "item", written)
    problems += _levels(node, max(atlas.sections))
    problems += _whole(node, "count", 1, MOST) + _whole(node, "seed", 0, LARGEST_SEED)
    if problems:
        return problems
    asked = _plain(node)
    if "items" in asked and {"kinds", "topics", "levels"} & set(asked):
        return [node.keys["items"].problem("'items' stands alone (allowed beside it: count, seed)")]
    if not choose(atlas.quiz_items, **_choice(asked, atlas)):
        said = ", ".join(f"{key} {quoted(', '.join(map(str, _list(asked[key]))))}" for key in KEYS[:3] if key in asked)
        return [node.mark.problem(f"no question fits {said} together")]
    return []


def draw(node: Node, atlas: Atlas, *, here: str) -> str:
    """Return the HTML of a checked fence."""
    asked = _plain(node)
    choice = _choice(asked, atlas)
    count = asked.get("count", len(choice["ids"]) if choice["ids"] else DEFAULT_COUNT)
    return figures.quiz_of(atlas, here=here, count=count, seed=asked.get("seed", 1), **choice)


def _plain(node: Node) -> dict[str, Any]:
    return {key: entry.plain() for key, entry in node.entries.items()}


def _choice(asked: dict[str, Any], atlas: Atlas) -> dict[str, Any]:
    wanted = set(_list(asked["items"])) if "items" in asked else None
    return {
        "kinds": _list(asked["kinds"]) if "kinds" in asked else None,
        "topics": _list(asked["topics"]) if "topics" in asked else None,
        "levels_mm": _list(asked["levels"]) if "levels" in asked else None,
        "ids": None if wanted is None else [one.id for one in atlas.quiz_items if written_id(one) in wanted],
    }


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _entries(node: Node, key: str) -> list[Node]:
    """Return the nodes under a key, one or a list of them."""
    given = node.entries.get(key)
    if given is None:
        return []
    return given.value if isinstance(given.value, list) else [given]


def _names(node: Node, key: str, what: str, known: set[str], *, begins: bool = False) -> list[Problem]:
    problems = _empty(node, key)
    for entry in _entries(node, key):
        name = entry.value
        fine = isinstance(name, str) and (name in known or (begins and any(under(one, name) for one in known)))
        if not fine:
            problems.append(entry.mark.problem(unknown(what, str(entry.plain()), known)))
    return problems


def _levels(node: Node, top_mm: int) -> list[Problem]:
    return _empty(node, "levels") + [
        entry.mark.problem(f"level is {quoted(entry.plain())} (allowed: a whole number from 0 to {top_mm}, in mm)")
        for entry in _entries(node, "levels")
        if not _is_whole(entry.value, 0, top_mm)
    ]


def _empty(node: Node, key: str) -> list[Problem]:
    given = node.entries.get(key)
    if given is not None and given.value == []:
        return [given.mark.problem(f"'{key}' is empty (leave it out to ask for all)")]
    return []


def _whole(node: Node, key: str, low: int, high: int) -> list[Problem]:
    given = node.entries.get(key)
    if given is None or _is_whole(given.value, low, high):
        return []
    return [given.mark.problem(f"{key} is {quoted(given.plain())} (allowed: a whole number from {low} to {high})")]


def _is_whole(value: object, low: int, high: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high

"""A node tree to a record, with every fault in our words and at its place.

pydantic says which path is wrong; the nodes say where the path stands; this module says it to an author.
"""

from __future__ import annotations

import re
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from wristward.data.reading.tree import KeyPath, Node
from wristward.data.records.record import TOP_MM, Record
from wristward.errors import Problem, nearest, one_of, quoted

R = TypeVar("R", bound=Record)

_MUST_BE = {
    "float_type": "a number",
    "float_parsing": "a number",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "bool_type": "true or false",
    "tuple_type": "a list",
    "list_type": "a list",
    "dict_type": "a map",
    "model_type": "a map",
    "model_attributes_type": "a map",
    "finite_number": "a finite number",
}
_BOUNDS = {
    "greater_than": ("more than", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("less than", "lt"),
    "less_than_equal": ("at most", "le"),
}


def read_record(record: type[R], root: Node, *, top_mm: float | None = None) -> tuple[R | None, list[Problem]]:
    """Check a tree against a record.

    Args:
        record: What it must be.
        root: The tree.
        top_mm: How high the region reaches, to which its heights are held, mm; None where that could not be read.

    Returns:
        The record, or None where there are problems, and the problems in pydantic's order.
    """
    try:
        return record.model_validate(root.plain(), context={TOP_MM: top_mm}), []
    except ValidationError as error:
        found = [_problem(details, root) for details in error.errors(include_url=False)]
        return None, list(dict.fromkeys(found))


def _problem(details: ErrorDetails, root: Node) -> Problem:
    kind, value = details["type"], details["input"]
    loc = _in_tree(details["loc"], root)
    if kind == "missing":
        return root.at(loc[:-1]).mark.problem(f"'{loc[-1]}' is missing")
    if kind == "unknown_key" or details["loc"][-1:] == ("[key]",):
        path = tuple(part for part in loc if part != "[key]")
        text = details["ctx"]["text"] if kind == "unknown_key" else _pattern(path[-1], "the name")
        return root.key_mark(path).problem(text)
    if kind == "plain" and details["ctx"]["key"] is not None:
        loc = (*loc, details["ctx"]["key"])
    mark = root.at(loc).mark
    if kind == "plain":
        text = details["ctx"]["text"]
        return mark.problem(f"{_subject(loc)} {text}" if text.startswith("must ") else text)
    if kind == "union_tag_not_found":
        return mark.problem("'kind' is missing")
    if kind == "union_tag_invalid":
        options = re.findall(r"'([^']*)'", details["ctx"]["expected_tags"])
        return root.at((*loc, "kind")).mark.problem(_not_allowed("kind", details["ctx"]["tag"], options))
    return mark.problem(_text(details, _subject(loc), value))


def _text(details: ErrorDetails, subject: str, value: Any) -> str:
    kind, context = details["type"], details.get("ctx", {})
    if kind in _MUST_BE:
        return f"{subject} is {quoted(value)}, must be {_MUST_BE[kind]}"
    if kind in _BOUNDS:
        words, bound = _BOUNDS[kind]
        return f"{subject} is {quoted(value)}, must be {words} {quoted(context[bound])}"
    if kind == "string_type":
        hint = " (put it in quotes)" if isinstance(value, (int, float)) else ""
        return f"{subject} is {quoted(value)}, must be text{hint}"
    if kind == "string_too_short":
        return f"{subject} is empty, must be text"
    if kind == "string_too_long":
        return f"{subject} has {len(value)} letters, must have at most {context['max_length']}"
    if kind == "string_pattern_mismatch":
        return _pattern(value, subject)
    if kind == "literal_error":
        if value is None or "'" not in context["expected"]:
            return f"{subject} is {quoted(value)} (allowed: {context['expected'].replace('True', 'true')})"
        return _not_allowed(subject, value, re.findall(r"'([^']*)'", context["expected"]))
    if kind in ("too_short", "too_long"):
        bound = f"at least {context['min_length']}" if kind == "too_short" else f"at most {context['max_length']}"
        return f"{subject} has {len(value)} {'entry' if len(value) == 1 else 'entries'}, must have {bound}"
    return f"{subject} is {quoted(value)}: {details['msg'][:1].lower()}{details['msg'][1:]}"


def _pattern(value: object, subject: str) -> str:
    return f"{subject} is {quoted(value)} (allowed: small letters, digits and '_', beginning with a letter)"


def _not_allowed(subject: str, value: object, options: list[str]) -> str:
    near = nearest(value, options) if isinstance(value, str) else None
    guess = f"; did you mean '{near}'?" if near is not None else ""
    return f"{subject} is {quoted(value)}{guess} (allowed: {one_of(options)})"


def _subject(loc: KeyPath) -> str:
    """Name the value as an author would: its key, or "an entry of" the list it stands in."""
    if not loc:
        return "the file"
    if isinstance(loc[-1], str):
        return loc[-1]
    name = next((part for part in reversed(loc) if isinstance(part, str)), None)
    return f"an entry of {name}" if name is not None else "an entry"


def _in_tree(loc: KeyPath, root: Node) -> KeyPath:
    """Leave out of pydantic's path what is not in the file: the tags of unions, and entries it made of text."""
    node = root
    path: list[str | int] = []
    for index, part in enumerate(loc):
        last, below = index == len(loc) - 1, node.step(part)
        if below is not None:
            node = below
            path.append(part)
        elif last and (isinstance(node.value, dict) or part == "[key]"):
            path.append(part)
    return tuple(path)

"""YAML text to a tree of nodes that know their line and column, without YAML's surprises.

Read are maps with text keys, lists, and the scalars of YAML 1.2: null, true/false, decimal numbers, text.
Refused, each with its place: aliases, anchors, tags, directives, a second document, merge keys, repeated keys,
numbers that another reader would take for something else (010, 0x1F, 1_000, 12:30, 2024-01-31), NaN and
infinities, depth beyond 40 and more than 200,000 nodes. `no`, `on` and `yes` are text.

The tree is built from parser events with an explicit stack, so nesting cannot exhaust Python's own stack.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from math import isfinite
from typing import Any, NamedTuple, Protocol

import yaml

from wristward.data.reading.text import text_from_bytes
from wristward.errors import Problem

MAX_DEPTH = 40
MAX_NODES = 200_000
MAX_DIGITS = 18

_FAST = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NULL = frozenset({"", "~", "null", "Null", "NULL"})
_TRUE = frozenset({"true", "True", "TRUE"})
_FALSE = frozenset({"false", "False", "FALSE"})
_INTEGER = re.compile(r"[-+]?(0|[1-9][0-9]*)")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_BEGINS_NUMBERS = frozenset("-+.0123456789")
_REFUSED_PLAIN = (
    (re.compile(r"[-+]?0[0-9]+"), "starts with a zero (write it without, or in quotes for text)"),
    (re.compile(r"[-+]?0[xob][0-9a-fA-F_]+"), "is not decimal (write it in decimal, or in quotes for text)"),
    (
        re.compile(r"[-+]?[0-9][0-9_]*_[0-9_]*(\.[0-9_]*)?"),
        "has a '_' in it (write the digits alone, or in quotes for text)",
    ),
    (re.compile(r"[-+]?[0-9]+(:[0-5]?[0-9])+(\.[0-9]*)?"), "looks like a time (put it in quotes)"),
    (re.compile(r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}([Tt ].*)?"), "looks like a date (put it in quotes)"),
    (re.compile(r"[-+]?\.(inf|Inf|INF|nan|NaN|NAN)"), "is not a number to draw with (allowed: finite numbers)"),
)
_YAML_SAYS = (
    ("mapping values are not allowed", "a ':' where no key can stand (check indentation and quotes)"),
    ("could not find expected ':'", "a key without its ':'"),
    ("expected <block end>", "this line's indentation fits no line above it"),
    ("expected ',' or ']'", "a list opened with '[' is not closed, or a ',' is missing"),
    ("expected ',' or '}'", "a map opened with '{' is not closed, or a ',' is missing"),
    ("found unexpected end of stream", "a quote opened here is not closed"),
    ("that cannot start any token", "a character that cannot begin a value (put the text in quotes)"),
    ("sequence entries are not allowed", "a '-' where no list can stand"),
    ("found unknown escape character", "an unknown escape after '\\' (use single quotes)"),
    ("expected the node content", "a value is missing here"),
    ("found undefined tag handle", "a tag (allowed: plain values)"),
)


class Mark(NamedTuple):
    """A place in a file; line and column count from 1."""

    file: str
    line: int
    col: int

    def problem(self, text: str) -> Problem:
        """Return a problem at this place."""
        return Problem(self.file, self.line, self.col, text)


KeyPath = tuple[str | int, ...]
"""Keys of maps and indexes of lists, from the root of a file inward."""

Scalar = str | int | float | bool | None


@dataclass(slots=True)
class Node:
    """A value and its place."""

    value: dict[str, Node] | list[Node] | Scalar
    mark: Mark
    keys: dict[str, Mark] = field(default_factory=dict)
    """Place of each key where the value is a map."""

    @property
    def entries(self) -> dict[str, Node]:
        """The entries of a map; none of anything else."""
        return self.value if isinstance(self.value, dict) else {}

    @property
    def items(self) -> list[Node]:
        """The entries of a list; none of anything else."""
        return self.value if isinstance(self.value, list) else []

    def plain(self) -> object:
        """Return the value without places: dicts, lists and scalars."""
        if isinstance(self.value, dict):
            return {key: node.plain() for key, node in self.value.items()}
        if isinstance(self.value, list):
            return [node.plain() for node in self.value]
        return self.value

    def step(self, part: str | int) -> Node | None:
        """Return the entry under a key of a map or at an index of a list, or None where there is none."""
        if isinstance(part, str):
            return self.entries.get(part)
        return self.items[part] if 0 <= part < len(self.items) else None

    def at(self, path: KeyPath) -> Node:
        """Return the deepest node on the path; parts that are not in the tree are passed over."""
        node = self
        for part in path:
            node = node.step(part) or node
        return node

    def key_mark(self, path: KeyPath) -> Mark:
        """Return the place of the key that ends the path, or of the nearest node above it."""
        last, keys = path[-1], self.at(path[:-1]).keys
        return keys[last] if isinstance(last, str) and last in keys else self.at(path).mark


def read_yaml(data: bytes, *, file: str) -> tuple[Node | None, list[Problem]]:
    """Read one YAML file.

    Args:
        data: The file's content.
        file: Name shown in problems.

    Returns:
        The root node, or None where the text could not be read at all, and every problem found. A tree that
        comes with problems is only good for finding more of them.
    """
    text, problems = text_from_bytes(data, file=file)
    if problems:
        return None, problems
    try:
        return _Builder(file).build(text, _FAST)
    except yaml.YAMLError:
        pass
    # The C parser words its errors otherwise and is not on every machine: the message comes from Python's own.
    builder = _Builder(file)
    try:
        return builder.build(text, yaml.SafeLoader)
    except yaml.MarkedYAMLError as error:
        unclosed = "unexpected end of stream" in (error.problem or "")
        mark = _mark(file, error.context_mark if unclosed else error.problem_mark)
        return None, [*builder.problems, mark.problem(_reworded(error.problem or str(error)))]


class _ParserMark(Protocol):
    """A place as the parsers have it, Python's and the C one alike; line and column count from 0."""

    @property
    def line(self) -> int: ...

    @property
    def column(self) -> int: ...


class _TooMuch(Exception):
    """Depth or count went beyond the limit; reading stops there."""


class _Builder:
    """Collects events into nodes; one for each file."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self.root: Node | None = None
        self.documents = 0
        self.nodes = 0
        self.open: list[tuple[Node, list[tuple[str | None, Mark]]]] = []
        """Each open node, with its key and the key's place while a map waits for a value."""

    def build(self, text: str, loader_class: Callable[[str], Any]) -> tuple[Node | None, list[Problem]]:
        loader = loader_class(text)
        try:
            while loader.check_event():
                self._take(loader.get_event())
        except _TooMuch:
            return None, self.problems
        finally:
            loader.dispose()
        if self.root is None and not self.problems:
            self.problems.append(Problem(self.file, 1, 1, "the file is empty"))
        return self.root, self.problems

    def _take(self, event: yaml.Event) -> None:
        mark = _mark(self.file, event.start_mark)
        if isinstance(event, yaml.DocumentStartEvent):
            self._document(event, mark)
        elif isinstance(event, yaml.AliasEvent):
            self._refuse(mark, f"alias '*{event.anchor}' is not allowed (write the value out)")
            self._place(Node(None, mark), scalar_key=None)
        elif isinstance(event, (yaml.MappingStartEvent, yaml.SequenceStartEvent)):
            self._decorations(event, mark)
            node = Node({} if isinstance(event, yaml.MappingStartEvent) else [], mark)
            self._place(node, scalar_key=None)
            self.open.append((node, []))
            if len(self.open) > MAX_DEPTH:
                self._refuse(mark, f"nested more than {MAX_DEPTH} deep (allowed: at most {MAX_DEPTH})")
                raise _TooMuch
        elif isinstance(event, (yaml.MappingEndEvent, yaml.SequenceEndEvent)):
            self.open.pop()
        elif isinstance(event, yaml.ScalarEvent):
            self._decorations(event, mark)
            if event.value == "" and not event.style:
                mark = self._nothing_mark()
            self._place(Node(self._scalar(event, mark), mark), scalar_key=event.value)

    def _document(self, event: yaml.DocumentStartEvent, mark: Mark) -> None:
        self.documents += 1
        if event.version is not None or event.tags:
            self._refuse(mark, "a directive ('%...') is not allowed (leave the line out)")
        if self.documents == 2:
            self._refuse(mark, "a second document begins here (allowed: one document a file)")

    def _decorations(self, event: yaml.ScalarEvent | yaml.CollectionStartEvent, mark: Mark) -> None:
        if event.anchor is not None:
            self._refuse(mark, f"anchor '&{event.anchor}' is not allowed (write the value out where it is used)")
        if event.tag is not None:
            tag = event.tag.replace("tag:yaml.org,2002:", "!!")
            self._refuse(mark, f"tag '{tag}' is not allowed (allowed: plain values)")

    def _nothing_mark(self) -> Mark:
        """Return the place of a value that was left out: its key's or its list's, as parsers differ about it."""
        if not self.open:
            return Mark(self.file, 1, 1)
        parent, waiting = self.open[-1]
        return waiting[0][1] if waiting else parent.mark

    def _place(self, node: Node, *, scalar_key: str | None) -> None:
        """Put a node where it belongs: root, list entry, key or value of the innermost open map."""
        self.nodes += 1
        if self.nodes > MAX_NODES:
            self._refuse(node.mark, f"the file has more than {MAX_NODES:,} values (allowed: at most {MAX_NODES:,})")
            raise _TooMuch
        if not self.open:
            if self.root is None:
                self.root = node
            return
        parent, waiting = self.open[-1]
        if isinstance(parent.value, list):
            parent.value.append(node)
        elif waiting:
            key, mark = waiting.pop()
            if key is not None and key not in parent.entries:
                parent.entries[key] = node
                parent.keys[key] = mark
        else:
            waiting.append((self._key(parent, node, scalar_key), node.mark))

    def _key(self, parent: Node, node: Node, key: str | None) -> str | None:
        if key is None:
            if isinstance(node.value, (dict, list)):
                what = "map" if isinstance(node.value, dict) else "list"
                self._refuse(node.mark, f"a key is a {what} (allowed: text)")
            return None
        if key == "":
            self._refuse(node.mark, "a key is empty (allowed: text)")
            return None
        if key == "<<":
            self._refuse(node.mark, "merge key '<<' is not allowed (write the keys out)")
            return None
        if key in parent.entries:
            self._refuse(node.mark, f"duplicate key '{key}' (first at line {parent.keys[key].line})")
        return key

    def _scalar(self, event: yaml.ScalarEvent, mark: Mark) -> str | int | float | bool | None:
        text = event.value
        waiting_for_key = bool(self.open) and isinstance(self.open[-1][0].value, dict) and not self.open[-1][1]
        if event.style or waiting_for_key:  # the C parser says '' for plain, Python's says None
            return text
        if text in _NULL:
            return None
        if text in _TRUE or text in _FALSE:
            return text in _TRUE
        if text[0] not in _BEGINS_NUMBERS:
            return text
        for pattern, why in _REFUSED_PLAIN:
            if pattern.fullmatch(text):
                self._refuse(mark, f"{_cut(text)} {why}")
                return None
        if _FLOAT.fullmatch(text):
            return self._number(text, mark)
        return text

    def _number(self, text: str, mark: Mark) -> int | float | None:
        if sum(character.isdigit() for character in text) > MAX_DIGITS:
            self._refuse(mark, f"{_cut(text)} has more than {MAX_DIGITS} digits (allowed: at most {MAX_DIGITS})")
            return None
        if _INTEGER.fullmatch(text):
            return int(text)
        value = float(text)
        if not isfinite(value):
            self._refuse(mark, f"{_cut(text)} is too large (allowed: finite numbers)")
            return None
        return value

    def _refuse(self, mark: Mark, text: str) -> None:
        self.problems.append(mark.problem(text))


def _mark(file: str, mark: _ParserMark | None) -> Mark:
    """Return the parser's place as ours, which counts from 1; the file's beginning where it has none."""
    return Mark(file, 1, 1) if mark is None else Mark(file, mark.line + 1, mark.column + 1)


def _cut(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."


def _reworded(problem: str) -> str:
    """Return our words for the parser's commonest complaints, else its own."""
    for part, ours in _YAML_SAYS:
        if part in problem:
            return ours
    return f"not readable as YAML: {problem}"

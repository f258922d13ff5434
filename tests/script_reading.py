"""Reads a script of ``browser/`` as far as tests need: what it defines on the one global, and what it uses of it.

No parser: a script is cut into tokens, and what is looked for are the few shapes in which our scripts name the global.
A name that a function takes over (``const view = …`` inside it) is not told from the room's own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

GLOBAL = "wristward"
KINDS = "mounters"

_TOKEN = re.compile(
    r"(?P<space>\s+)|(?P<comment>//[^\n]*|/\*.*?\*/)|(?P<string>\"(?:\\.|[^\"\\\n])*\"|'(?:\\.|[^'\\\n])*')"
    r"|(?P<name>[\w$]+)|(?P<mark>=>|\?\?=|\?\.|\.\.\.|===|!==|[=!<>]=|.)",
    re.DOTALL,
)
_TEXT = re.compile(r"(?:\\.|[^`\\$]|\$(?!\{))*", re.DOTALL)
_REGEX = re.compile(r"/(?![*/])(?:\\.|\[(?:\\.|[^\]\\\n])*\]|[^/\\\n\[])+/[a-z]*")
# After these a slash begins a regular expression; after anything else it divides.
_BEFORE_REGEX = {*"([{,;=:!&|?+-*%<>~^", "=>", "===", "!==", "==", "!=", "??=", "return", "typeof", "case", "in", "of"}
_OPENS = {"(": ")", "[": "]", "{": "}", "${": "}"}
# What stands before "(…) {" where the braces are no function.
_STATEMENTS = {"if", "for", "while", "switch", "catch", "with", "await"}


@dataclass(slots=True)
class Token:
    """A piece of a script that is neither space nor comment."""

    text: str
    kind: str
    """name, mark, string, text (of a template) or regex."""

    line: int
    late: bool = False
    """Whether it stands in a function: what it says happens when that is called, not when the script loads."""


@dataclass(slots=True)
class Script:
    """What a script says of the global; every place is (line, whether late)."""

    defined: dict[str, list[tuple[int, bool]]] = field(default_factory=dict)
    """By name: "say", "mounters.chart", or "view.of" for what is put onto an object of the global."""

    used: dict[str, list[tuple[int, bool]]] = field(default_factory=dict)


def tokens(source: str) -> list[Token]:
    """Return the tokens of a script, each with its line and whether it stands in a function.

    Raises:
        ValueError: If brackets do not match.
    """
    found: list[Token] = []
    at, depth = 0, []
    while at < len(source):
        regex = _REGEX.match(source, at) if not found or found[-1].text in _BEFORE_REGEX else None
        line = source.count("\n", 0, at) + 1
        if regex is not None:
            found.append(Token(regex[0], "regex", line))
            at = regex.end()
            continue
        match = _TOKEN.match(source, at)
        text, kind = match[0], match.lastgroup
        if kind not in ("space", "comment"):
            found.append(Token(text, kind, line))
        at = match.end()
        if text == "{":
            depth.append("{")
        if text == "`" or (text == "}" and depth and depth.pop() == "${"):
            piece = _TEXT.match(source, at)
            found.append(Token(piece[0], "text", line))
            at = piece.end()
            if source.startswith("${", at):
                depth.append("${")
                found.append(Token("${", "mark", line))
                at += 2
            else:
                at += 1  # the closing backtick
    _mark_late(found)
    return found


def _mark_late(found: list[Token]) -> None:
    """Say of each token whether it stands in a function; the one around a whole script is none."""
    open_: list[tuple[str, bool, str]] = []  # (what closes it, whether late, what stood before it)
    closed = ""  # what stood before the bracket that was closed last
    arrow = [False]  # by depth: inside the expression of an arrow function
    for at, token in enumerate(found):
        before = found[at - 1].text if at else ""
        late = arrow[-1] or (open_[-1][1] if open_ else False)
        if token.text in _OPENS and token.kind == "mark":
            body = token.text == "{" and (before == "=>" or (before == ")" and closed not in _STATEMENTS))
            whole = body and len(open_) == 1 and found[1].text == "function"
            open_.append((_OPENS[token.text], (late or body) and not whole, before))
            arrow.append(False)
        elif token.kind == "mark" and token.text in ")]}":
            if not open_ or open_[-1][0] != token.text:
                raise ValueError(f"line {token.line}: '{token.text}' closes nothing")
            closed = open_.pop()[2]
            # The name of a function stands between the word and its bracket; both are no statement.
            arrow.pop()
        elif token.kind == "mark" and token.text in (",", ";"):
            arrow[-1] = False
        elif token.text == "=>" and found[at + 1].text != "{":
            arrow[-1] = True
        token.late = late
    if open_:
        raise ValueError(f"'{open_[-1][0]}' is missing at the end")


def read(source: str) -> Script:
    """Return what a script defines on the global and uses of it."""
    found = tokens(source)
    text = [token.text if token.kind in ("name", "mark") else token.kind for token in found] + [""] * 4
    script = Script()
    own: dict[str, str] = {}  # what an object of the global is called in this script

    def note(kind: dict, name: str, at: int) -> None:
        kind.setdefault(name, []).append((found[at].line, found[at].late))

    def is_set(at: int) -> bool:
        return text[at] in ("=", "??=")

    def member(name: str, at: int) -> None:
        """Note what follows an object of the global at a dot."""
        if text[at] in (".", "?."):
            note(script.defined if is_set(at + 2) else script.used, f"{name}.{text[at + 1]}", at)

    for at, token in enumerate(found):
        if token.kind != "name" or (at and text[at - 1] in (".", "?.") and token.text != GLOBAL):
            continue
        if token.text == GLOBAL and text[at + 1] in (".", "?."):
            name, after = text[at + 2], at + 3
            if name == KINDS and not is_set(after):
                if text[after] == "." and is_set(after + 2):
                    note(script.defined, f"{KINDS}.{text[after + 1]}", at)
                elif text[after] == "[" and is_set(after + 3):
                    note(script.defined, f"{KINDS}.{found[after + 1].text[1:-1]}", at)
                note(script.used, KINDS, at)
            elif is_set(after):
                note(script.defined, name, at)
                for key in _keys(text, after + 1) if text[after + 1] == "{" else ():
                    note(script.defined, f"{name}.{text[key]}", key)
                if text[at - 1] == "(" and text[at - 2] == "=" and found[at - 3].kind == "name":
                    own[text[at - 3]] = name
            else:
                note(script.used, name, at)
                member(name, after)
        elif token.text == "const" and text[at + 1] == "{":
            end = text.index("}", at)
            origin = _origin(text, end + 1, own)
            if origin is None:
                continue
            for name, called in _taken(text[at + 2 : end]):
                whole = name if origin == "" else f"{origin}.{name}"
                note(script.used, whole, at)
                if origin == "":
                    own[called] = name
                else:
                    note(script.used, origin, at)
        elif token.text in own and text[at + 1] in (".", "?."):
            member(own[token.text], at + 1)
    return script


def _keys(text: list[str], at: int) -> list[int]:
    """Return where the keys of an object stand whose bracket opens at a place."""
    keys, depth = [], 0
    for place in range(at, len(text)):
        if text[place] in _OPENS:
            depth += 1
        elif text[place] in (")", "]", "}"):
            depth -= 1
            if depth == 0:
                break
        if depth == 1 and text[place] in ("{", ",") and text[place + 1] != "}":
            keys.append(place + 1)
    return keys


def _origin(text: list[str], at: int, own: dict[str, str]) -> str | None:
    """Return what "} = …;" takes its names from: "" for the global, a name on it, or None for anything else."""
    if text[at] != "=":
        return None
    if text[at + 1] == GLOBAL:
        return "" if text[at + 2] == ";" else text[at + 3] if text[at + 4] == ";" else None
    return own.get(text[at + 1]) if text[at + 2] == ";" else None


def _taken(text: list[str]) -> list[tuple[str, str]]:
    """Return (name, what it is called here) of "a, b: c"."""
    pairs, at = [], 0
    while at < len(text):
        renamed = text[at + 1 : at + 2] == [":"]
        pairs.append((text[at], text[at + 2] if renamed else text[at]))
        at += 4 if renamed else 2
    return pairs

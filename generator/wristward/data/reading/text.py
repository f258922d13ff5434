"""Bytes to text that YAML can be read from: encoding, size and characters, before any parsing.

Characters that editors show as a blank, or that YAML counts as a line break and editors do not, are refused:
they shift every line number after them.
"""

from __future__ import annotations

import re

from wristward.errors import Problem

MAX_BYTES = 4_000_000
"""A level file has about 10,000 bytes; a file beyond this is not written by hand."""

_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
_UTF8_MARK = b"\xef\xbb\xbf"
_REFUSED = re.compile("\t|\r(?!\n)|[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\x80-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
_NAMED = {
    "\t": "a tab (allowed: spaces)",
    "\r": "a carriage return without a line feed (allowed: line feed, or carriage return and line feed)",
    "\x00": "a NUL character (allowed: plain UTF-8 text)",
    "\ufeff": "a byte order mark inside the text (allowed: plain UTF-8 text)",
}


def text_from_bytes(data: bytes, *, file: str) -> tuple[str, list[Problem]]:
    """Return the text with its line ends made "\\n", and every problem of its characters.

    Args:
        data: The file's content.
        file: Name shown in problems.

    Returns:
        The text ("" where the bytes are no text at all) and the problems, one a line of text at most.
    """
    if len(data) > MAX_BYTES:
        return "", [Problem(file, 1, 1, f"the file has {len(data):,} bytes (allowed: at most {MAX_BYTES:,})")]
    if data.startswith(_UTF16_MARKS) or _looks_like_utf16(data):
        return "", [Problem(file, 1, 1, "the file is UTF-16 (allowed: UTF-8; save it again as UTF-8)")]
    if data.startswith(_UTF8_MARK):
        return "", [Problem(file, 1, 1, "the file begins with a byte order mark (allowed: UTF-8 without one)")]
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        row, col = before.count("\n") + 1, len(before) - before.rfind("\n")
        why = f"byte 0x{data[error.start]:02x} is not UTF-8 (allowed: UTF-8; save it again as UTF-8)"
        return "", [Problem(file, row, col, why)]
    problems = []
    for number, line in enumerate(text.split("\n"), start=1):
        found = _REFUSED.search(line + "\n")
        if found is not None:
            character = found.group()
            name = _NAMED.get(character, f"character U+{ord(character):04X} (allowed: plain UTF-8 text)")
            problems.append(Problem(file, number, found.start() + 1, name))
    return text.replace("\r\n", "\n"), problems


def _looks_like_utf16(data: bytes) -> bool:
    """Tell UTF-16 without its mark: every second byte of plain text is then NUL."""
    head = data[:64]
    return len(head) >= 4 and max(head[::2].count(0), head[1::2].count(0)) >= 0.4 * len(head)

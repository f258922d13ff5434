"""Bytes to text."""

from __future__ import annotations

import pytest

from wristward.data.reading.text import text_from_bytes


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"a\tb", "f:1:2: a tab (allowed: spaces)"),
        (b"a: 1\nb\x07: 2", "f:2:2: character U+0007 (allowed: plain UTF-8 text)"),
        ("a\u0085b".encode(), "f:1:2: character U+0085 (allowed: plain UTF-8 text)"),
        ("é: \ufeff".encode(), "f:1:4: a byte order mark inside the text (allowed: plain UTF-8 text)"),
        ("é\n".encode() + b"ab\xff", "f:2:3: byte 0xff is not UTF-8 (allowed: UTF-8; save it again as UTF-8)"),
        (b"\xff\xfe", "f:1:1: the file is UTF-16 (allowed: UTF-8; save it again as UTF-8)"),
        ("area: 12".encode("utf-16-be"), "f:1:1: the file is UTF-16 (allowed: UTF-8; save it again as UTF-8)"),
        (b" " * 4_000_001, "f:1:1: the file has 4,000,001 bytes (allowed: at most 4,000,000)"),
    ],
)
def test_what_is_not_plain_text_is_refused_in_its_place(data, message):
    """Columns count characters, not bytes; each fault is named."""
    assert [message] == [str(problem) for problem in text_from_bytes(data, file="f")[1]]


def test_one_problem_a_line_and_all_lines():
    """Every line with a refused character is reported, once."""
    assert ["f:1:1: a tab (allowed: spaces)", "f:3:2: a tab (allowed: spaces)"] == [
        str(problem) for problem in text_from_bytes(b"\t\ta\nb\n \tc", file="f")[1]
    ]


def test_line_ends_of_windows_become_ours():
    """Carriage return and line feed together are one line end."""
    assert ("é: 1\nb: 2\n", []) == text_from_bytes("é: 1\r\nb: 2\r\n".encode(), file="f")

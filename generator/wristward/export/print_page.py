"""The frame of a printed document: one HTML file that needs nothing else, for A4 and for Letter.

Colours are written out and the page is white whatever the reader's scheme: it is made for paper.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

from wristward.bridge.scripts import browser_text
from wristward.export.picture import FORCED_COLOURS, flat
from wristward.export.spoken import lang_attribute, spoken_html, stripped
from wristward.figure.drawing import DRAWING_STYLE

PAPERS = ("a4", "letter")


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """What every printed document says of itself."""

    words: Mapping[str, str]
    version: str
    """Hash of data and program, as pages show it."""

    language: str
    """Of the dataset; a text in another one is marked where it stands."""

    paper: str | None = None
    """Paper that is asked of the printer; None leaves it to the reader."""

    back: str | None = None
    """Address of the page that led here."""

    def say(self, key: str, **values: object) -> str:
        """Return the words under ``print.<key>`` as HTML."""
        return self.html(self.words[f"print.{key}"].format(**values))

    def html(self, *texts: str) -> str:
        """Return plain texts one behind the other as HTML, each marked where it is in another language."""
        return "".join(spoken_html(text, self.language) for text in texts)

    def lang(self, text: str) -> str:
        """Return the attribute of an element that says a plain text alone, or ""."""
        return lang_attribute(text, self.language)


def document_html(frame: Frame, *, title: str, body: str, controls: str = "") -> str:
    """Return a whole document.

    Args:
        frame: Words, version, paper.
        title: Plain text.
        body: HTML of the sheets.
        controls: HTML shown on the screen only, above the sheets, beside the button that prints.

    Raises:
        ValueError: If the paper is unknown.
    """
    if frame.paper not in (None, *PAPERS):
        raise ValueError(f"paper is '{frame.paper}' (allowed: {', '.join(PAPERS)})")
    size = "" if frame.paper is None else f"@page{{size:{frame.paper}}}"
    style = browser_text(["export/print.css"])
    drawing = FORCED_COLOURS.sub("", flat(DRAWING_STYLE))
    script = browser_text(["export/print.js"]).replace("</", "<\\/")
    back = "" if frame.back is None else f'<a href="{escape(frame.back, quote=True)}">{frame.say("back")}</a>'
    return (
        f'<!doctype html>\n<html lang="{escape(frame.language, quote=True)}"><head><meta charset="utf-8">'
        f'<title{frame.lang(title)}>{escape(title)}</title><meta name="viewport" content="width=device-width,initial-scale=1">'
        f'<link rel="icon" href="data:,"><style>{drawing}{style}{size}</style></head><body>'
        f'<div class="p-screen">{back}<button type="button" id="p-print" hidden>{frame.say("button")}</button>'
        f"{controls}</div><main>{body}</main><footer><p>{_said(frame, 'export.cautions')}</p>"
        f"<p>{_said(frame, 'export.licence')}</p>"
        f'<p class="ww-version">{frame.say("version")} <code>{escape(frame.version)}</code></p></footer>'
        f"<script>{script}</script></body></html>\n"
    )


def head_html(frame: Frame, title: str, lead: Sequence[str]) -> str:
    """Return a document's heading with a line under it, given piece by piece; all plain text."""
    return f"<header><h1>{frame.html(title)}</h1><p>{frame.html(*lead)}</p></header>"


def line_html(frame: Frame) -> str:
    """Return the line that every sheet carries, so that one torn off still says what it is."""
    return f'<p class="p-line">{frame.say("line", version=frame.version)}</p>'


def _said(frame: Frame, key: str) -> str:
    return frame.html(stripped(frame.words[key]))

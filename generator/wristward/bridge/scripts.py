"""Which hand-written scripts and styles go into which file of a site, and which of these files a page can do without.

A row is what the figures of some hosts bring with them. A test compares the rows with the folder ``browser/``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from wristward.locate import BROWSER


@dataclass(frozen=True, slots=True, kw_only=True)
class File:
    """A file of a site that is put together from files of ``browser/``."""

    name: str
    """Relative to the assets' folder."""

    parts: tuple[str, ...]
    """Files relative to ``browser/``, in the order in which they must stand."""

    def text(self) -> str:
        """Return what the parts hold, one behind the other."""
        return browser_text(self.parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle:
    """The script and the style that some figures need."""

    script: File
    style: File
    hosts: frozenset[str] = frozenset()
    """Kinds of host, as in ``data-wristward``, that need them; none where every page with a figure does."""


def _room(room: str, *stems: str) -> tuple[str, ...]:
    return tuple(f"{room}/{stem}.js" for stem in stems)


RUNTIME = Bundle(
    script=File(
        name="wristward.js",
        parts=(
            *_room("core", "core", "address", "numbers"),
            *_room("section", "view", "geometry", "labels", "layers", "inks", "canvas", "drawing"),
            *_room("section", "measures", "telling", "pointing", "zoom", "section"),
            *_room("travel", "list", "panel", "place", "figure", "ahead", "travel"),
            *_room("charts", "chart"),
        ),
    ),
    style=File(name="wristward.css", parts=("section/section.css",)),
)
BLOCKS = Bundle(
    script=File(
        name="wristward-block-levels.js", parts=_room("blocks", "table", "telling", "chart", "controls", "levels")
    ),
    style=File(name="wristward-block-levels.css", parts=("blocks/levels.css",)),
    hosts=frozenset({"block-levels"}),
)
QUIZ = Bundle(
    script=File(
        name="wristward-quiz-player.js",
        parts=(
            *_room("quiz", "random", "score", "schedule", "compose", "store", "figure", "spoken", "play", "before"),
            *_room("quiz", "practice", "progress"),
        ),
    ),
    style=File(name="wristward-quiz.css", parts=("quiz/quiz.css",)),
    hosts=frozenset({"quiz", "practice", "progress"}),
)

BUNDLES = (RUNTIME, BLOCKS, QUIZ)
"""In the order in which a page loads them."""

ARMS_NAME = "wristward-arms.js"
ARMS = File(name=ARMS_NAME, parts=("travel/arms.js",))
"""Asked for when a reader chooses an arm that is drawn otherwise."""

_COMMENT_LINES = re.compile(r"^[ \t]*(?://[^\n]*|/\*(?:(?!\*/).)*\*/[ \t]*)\n", re.MULTILINE | re.DOTALL)

DATA_NAME = "wristward-data.js"
"""Names, words and constants; written from the data, loaded before all else."""


def page_scripts() -> list[str]:
    """Return the scripts of a page with every kind of figure, in order, relative to the assets' folder.

    The outlines, the measures, the arms and the questions are not among them: hosts ask for these.
    """
    return [DATA_NAME, *(bundle.script.name for bundle in BUNDLES)]


def page_styles() -> list[str]:
    """Return the style sheets of a page with every kind of figure, relative to the assets' folder."""
    return [bundle.style.name for bundle in BUNDLES]


def unneeded(html: str) -> list[str]:
    """Return the files, relative to the assets' folder, that no host on a page needs.

    Args:
        html: The page, or its body.
    """
    return [
        file.name
        for bundle in BUNDLES
        if bundle.hosts and not any(f'data-wristward="{kind}"' in html for kind in bundle.hosts)
        for file in (bundle.script, bundle.style)
    ]


def browser_text(parts: Iterable[str]) -> str:
    """Return what some files of ``browser/`` hold, one behind the other; scripts without what only their readers need."""
    texts = {part: (BROWSER / part).read_text(encoding="utf-8") for part in parts}
    return "".join(without_comments(text) if part.endswith(".js") else text for part, text in texts.items())


def without_comments(script: str) -> str:
    """Return a script without the comments that fill whole lines: a fifth of what would travel.

    A line inside a text that begins like a comment would go as well; no script has one, which a test watches.
    """
    return _COMMENT_LINES.sub("", script)

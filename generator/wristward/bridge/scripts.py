"""Which hand-written scripts and styles go into which file of a site, and which of these files a page can do without.

A row is one file. A test compares the rows with the folder ``browser/``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from wristward.locate import BROWSER


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundle:
    """A file of a site that is put together from files of ``browser/``."""

    name: str
    """Relative to the assets' folder."""

    parts: tuple[str, ...]
    """Files relative to ``browser/``, in the order in which they must stand."""

    hosts: frozenset[str] = frozenset()
    """Kinds of host, as in ``data-wristward``, that need it; none where every page with a figure does."""

    def text(self) -> str:
        """Return what the parts hold, one behind the other."""
        return browser_text(self.parts)


def _room(room: str, *stems: str) -> tuple[str, ...]:
    return tuple(f"{room}/{stem}.js" for stem in stems)


RUNTIME = Bundle(
    name="wristward.js",
    parts=(
        *_room("core", "core", "address"),
        *_room("section", "view", "geometry", "labels", "moving", "drawing"),
        *_room("section", "measures", "telling", "pointing", "zoom", "section"),
        *_room("travel", "list", "panel", "travel"),
        *_room("charts", "chart"),
    ),
)
RUNTIME_STYLE = Bundle(name="wristward.css", parts=("section/section.css",))
BLOCKS = Bundle(
    name="wristward-block-levels.js",
    parts=_room("blocks", "table", "telling", "chart", "controls", "levels"),
    hosts=frozenset({"block-levels"}),
)
BLOCKS_STYLE = Bundle(name="wristward-block-levels.css", parts=("blocks/levels.css",), hosts=BLOCKS.hosts)
QUIZ = Bundle(
    name="wristward-quiz-player.js",
    parts=_room(
        "quiz", "random", "score", "schedule", "compose", "store", "figure", "play", "before", "practice", "progress"
    ),
    hosts=frozenset({"quiz", "practice", "progress"}),
)
QUIZ_STYLE = Bundle(name="wristward-quiz.css", parts=("quiz/quiz.css",), hosts=QUIZ.hosts)

SCRIPTS = (RUNTIME, BLOCKS, QUIZ)
"""Scripts in the order in which a page loads them."""

STYLES = (RUNTIME_STYLE, BLOCKS_STYLE, QUIZ_STYLE)

ARMS_NAME = "wristward-arms.js"
ARMS = Bundle(name=ARMS_NAME, parts=("travel/arms.js",))
"""Asked for when a reader chooses an arm that is drawn otherwise."""

DATA_NAME = "wristward-data.js"
"""Names, words and constants; written from the data, loaded before all else."""


def page_scripts() -> list[str]:
    """Return the scripts of a page with every kind of figure, in order, relative to the assets' folder.

    The outlines, the measures, the arms and the questions are not among them: hosts ask for these.
    """
    return [DATA_NAME, *(bundle.name for bundle in SCRIPTS)]


def page_styles() -> list[str]:
    """Return the style sheets of a page with every kind of figure, relative to the assets' folder."""
    return [bundle.name for bundle in STYLES]


def unneeded(html: str) -> list[str]:
    """Return the files, relative to the assets' folder, that no host on a page needs.

    Args:
        html: The page, or its body.
    """
    return [
        bundle.name
        for bundle in (*SCRIPTS, *STYLES)
        if bundle.hosts and not any(f'data-wristward="{kind}"' in html for kind in bundle.hosts)
    ]


def browser_text(parts: Iterable[str]) -> str:
    """Return what some files of ``browser/`` hold, one behind the other."""
    return "".join((BROWSER / part).read_text(encoding="utf-8") for part in parts)

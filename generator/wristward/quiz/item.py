"""The quiz's own records: an item, its options, and what it stands on. Python and the browser share them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from wristward.data.records.quiz_kinds import QUIZ_KINDS, QuizKind

FORMS = ("choice", "many", "tap", "order", "height")
LEAST_CONFIDENCE = 2
"""What is only drawn or guessed (confidence 1) is never keyed."""

BAND_MM = 10
"""Items closer together than this ask the same fact."""

LENGTH_RATIO = 2.0
"""How many times as long as every other option the right one may be."""


def level_topic(z_mm: float) -> str:
    """Return the topic of what is asked about a height: its band of 10 mm, such as "level_120"."""
    return f"level_{int(z_mm) // BAND_MM * BAND_MM}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One answer on offer."""

    text: str
    right: bool
    why: str
    """What a reader who chose it is told."""


def one_best(right: str, why: str, wrong: Iterable[tuple[str, str]]) -> tuple[Option, ...]:
    """Return the options of a question with one best answer: that, then (text, why) of each other."""
    others = (Option(text=text, right=False, why=told) for text, told in wrong)
    return (Option(text=right, right=True, why=why), *others)


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One question with its key. Heights are mm of the mean arm."""

    id: str
    """Opaque and stable: a hash of kind and fact."""

    kind: str
    row: QuizKind
    """How items of the kind are shown, checked and handed on."""

    form: str
    fact: str
    """What is asked, in ids: items with the same fact differ in surface only."""

    topics: tuple[str, ...]
    """Ids of structures and operations under which it is practised."""

    stem: str
    options: tuple[Option, ...] = ()
    """Form "order": in the right order. Others: in any order, shown shuffled."""

    z_mm: int | None = None
    """Height of the section that is shown, or linked to."""

    shows_section: bool = False
    target: str | None = None
    marks: tuple[str, ...] = ()
    """Structures that carry a number on the section, the first numbered 1."""

    credit: tuple[int, ...] = ()
    """Form "height", scored by chance: percent of full marks at every 5 mm from the wrist crease."""

    why: str
    sources: tuple[str, ...]
    confidence: int

    @property
    def asked_target(self) -> str:
        """What a marker must hit.

        Raises:
            ValueError: Of an item that asks for none; those that do and name none are refused before.
        """
        if self.target is None:
            raise ValueError(f"item '{self.fact}' has no target")
        return self.target

    @property
    def asked_z_mm(self) -> int:
        """The height of the section it shows, or the one that is right, mm.

        Raises:
            ValueError: Of an item without one; those that need it are refused before.
        """
        if self.z_mm is None:
            raise ValueError(f"item '{self.fact}' has no height")
        return self.z_mm


def item_id(kind: str, fact: str) -> str:
    """Return the opaque id of what is asked."""
    return sha256(f"{kind}|{fact}".encode()).hexdigest()[:12]


def make_item(*, kind: str, fact: str, row: QuizKind | None = None, **values: Any) -> Item:
    """Return an item with its id.

    Args:
        kind: Its kind's name.
        fact: What is asked, in ids.
        row: What is special about the kind; by default the row that is called like it.
        values: The item's other values.

    Raises:
        KeyError: If no row is given or called like the kind.
    """
    return Item(id=item_id(kind, fact), kind=kind, row=QUIZ_KINDS[kind] if row is None else row, fact=fact, **values)

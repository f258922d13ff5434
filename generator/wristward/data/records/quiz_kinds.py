"""The kinds of question, a row each: what a kind does otherwise than a plain question is said here and nowhere else.

What asks a kind's questions stands in ``quiz/items/``, in a file that is called like the kind. The rows stand in data
because an author may write questions of any kind by hand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class QuizKind:
    """How the questions of one kind are shown, checked and handed on."""

    asks_target: bool = False
    """On a section it asks for one structure, the question's target."""

    target_is_numbered: bool = False
    """The target carries one of the numbers on the section."""

    drawn_alike: bool = False
    """What is round on the section is drawn alike: no colour or letter tells nerve, vessel and tendon apart."""

    in_order: bool = False
    """Options are offered in the order of their texts, as numbers are; else they are shuffled."""

    columns: tuple[str, str] | None = None
    """Words under ``export.column.`` for what is right and what is not, where a format can ask a table."""

    echo_allowed: bool = False
    """A word may stand in the question and in the right option alone, as where an option is made of names."""

    like_letters: int | None = None
    """Words that begin with so many like letters count as one word in search of such an echo; None for whole words."""

    before_list: bool = False
    """It belongs to what is asked about the nerves of an operation before the day's list."""


STRETCH = "stretch"
"""The kind that asks about a stretch of the region; it goes by the stretch's name."""

QUIZ_KINDS: dict[str, QuizKind] = {
    "tap": QuizKind(asks_target=True),
    "name": QuizKind(asks_target=True),
    "look_alike": QuizKind(
        asks_target=True, target_is_numbered=True, drawn_alike=True, in_order=True, before_list=True
    ),
    "height": QuizKind(),
    "order": QuizKind(),
    "level": QuizKind(before_list=True),
    "caught": QuizKind(columns=("caught", "spared"), before_list=True),
    # Where sides are asked, a bone may give a side away by its name.
    "relation": QuizKind(like_letters=4, before_list=True),
    "seam": QuizKind(echo_allowed=True, before_list=True),
    "distance": QuizKind(before_list=True),
    "operation": QuizKind(),
    "testing": QuizKind(before_list=True),
    STRETCH: QuizKind(),
}
"""Every kind by its name; in place of ``STRETCH`` stand the stretches that a region asks about."""


def kinds_of(stretches: Iterable[str]) -> dict[str, QuizKind]:
    """Return every kind by the name that readers, authors and items have for it.

    Args:
        stretches: Those that the region asks about.
    """
    kinds = {name: kind for name, kind in QUIZ_KINDS.items() if name != STRETCH}
    return kinds | dict.fromkeys(stretches, QUIZ_KINDS[STRETCH])

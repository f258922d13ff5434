"""The linter sees each fault, and the shipped items have none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from wristward.quiz.item import Option, make_item
from wristward.quiz.lint import lint

GOOD = make_item(
    kind="name",
    form="choice",
    fact="median_nerve@50",
    topics=("median_nerve",),
    stem="Which structure carries the number 1?",
    options=(
        Option(text="median nerve", right=True, why="It is."),
        Option(text="ulnar nerve", right=False, why="It lies farther over."),
        Option(text="radial artery", right=False, why="It lies farther over."),
    ),
    z_mm=55,
    shows_section=True,
    target="median_nerve",
    why="It is the median nerve.",
    sources=("common_practice",),
    confidence=3,
)


def _with_text(text, *, place=1):
    options = list(GOOD.options)
    options[place] = replace(options[place], text=text)
    return replace(GOOD, options=tuple(options))


FAULTS = {
    "it is used twice": (None, "the id is used twice"),
    "drawn": (replace(GOOD, confidence=1), "confidence is 1 (allowed: 2 or more)"),
    "drawing": (replace(GOOD, sources=("own_drawing",)), "it stands on no source, or on a drawing"),
    "absolute": (replace(GOOD, stem="What is always here?"), "'always' is said"),
    "absolute in German": (replace(GOOD, stem="Was liegt hier nie?"), "'nie' is said"),
    "absolute in Spanish": (replace(GOOD, stem="¿Qué hay siempre aquí?"), "'siempre' is said"),
    "needle": (replace(GOOD, stem="Where does the needle go?"), "the stem speaks of 'needle'"),
    "dose": (replace(GOOD, stem="Which dose is due?"), "the stem speaks of 'dose'"),
    "medial": (replace(GOOD, stem="What lies medial to it?"), "the stem speaks of 'medial to'"),
    "two options": (replace(GOOD, options=GOOD.options[:2]), "2 options (allowed: 3 to 8)"),
    "same twice": (_with_text("radial artery"), "two options say the same"),
    "no reason": (
        replace(GOOD, options=(*GOOD.options[:2], replace(GOOD.options[2], why=""))), "an option has no reason",
    ),
    "long key": (
        _with_text("median nerve, and quite a lot more of it", place=0),
        "the right option is more than twice as long as any other",
    ),
    "echo": (
        replace(GOOD, stem="Which median structure carries the number 1?"),
        "'median' stands in the stem and in the right option alone",
    ),
    "id": (replace(GOOD, id="name_median_nerve"), "the id is not that of kind and fact"),
    "none right": (
        replace(GOOD, options=tuple(replace(one, right=False) for one in GOOD.options)),
        "0 of 3 options are right (allowed: 1 of 3 to 5)",
    ),
}  # fmt: skip


def test_good_item_has_no_fault():
    """An item that keeps the rules is passed."""
    assert [] == lint([GOOD])


@pytest.mark.parametrize("name", FAULTS)
def test_fault_is_named(name):
    """Each fault is named in a line of its own that begins with the item."""
    item, fault = FAULTS[name]
    given = [GOOD, GOOD] if item is None else [item]
    one = given[-1]

    assert [f"{one.kind} {one.id} ({one.fact}): {fault}"] == lint(given)


def test_shipped_items_keep_the_rules(items):
    """No item drawn from the shipped data breaks a rule."""
    assert [] == lint(items)

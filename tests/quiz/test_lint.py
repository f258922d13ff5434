"""The linter sees each fault, and the shipped items have none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from wristward.data.read import read_dataset
from wristward.locate import where_is_data
from wristward.quiz.item import Option, make_item
from wristward.quiz.lint import broken_rules, unwanted_of

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


def lint(items, unwanted):
    """Return every broken rule, sorted, in lines that begin with the item."""
    found, seen = [], set()
    for item in items:
        found += [f"{item.kind} {item.id} ({item.fact}): {text}" for _, text in broken_rules(item, unwanted, seen)]
        seen.add(item.id)
    return sorted(found)


@pytest.fixture(scope="module")
def unwanted():
    """What questions do not say, by language."""
    return {one: unwanted_of(read_dataset(where_is_data(), language=one).words) for one in ("en", "de", "es")}


def test_good_item_has_no_fault(unwanted):
    """An item that keeps the rules is passed in each language."""
    assert [[], [], []] == [lint([GOOD], one) for one in unwanted.values()]


@pytest.mark.parametrize("name", FAULTS)
def test_fault_is_named(name, unwanted):
    """Each fault is named, and no other."""
    item, fault = FAULTS[name]
    given = [GOOD, GOOD] if item is None else [item]
    one = given[-1]

    assert [f"{one.kind} {one.id} ({one.fact}): {fault}"] == lint(given, unwanted["en"])


@pytest.mark.parametrize(
    ("stem", "languages", "fault"),
    [
        ("What is always here?", {"en", "de", "es"}, "'always' is said"),
        ("Was liegt hier nie?", {"de"}, "'nie' is said"),
        ("Was ist keine der genannten Strukturen?", {"de"}, "'keine der genannten' is said"),
        ("¿Qué hay siempre aquí?", {"es"}, "'siempre' is said"),
        ("Wohin zeigt die Nadel?", {"de"}, "the stem speaks of 'nadel'"),
        ("¿Dónde está la aguja?", {"es"}, "the stem speaks of 'aguja'"),
        ("Wie viele mg sind es?", {"en", "de", "es"}, "the stem speaks of 'mg'"),
    ],
)
def test_each_language_keeps_its_own_words_out(stem, languages, fault, unwanted):
    """What a language lists is kept out in it, and what English lists in all of them."""
    item = replace(GOOD, stem=stem)
    found = {language for language, one in unwanted.items() if fault in " ".join(lint([item], one))}

    assert languages == found


def test_a_language_without_lists_has_those_of_english(tmp_path, unwanted):
    """A language that lists nothing keeps out what English keeps out, and what falls back is told."""
    (tmp_path / "reader" / "fr").mkdir(parents=True)
    (tmp_path / "reader" / "fr" / "language.yaml").write_text("language: {decimal: ','}", "utf-8")
    french = read_dataset(where_is_data(), [tmp_path], language="fr")

    assert unwanted["en"] == unwanted_of(french.words)
    assert {"lint.absolutes", "lint.forbidden"} <= set(french.fallbacks["fr"])


def test_shipped_items_keep_the_rules(items, unwanted):
    """No item drawn from the shipped data breaks a rule."""
    assert [] == lint(items, unwanted["en"])

"""The rules of item writing that a program can hold items to, each with a name. A broken rule is one line that names the item."""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from wristward.quiz.item import FORMS, LEAST_CONFIDENCE, LENGTH_RATIO, Item, item_id

LEAST_OPTIONS, MOST_OPTIONS = 3, 8
MOST_CHOICES = 5
SMALL_WORDS = 4
"""A word this short in stem and key gives nothing away."""

Rule = Literal[
    "kind", "id", "repeated", "word", "forbidden_word", "unfinished", "options", "option_twice", "option_reason",
    "key_count", "key_length", "echo", "confidence", "source", "height_key", "target",
]  # fmt: skip
"""Names of the rules, as the command ``quiz`` counts what they refuse."""

Broken = tuple[Rule, str]
"""Name of a rule, and what is wrong."""


@dataclass(frozen=True, slots=True)
class Unwanted:
    """What questions do not say in the language of a dataset, in small letters."""

    absolutes: tuple[str, ...]
    """Neither in a stem nor in an option."""

    forbidden: tuple[str, ...]
    """In no stem."""


def unwanted_of(words: Mapping[str, str]) -> Unwanted:
    """Return what the catalogue lists under ``lint.``."""

    def entries(key: str) -> tuple[str, ...]:
        return tuple(entry for entry in (one.strip() for one in words[f"lint.{key}"].split(";")) if entry)

    return Unwanted(absolutes=entries("absolutes"), forbidden=entries("forbidden"))


def broken_rules(item: Item, unwanted: Unwanted, seen: Container[str] = ()) -> list[Broken]:
    """Return (name of the rule, what is wrong) of every rule an item breaks.

    Args:
        item: The item.
        unwanted: What it may not say.
        seen: Ids that are taken.
    """
    return [*_identity(item, seen), *_words(item, unwanted), *_options(item), *_ground(item)]


def _identity(item: Item, seen: Container[str]) -> Iterator[Broken]:
    if item.form not in FORMS:
        yield "kind", f"kind '{item.kind}' of form '{item.form}' is unknown"
    if item.id != item_id(item.kind, item.fact):
        yield "id", "the id is not that of kind and fact"
    if item.id in seen:
        yield "repeated", "the id is used twice"


def _words(item: Item, unwanted: Unwanted) -> Iterator[Broken]:
    said = f" {item.stem.lower()} "
    for text in (said, *(f" {option.text.lower()} " for option in item.options)):
        for word in unwanted.absolutes:
            if re.search(rf"\b{re.escape(word)}\b", text):
                yield "word", f"'{word}' is said"
    for word in unwanted.forbidden:
        if re.search(rf"\b{re.escape(word)}\b", said):
            yield "forbidden_word", f"the stem speaks of '{word}'"
    if "{" in said or not item.why:
        yield "unfinished", "a sentence is unfinished or missing"


def _options(item: Item) -> Iterator[Broken]:
    if item.form in ("tap", "height"):
        if item.options:
            yield "options", "options are given to what is placed"
        return
    texts = [option.text.strip().lower() for option in item.options]
    if not LEAST_OPTIONS <= len(texts) <= MOST_OPTIONS:
        yield "options", f"{len(texts)} options (allowed: {LEAST_OPTIONS} to {MOST_OPTIONS})"
    if len(set(texts)) != len(texts):
        yield "option_twice", "two options say the same"
    if any(not option.why for option in item.options):
        yield "option_reason", "an option has no reason"
    right = [option for option in item.options if option.right]
    if item.form == "order":
        return
    if item.form == "choice":
        if len(right) != 1 or len(texts) > MOST_CHOICES:
            yield "key_count", f"{len(right)} of {len(texts)} options are right (allowed: 1 of 3 to 5)"
            return
        wrong = [option for option in item.options if not option.right]
        longest = max(len(option.text) for option in wrong)
        if len(right[0].text) > LENGTH_RATIO * longest:
            yield "key_length", "the right option is more than twice as long as any other"
        if not item.row.echo_allowed:
            yield from _echo(item, right[0].text, [option.text for option in wrong])
    elif not right or len(right) == len(texts):
        yield "key_count", "none or all of the options are right"


def _echo(item: Item, key: str, wrong: list[str]) -> Iterator[Broken]:
    def words(text: str) -> set[str]:
        cut = item.row.like_letters
        return {word[:cut] for word in re.findall(r"[^\W\d_]+", text.lower()) if len(word) >= (cut or SMALL_WORDS + 1)}

    only = words(key) & words(item.stem) - set().union(*(words(text) for text in wrong))
    if only:
        yield "echo", f"'{min(only)}' stands in the stem and in the right option alone"


def _ground(item: Item) -> Iterator[Broken]:
    if item.confidence < LEAST_CONFIDENCE:
        yield "confidence", f"confidence is {item.confidence} (allowed: {LEAST_CONFIDENCE} or more)"
    if not item.sources or "own_drawing" in item.sources:
        yield "source", "it stands on no source, or on a drawing"
    if item.form == "height" and item.z_mm is None:
        yield "height_key", "the height has no key"
    if item.shows_section and item.row.asks_target and item.target is None:
        yield "target", "nothing on the section is asked for"
    if item.row.target_is_numbered and item.target not in item.marks:
        yield "target", "the structure asked for carries no number"

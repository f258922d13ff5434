"""The HTML that hosts quizzes and the files they load: items as one classic script, asked for when a quiz begins."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from hashlib import sha256
from html import escape
from typing import Any

from wristward.bridge.inline import data_element, script_json
from wristward.data.dataset import Dataset
from wristward.data.records.quiz_kinds import QuizKind
from wristward.data.words.languages import ENGLISH
from wristward.data.words.phrase import language_of
from wristward.quiz.bank import all_items
from wristward.quiz.compose import under
from wristward.quiz.hands import operation_nerves
from wristward.quiz.item import Item
from wristward.quiz.wording import source_name
from wristward.section.section import Section

WORD_TOPICS = ("play", "practice", "progress", "view", "topic", "operation", "side")
DEFAULT_COUNT = 10


def quiz_asset_files(
    sections: Mapping[int, Section], dataset: Dataset, *, items: Iterable[Item] | None = None
) -> dict[str, bytes]:
    """Return the file of the questions by name, the same bytes for the same input.

    Args:
        sections: Right, mean-arm sections at every whole mm.
        dataset: The checked data.
        items: What ``all_items`` returned, where the caller has it already.
    """
    made = tuple(items) if items is not None else all_items(dataset, sections)
    return {"wristward-quiz.js": items_script(made, dataset).encode("utf-8")}


def items_script(items: Iterable[Item], dataset: Dataset) -> str:
    """Return items, topics, words and the names of sources as a classic script."""
    made = sorted(items, key=lambda item: item.id)
    used = {topic for item in made for topic in item.topics}
    words = {key: text for key, text in sorted(dataset.words.items()) if _is_word(key)}
    topics = [
        key.removeprefix("quiz.topic.")
        for key in words
        if key.startswith("quiz.topic.") and any(under(topic, key.removeprefix("quiz.topic.")) for topic in used)
    ]
    nerves = {id_: list(ids) for id_, ids in operation_nerves(dataset).items() if f"quiz.operation.{id_}" in words}
    cited = sorted({source for item in made for source in item.sources})
    sources = {source: source_name(dataset.sources[source]) for source in cited}
    values = {
        "items": [plain_item(item) for item in made],
        "kinds": {kind: plain_kind(row) for kind, row in sorted({item.kind: item.row for item in made}.items())},
        "topics": topics,
        "operations": list(nerves),
        "nerves": nerves,
        "words": words,
        "sources": sources,
        **_english(**sources),
    }
    body = script_json(values)
    # A browser reads JSON in a text in half the time it takes for the same as a literal.
    return f"(globalThis.wristward??={{}}).quizData=JSON.parse({json.dumps(body, ensure_ascii=False)});\n"


def plain_item(item: Item) -> dict[str, Any]:
    """Return an item as the browser reads it; the fact stays behind, its hash is the id."""
    return {
        "id": item.id,
        "kind": item.kind,
        "form": item.form,
        "edition": edition(item),
        "topics": list(item.topics),
        "stem": item.stem,
        "options": [
            {"text": one.text, "right": one.right, "why": one.why, **_english(text=one.text, why=one.why)}
            for one in item.options
        ],
        "z": item.z_mm,
        "shows": item.shows_section,
        "target": item.target,
        "marks": list(item.marks),
        "credit": list(item.credit),
        "why": item.why,
        "sources": list(item.sources),
        **_english(stem=item.stem, why=item.why),
    }


def plain_kind(kind: QuizKind) -> dict[str, bool]:
    """Return what is special about a kind of question in the browser; nothing where it is a plain one."""
    special = {"drawn_alike": kind.drawn_alike, "in_order": kind.in_order, "before_list": kind.before_list}
    return {key: True for key, holds in special.items() if holds}


def _english(**texts: str) -> dict[str, list[str]]:
    """Return which texts are English on a page that is not; nothing where all are as the page is."""
    names = [name for name, text in texts.items() if language_of(text) == ENGLISH]
    return {"english": names} if names else {}


def edition(item: Item) -> str:
    """Return a hash of what is right: an answer to another edition of a question says nothing of this one."""
    key = [[one.text, one.right] for one in item.options], item.target, item.z_mm, item.credit
    return sha256(json.dumps(key, ensure_ascii=False).encode("utf-8")).hexdigest()[:8]


def quiz_html(
    dataset: Dataset,
    *,
    assets_url: str,
    section_url: str | None,
    topic: str | None = None,
    kinds: Iterable[str] | None = None,
    topics: Iterable[str] | None = None,
    levels_mm: Iterable[int] | None = None,
    ids: Iterable[str] | None = None,
    count: int = DEFAULT_COUNT,
    seed: int = 1,
) -> str:
    """Return a quiz for the foot of a page: a button, and nothing loaded before it is pressed.

    Args:
        dataset: The checked data.
        assets_url: Address of the assets' folder from the page, with a slash at its end.
        section_url: Address of the page "Elbow to wrist" from the page.
        topic: As ``quiz.compose.fits`` has it: an id, its beginning, or "level_120" for a band of 10 mm.
        kinds: Kinds of item; None for all. So with what follows, each as ``quiz.choose.choose`` has it.
        topics: Several topics, of which an item needs one.
        levels_mm: Heights, mm.
        ids: Ids of items.
        count: Items at most.
        seed: Whole number; "another quiz" goes on from it.
    """
    data = {
        "assets": assets_url,
        "section": section_url,
        "topic": topic,
        "kinds": None if kinds is None else sorted(kinds),
        "topics": None if topics is None else sorted(topics),
        "levels": None if levels_mm is None else sorted(levels_mm),
        "ids": None if ids is None else sorted(ids),
        "count": count,
        "seed": seed,
    }
    begin = '<button type="button" class="w-button w-quiz-button w-quiz-main" data-part="begin" hidden>'
    inner = f'{begin}{_say(dataset, "play.begin")}</button><div data-part="quiz"></div>'
    return _host("quiz", dataset, data, inner)


def practice_html(dataset: Dataset, *, assets_url: str, section_url: str | None, count: int = DEFAULT_COUNT) -> str:
    """Return the body of the page Practice."""
    data = {"assets": assets_url, "section": section_url, "count": count}
    inner = f'<p>{_say(dataset, "practice.intro")}</p><div data-part="controls"></div><div data-part="quiz"></div>'
    scoring = f'<p class="w-quiz-source">{_say(dataset, "play.scoring")}</p>'
    # Asked for at once: the quiz begins by itself, and the scripts that ask for these come later.
    early = "".join(
        f'<link rel="preload" as="script" href="{escape(assets_url)}{name}">'
        for name in ("wristward-quiz.js", "wristward-geometry.js")
    )
    return _host("practice", dataset, data, early + inner + scoring)


def progress_html(dataset: Dataset, *, assets_url: str) -> str:
    """Return the body of the page Progress."""
    inner = f'<p>{_say(dataset, "progress.local")}</p><div data-part="table"></div>'
    return _host("progress", dataset, {"assets": assets_url}, inner)


def _host(kind: str, dataset: Dataset, data: dict[str, Any], inner: str) -> str:
    return (
        f'<div class="w-quiz" data-wristward="{kind}"><div data-part="notice"></div>{inner}'
        f"<noscript><p>{_say(dataset, 'play.noscript')}</p></noscript>"
        f"{data_element(data)}</div>"
    )


def _say(dataset: Dataset, key: str) -> str:
    return escape(dataset.words[f"quiz.{key}"])


def _is_word(key: str) -> bool:
    return any(key.startswith(f"quiz.{topic}.") for topic in WORD_TOPICS)

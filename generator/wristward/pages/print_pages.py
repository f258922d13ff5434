"""The page Print, and the documents it leads to: made for paper, each one file that the reader's browser prints."""

from __future__ import annotations

from dataclasses import dataclass

from wristward.export.about import Facts, title_of
from wristward.export.cards import block_cards
from wristward.export.paper import quiz_paper
from wristward.export.print_page import Frame
from wristward.export.question import questions_of
from wristward.export.sheets import named_levels, section_sheets
from wristward.figure.drawing import MODES
from wristward.figure.legend import legend_of
from wristward.pages.atlas import Atlas
from wristward.pages.markdown import front_matter, plain
from wristward.quiz.compose import compose, fits

PRINT = "print.md"
FOLDER = "print"
QUESTIONS, SEED = 12, 1
FEWEST = 6
"""A topic with fewer questions than this has no paper of its own."""

COMMAND = "export print sections.pdf --sheet numbered --levels 195,128,65 --paper a4"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One document for paper."""

    group: str
    path: str
    title: str
    html: str


def print_sheets(atlas: Atlas, *, version: str) -> list[Sheet]:
    """Return every document, in the order of the page; none where the catalogue has no words for them.

    Args:
        atlas: Words, data and sections.
        version: As pages show it.
    """
    words = atlas.dataset.words
    if "print.title" not in words:
        return []
    frame = Frame(words=words, version=version, language=atlas.dataset.language, back="../print.html")
    legend = legend_of(atlas.dataset)
    levels = named_levels(atlas.dataset, atlas.sections) or [
        (z_mm, "") for z_mm in sorted(atlas.sections, reverse=True)[::40]
    ]
    sheets = [
        Sheet(
            group="sections",
            path=f"{FOLDER}/sections-{mode}.html",
            title=words[f"print.sections.{mode}"],
            html=section_sheets(atlas.sections, legend, frame, levels=levels, mode=mode),
        )
        for mode in MODES
    ]
    if atlas.dataset.has("branches") and atlas.dataset.branches.blocks:
        sheets.append(
            Sheet(
                group="cards",
                path=f"{FOLDER}/block-cards.html",
                title=words["print.cards.title"],
                html=block_cards(atlas.dataset, atlas.sections, legend, frame),
            )
        )
    return sheets + _papers(atlas, frame)


def _papers(atlas: Atlas, frame: Frame) -> list[Sheet]:
    items, words = atlas.quiz_items, frame.words
    topics = [key.removeprefix("quiz.topic.") for key in words if key.startswith("quiz.topic.")]
    sheets = []
    for topic in topics:
        asked = None if topic == "all" else topic
        if sum(fits(item, asked) for item in items) < FEWEST:
            continue
        quiz = compose(items, topic=asked, count=QUESTIONS, seed=SEED)
        questions, _ = questions_of(quiz, atlas.dataset, atlas.sections)
        facts = Facts(topic=asked, seed=SEED, version=frame.version, language=frame.language)
        sheets.append(
            Sheet(
                group="paper",
                path=f"{FOLDER}/quiz-{topic.replace('_', '-')}.html",
                title=title_of(words, facts),
                html=quiz_paper(questions, facts, frame),
            )
        )
    return sheets


def print_page(atlas: Atlas, sheets: list[Sheet]) -> str:
    """Return the page Print as Markdown."""
    words = atlas.words
    title = words("print.title")
    parts = [front_matter(title=title, description=words("print.description")), f"# {title}\n\n{words('print.lead')}\n"]
    for group in dict.fromkeys(sheet.group for sheet in sheets):
        parts.append(f"\n## {words(f'print.group.{group}')}\n\n")
        parts += [f"- [{plain(sheet.title)}]({sheet.path})\n" for sheet in sheets if sheet.group == group]
        if group == "paper":
            parts.append(f"\n{words('print.paper_note')}\n")
    parts.append(f"\n{words('print.command', command=f'`{COMMAND}`')}\n")
    return "".join(parts)

"""What every export says of itself: licence, cautions, version, and what each question lost on the way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from wristward.export.question import LeftOut, Question


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What is said of a quiz as a whole."""

    topic: str | None
    seed: int
    version: str
    """Hash of data and program, as pages show it."""

    language: str
    """Of the dataset, and so of every word; a text in another one says so where it stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Package:
    """Files of an export by name, and the report on it, a line an entry."""

    files: Mapping[str, bytes]
    report: tuple[str, ...]


def title_of(words: Mapping[str, str], facts: Facts) -> str:
    """Return the quiz's title."""
    if facts.topic is None:
        return words["export.quiz_title_all"]
    known = f"quiz.topic.{facts.topic}", f"quiz.operation.{facts.topic}"
    topic = next((words[key] for key in known if key in words), facts.topic.replace("_", " "))
    return words["export.quiz_title"].format(topic=topic)


def report_of(words: Mapping[str, str], questions: Sequence[Question], left: Sequence[LeftOut]) -> list[str]:
    """Return a line for every question: its kind, the form it took, what changed; then those left out."""
    lines = []
    for number, one in enumerate(questions, start=1):
        lines.append(
            words["export.report.question"].format(
                number=number,
                kind=kind_words(words, one.kind),
                form=words[f"export.report.form.{one.form}"],
                change="; ".join(one.changes) or words["export.report.unchanged"],
            )
        )
    lines += [words["export.report.left"].format(kind=kind_words(words, one.kind), reason=one.reason) for one in left]
    return lines


def kind_words(words: Mapping[str, str], kind: str) -> str:
    """Return what a kind of question is called."""
    return words[f"quiz.kind.{kind}"]


def about_text(words: Mapping[str, str], facts: Facts, report: Sequence[str], sources: Sequence[str]) -> bytes:
    """Return the file about.txt."""
    parts = [
        title_of(words, facts),
        words["export.version"].format(version=facts.version, seed=facts.seed),
        words["export.licence"].strip(),
        words["export.cautions"].strip(),
        "\n".join(report),
        words["export.source"].format(names="\n  ".join(["", *sorted(set(sources))])),
    ]
    return ("\n\n".join(parts) + "\n").encode("utf-8")

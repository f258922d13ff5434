"""The command ``export``: a quiz for a learning-management system, written whole or not at all."""

from __future__ import annotations

from pathlib import Path

from wristward.cli.data import read_data, shown_version, solve_data
from wristward.cli.errors import CommandError
from wristward.cli.files import check_target, write_whole
from wristward.cli.quiz import asked_quiz
from wristward.export.about import Facts, Package
from wristward.export.archive import zip_bytes
from wristward.export.qti import QTI_3, QTI_21
from wristward.export.qti_package import qti_package
from wristward.export.question import questions_of
from wristward.export.scorm import scorm_package
from wristward.quiz.compose import Asked

MOST_QUESTIONS = 200


def export(options) -> int:
    """Write one export and print what became of each question.

    Raises:
        CommandError: If the file cannot be written, or no item has the topic.
        DataError: If the data is wrong.
    """
    target: Path = options.out
    if options.format == "print":
        from wristward.cli.pdf import export_print

        return export_print(options)
    check_target(target, ".zip")
    if not 1 <= options.count <= MOST_QUESTIONS:
        raise CommandError(f"--count is {options.count} (allowed: 1 to {MOST_QUESTIONS})")
    dataset = read_data(options)
    sections = solve_data(dataset, options)
    quiz = asked_quiz(options, dataset, sections)
    package = _package(options, quiz, dataset, sections)
    content = zip_bytes(package.files)
    write_whole(target, content)
    print("\n".join(package.report))
    done = dataset.words["export.report.done"]
    print(done.format(file=target, count=len(quiz), bytes=len(content)))
    return 0


def _package(options, quiz: tuple[Asked, ...], dataset, sections) -> Package:
    facts = Facts(topic=options.topic, seed=options.seed, version=shown_version(options), language=dataset.language)
    if options.format == "scorm":
        return scorm_package(quiz, dataset, sections, facts)
    dialect = QTI_3 if options.format == "qti3" else QTI_21
    questions, left = questions_of(quiz, dataset, sections)
    return qti_package(questions, left, dialect, dataset.words, facts, plain=options.plain)

"""The command ``export``: a quiz for a learning-management system, written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from generator.cli import CommandError
from generator.cli_data import data_folders, read_data, solve_data
from generator.export.about import Facts, Package
from generator.export.archive import zip_bytes
from generator.export.qti import QTI_3, QTI_21
from generator.export.qti_package import qti_package
from generator.export.question import questions_of
from generator.export.scorm import scorm_package
from generator.pages import version
from generator.quiz.bank import all_items
from generator.quiz.compose import Asked, compose

MOST_QUESTIONS = 200


def export(options) -> int:
    """Write one export and print what became of each question.

    Raises:
        CommandError: If the file cannot be written, or no item has the topic.
        DataError: If the data is wrong.
    """
    target: Path = options.out
    if options.format == "print":
        from generator.cli_print import export_print

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


def asked_quiz(options, dataset, sections) -> tuple[Asked, ...]:
    """Return the quiz that the options ask for.

    Raises:
        CommandError: If no item has the topic.
    """
    quiz = compose(all_items(dataset, sections), topic=options.topic, count=options.count, seed=options.seed)
    if not quiz:
        raise CommandError(f"--topic is '{options.topic}': no item has this topic")
    return quiz


def _package(options, quiz: tuple[Asked, ...], dataset, sections) -> Package:
    facts = Facts(topic=options.topic, seed=options.seed, version=shown_version(options))
    if options.format == "scorm":
        return scorm_package(quiz, dataset, sections, facts)
    dialect = QTI_3 if options.format == "qti3" else QTI_21
    questions, left = questions_of(quiz, dataset, sections)
    return qti_package(questions, left, dialect, dataset.words, facts, plain=options.plain)


def shown_version(options) -> str:
    """Return the hash of program and data as pages show it."""
    folder, overlays = data_folders(options)
    return version.version_hash((folder, *overlays))[: version.SHOWN]


def check_target(target: Path, suffix: str) -> None:
    if target.suffix.lower() != suffix:
        raise CommandError(f"{target}: the file's name must end with '{suffix}'")
    if target.is_dir():
        raise CommandError(f"{target}: this is a folder (give a file's name)")
    if not target.absolute().parent.is_dir():
        raise CommandError(f"{target.parent}: there is no such folder")


def write_whole(target: Path, content: bytes) -> None:
    """Write a file beside its place and move it there, so that a reader finds the old one or the new one.

    Raises:
        CommandError: If it cannot be written.
    """
    name = None
    try:
        handle, name = tempfile.mkstemp(dir=target.absolute().parent, prefix=".wristward-export-")
        with os.fdopen(handle, "wb") as file:
            file.write(content)
        os.chmod(name, 0o644)
        os.replace(name, target)
    except OSError as error:
        if name is not None and os.path.exists(name):
            os.unlink(name)
        raise CommandError(f"{target}: cannot be written ({error.strerror or error})") from error

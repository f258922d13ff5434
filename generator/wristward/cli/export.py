"""The command ``export`` for formats that hold a quiz: written whole or not at all."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable
from pathlib import Path

from wristward.cli.data import read_data, shown_version, solve_data
from wristward.cli.errors import CommandError
from wristward.cli.files import check_target, write_whole
from wristward.cli.quiz import asked_quiz
from wristward.export.about import Facts, Package
from wristward.export.archive import zip_bytes

MOST_QUESTIONS = 200


def export_quiz(options: Namespace, package: Callable[..., Package]) -> int:
    """Write one quiz and print what became of each question.

    Args:
        options: Of the command.
        package: Given the quiz, the data, its sections and the facts of the export, returns the package.

    Raises:
        CommandError: If the file cannot be written, or no item has the topic.
        DataError: If the data is wrong.
    """
    target: Path = options.out
    check_target(target, ".zip")
    if not 1 <= options.count <= MOST_QUESTIONS:
        raise CommandError(f"--count is {options.count} (allowed: 1 to {MOST_QUESTIONS})")
    dataset = read_data(options)
    sections = solve_data(dataset, options)
    quiz = asked_quiz(options, dataset, sections)
    facts = Facts(topic=options.topic, seed=options.seed, version=shown_version(options), language=dataset.language)
    made = package(quiz, dataset, sections, facts)
    content = zip_bytes(made.files)
    write_whole(target, content)
    print("\n".join(made.report))
    done = dataset.words["export.report.done"]
    print(done.format(file=target, count=len(quiz), bytes=len(content)))
    return 0

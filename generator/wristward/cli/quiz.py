"""The command ``quiz``: a quiz drawn by topic and seed, in words or as JSON."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Mapping

from wristward.cli.data import print_json, read_data, solve_data
from wristward.cli.errors import CommandError
from wristward.data.dataset import Dataset
from wristward.quiz.bank import all_items, quiz_report
from wristward.quiz.compose import Asked, compose
from wristward.section.section import Section


def print_quiz(options: Namespace) -> int:
    """Draw and print one quiz with its key.

    Raises:
        CommandError: If no item has the topic.
        DataError: If the data is wrong.
    """
    dataset = read_data(options)
    sections = solve_data(dataset, options)
    try:
        report = quiz_report(dataset, sections, options.topic, options.count, options.seed)
    except ValueError as error:
        raise CommandError(f"--topic is '{options.topic}': {error}") from error
    if options.json:
        print_json(report)
        return 0
    for number, item in enumerate(report["items"], 1):
        print(f"{number}. {item['stem']}")
        for option in item["options"]:
            print(f"   {'+' if option['right'] else '-'} {option['text']}")
        print(f"   {item['why']}")
    return 0


def asked_quiz(options: Namespace, dataset: Dataset, sections: Mapping[int, Section]) -> tuple[Asked, ...]:
    """Return the quiz that the options ask for.

    Raises:
        CommandError: If no item has the topic.
    """
    quiz = compose(all_items(dataset, sections), topic=options.topic, count=options.count, seed=options.seed)
    if not quiz:
        raise CommandError(f"--topic is '{options.topic}': no item has this topic")
    return quiz

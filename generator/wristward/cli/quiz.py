"""The command ``quiz``: a quiz drawn by topic and seed, in words or as JSON."""

from __future__ import annotations

from generator.cli import CommandError
from generator.cli_data import print_json, read_data, solve_data
from generator.quiz.bank import quiz_report


def print_quiz(options) -> int:
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

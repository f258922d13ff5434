"""The commands ``window`` and ``coverage``: the block model in words or as JSON. No section is solved for them."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator, Mapping

from wristward.block.coverage_report import CoverageReport, coverage_report
from wristward.block.report import percent, spared_words, window_report
from wristward.block.reported import WindowReport
from wristward.block.sure import SureReport, sure_report
from wristward.cli.data import print_json, read_data
from wristward.cli.errors import CommandError
from wristward.data.dataset import Dataset
from wristward.measure.text import height_words


def print_window(options: Namespace) -> int:
    """Print where along the forearm a block does what it should.

    Raises:
        CommandError: If nerve, arm or volume is not there.
        DataError: If the data is wrong.
    """
    dataset = read_data(options)
    asked = {"nerve": options.nerve, "volume_ml": options.volume_ml, "arm": options.arm, "reading": options.reading}
    report: WindowReport | SureReport
    try:
        if options.spread == "decreasing":
            report = sure_report(dataset, **asked)
            lines = _sure_lines(dataset, report)
        else:
            report = window_report(dataset, **asked)
            lines = _window_lines(dataset.words, report)
    except ValueError as error:
        raise CommandError(str(error)) from error
    if options.json:
        print_json(report.plain())
    else:
        print("\n".join(lines))
    return 0


def print_coverage(options: Namespace) -> int:
    """Print which nerves an operation needs.

    Raises:
        CommandError: If there is no such operation.
        DataError: If the data is wrong.
    """
    dataset = read_data(options)
    try:
        report = coverage_report(dataset, options.operation)
    except ValueError as error:
        raise CommandError(str(error)) from error
    if options.json:
        print_json(report.plain())
    else:
        print("\n".join(_coverage_lines(dataset, report)))
    return 0


def _window_lines(words: Mapping[str, str], report: WindowReport) -> Iterator[str]:
    yield words["block.command.window"].format(
        nerve=report.name,
        ml=f"{report.volume_ml:g}",
        arm=report.arm.name,
        reading=words[f"block.reading.{report.reading}"],
    )
    yield report.sentence
    if report.in_reach:
        yield from report.limits
        best = report.window.best_mm
        yield words["block.command.events"].format(at=height_words(best, words))
        for event in report.events:
            yield words["block.command.event"].format(
                name=event.name,
                role=words[f"block.role.{event.role}"],
                chance=percent(event.chance_caught[round(best)], words),
            )
        yield report.orders[report.reading].says
    if report.grip is not None:
        yield report.grip
    yield report.assumed.says
    yield words["site.cautions.short"].strip()


def _sure_lines(dataset: Dataset, report: SureReport) -> Iterator[str]:
    yield report.sentence
    yield from report.says
    spared = spared_words(dataset)
    if spared is not None and dataset.branches.blocks[report.nerve].unwanted:
        yield spared
    yield dataset.words["site.cautions.short"].strip()


def _coverage_lines(dataset: Dataset, report: CoverageReport) -> Iterator[str]:
    words, names = dataset.words, dataset.structures
    yield words["block.command.coverage"].format(operation=report.name)
    if report.cuff.says is not None:
        yield report.cuff.says
    for layer, found in report.layers.items():
        yield ""
        yield words[f"block.command.layer.{layer}"] + ": " + "; ".join(one.name for one in found.territories)
        for nerve in found.nerves:
            yield "  " + words["block.command.needed"].format(nerve=nerve.name, chance=percent(nerve.needed_in, words))
        smallest = found.smallest
        yield "  " + words["block.command.smallest"].format(
            asked=percent(report.covered_at_least, words),
            nerves="; ".join(names[one].name for one in smallest.nerves) or words["block.command.nothing"],
            covered=percent(smallest.covered, words),
        )
        for left, share in found.left_out.items():
            yield "  " + words["block.command.left_out"].format(nerve=names[left].name, chance=percent(share, words))
        for one in found.above:
            yield "  " + words["block.command.above"].format(nerve=names[one.nerve].name, event=one.name)
    yield ""
    yield words["site.cautions.short"].strip()

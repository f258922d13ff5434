"""The command ``export print``: sections, block-level cards or a quiz as a PDF, where a Chromium is installed."""

from __future__ import annotations

import re
import subprocess
import tempfile
from argparse import Namespace
from collections.abc import Mapping
from pathlib import Path

from wristward.cli.browser import ARGUMENTS, VARIABLE, BrowserError, installed_browser
from wristward.cli.data import read_data, shown_version, solve_data
from wristward.cli.errors import CommandError
from wristward.cli.files import check_target, write_whole
from wristward.cli.quiz import asked_quiz
from wristward.data.dataset import Dataset
from wristward.export.about import Facts
from wristward.export.cards import block_cards
from wristward.export.paper import quiz_paper
from wristward.export.print_page import Frame
from wristward.export.question import questions_of
from wristward.export.sheets import named_levels, section_sheets
from wristward.figure.legend import legend_of
from wristward.measure.arm import MEAN, as_in_arm
from wristward.section.section import Section

SECONDS = 180
DATES = re.compile(rb"/(CreationDate|ModDate) \(D:[^)]*\)")
DAY = b"19800101000000"


def export_print(options: Namespace) -> int:
    """Write one PDF.

    Raises:
        CommandError: If there is no browser, a level is not there, or the file cannot be written.
        DataError: If the data is wrong.
    """
    check_target(options.out, ".pdf")
    try:
        browser = installed_browser()
    except BrowserError as error:
        raise CommandError(str(error)) from error
    if browser is None:
        raise CommandError(
            "a PDF is printed by Chromium, Chrome or Edge, and none was found (install one, set "
            f"{VARIABLE}, or print the page Print of the built site)"
        )
    dataset = read_data(options)
    html = _html(options, dataset, solve_data(dataset, options))
    content = pdf_of(html, browser)
    write_whole(options.out, content)
    print(dataset.words["print.done"].format(file=options.out, bytes=len(content)))
    return 0


def _html(options: Namespace, dataset: Dataset, sections: Mapping[int, Section]) -> str:
    frame = Frame(words=dataset.words, version=shown_version(options), language=dataset.language, paper=options.paper)
    legend = legend_of(dataset)
    if options.sheet == "cards":
        return block_cards(dataset, sections, legend, frame)
    if options.sheet == "quiz":
        questions, _ = questions_of(asked_quiz(options, dataset, sections), dataset, sections)
        facts = Facts(topic=options.topic, seed=options.seed, version=frame.version, language=frame.language)
        return quiz_paper(questions, facts, frame)
    levels = _levels(options.levels, dataset, sections)
    turned = {z_mm: as_in_arm(sections[z_mm], arm=MEAN, side=options.side) for z_mm, _ in levels}
    return section_sheets(turned, legend, frame, levels=levels, mode=options.sheet)


def _levels(asked: str | None, dataset: Dataset, sections: Mapping[int, Section]) -> list[tuple[int, str]]:
    named = named_levels(dataset, sections)
    if asked is None:
        return named
    names, levels = dict(named), []
    for word in asked.split(","):
        if not word.strip().isdecimal() or int(word) not in sections:
            raise CommandError(
                f"--levels has '{word.strip()}' (allowed: whole numbers from {min(sections)} to {max(sections)}, "
                "with commas between them)"
            )
        levels.append((int(word), names.get(int(word), "")))
    return list(dict(levels).items())


def pdf_of(html: str, browser: str) -> bytes:
    """Print a document that needs nothing else, with the time of printing taken out of it.

    Raises:
        CommandError: If the browser makes no PDF.
    """
    with tempfile.TemporaryDirectory(prefix="wristward-print-") as name:
        page, made = Path(name, "page.html"), Path(name, "page.pdf")
        page.write_text(html, encoding="utf-8", newline="\n")
        command = [
            browser, "--headless", *ARGUMENTS, f"--user-data-dir={Path(name, 'profile')}",
            "--no-pdf-header-footer", f"--print-to-pdf={made}", page.as_uri(),
        ]  # fmt: skip
        try:
            done = subprocess.run(command, capture_output=True, timeout=SECONDS)
        except (OSError, subprocess.TimeoutExpired) as error:
            raise CommandError(f"{browser} could not print: {error}") from error
        if not made.is_file():
            said = done.stderr.decode("utf-8", "replace").strip().splitlines()[-1:]
            raise CommandError(f"{browser} printed nothing (exit code {done.returncode}) {' '.join(said)}".rstrip())
        return DATES.sub(_undated, made.read_bytes())


def _undated(found: re.Match[bytes]) -> bytes:
    """Return an entry of the same length with one day for all; places in the file stay as they are."""
    start = found[0].index(b"D:") + 2
    return found[0][:start] + DAY + found[0][start + len(DAY) :]

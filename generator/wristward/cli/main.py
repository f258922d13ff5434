"""The commands. Each does its work in a module of its own; here are their options, help and errors.

An author's mistake ends with its problems, one a line, and exit code 1; never with a traceback. A mistake in the
command line ends with exit code 2, an interrupted command with 130.
"""

from __future__ import annotations

import argparse
import sys
from argparse import Namespace
from collections.abc import Callable, Sequence
from pathlib import Path

from wristward.cli.errors import CommandError
from wristward.cli.formats import FORMATS
from wristward.errors import DataError

EXAMPLES = {
    "new": "python3 -m generator new ../my-course",
    "serve": "python3 -m generator serve --port 8001",
    "build": "python3 -m generator build --site-dir public",
    "check": "python3 -m generator check",
    "section": "python3 -m generator section --z-mm 195 --side left --arm large --json",
    "quiz": "python3 -m generator quiz --topic heights --count 20 --seed 7 --json",
    "export": "python3 -m generator export qti3 heights.zip --topic heights --count 20 --seed 7",
    "window": "python3 -m generator window --nerve ID --volume-ml 5 --arm small --reading parting --json",
    "coverage": "python3 -m generator coverage --operation ID --json",
    "test": "python3 -m generator test --long",
}


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        arguments: Words behind the program's name; by default the process's own.

    Returns:
        The exit code.
    """
    # Help and messages hold signs beyond Latin-1; a console set up for less shows marks instead of failing.
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    options, rest = command_parser().parse_known_args(arguments)
    if rest and options.command != "test":
        command_parser().error(f"unrecognized arguments: {' '.join(rest)}")
    options.rest = rest
    try:
        code: int = options.run(options)
        return code
    except DataError as error:
        print(error, file=sys.stderr)
        count = len(error.problems)
        print(f"wristward: {count} problem{'' if count == 1 else 's'} in the data", file=sys.stderr)
        return 1
    except CommandError as error:
        print(error, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130


def command_parser() -> argparse.ArgumentParser:
    """Return the parser of every command with its options."""
    parser = argparse.ArgumentParser(
        prog="wristward",
        description="Forearm sections at every millimetre, from YAML to a teaching site.",
        epilog="Examples:\n" + "\n".join(f"  {example}" for example in EXAMPLES.values()),
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    commands = parser.add_subparsers(dest="command", metavar="command", required=True)

    new = _command(commands, "new", _new, "Write a small course of your own, on the packaged anatomy, to a new folder.")
    new.add_argument("folder", type=Path, metavar="FOLDER", help="a new or an empty folder")

    serve = _command(commands, "serve", _serve, "Build the site, show it on this machine, and rebuild on every change.")
    serve.add_argument("--host", default="127.0.0.1", help="address to listen on (default: %(default)s)")
    serve.add_argument("--port", type=int, default=8000, help="port to listen on (default: %(default)s)")
    serve.add_argument("--open", action="store_true", help="open the site in a browser")
    serve.add_argument(
        "--arms", action="store_true", help="with the arms drawn otherwise, whose sections take longer to solve"
    )
    _site_options(serve)

    build = _command(commands, "build", _build, "Write the site to a folder that can be opened, copied or served.")
    build.add_argument("--without-arms", action="store_true", help="leave out the arms that are drawn otherwise")
    _site_options(build)

    check = _command(
        commands,
        "check",
        _check,
        "Read the data, solve every section, evaluate every relation at every millimetre.",
    )
    check.add_argument("--arm", metavar="ID", help="check one arm alone (default: the drawn one and all others)")
    _data_options(check)

    section = _command(commands, "section", _section, "Print one section: names, depths, neighbours, warnings.")
    section.add_argument("--z-mm", type=float, required=True, metavar="N", help="height above the lower end, mm")
    section.add_argument("--side", choices=("right", "left"), default="right", help="default: %(default)s")
    section.add_argument("--arm", default="mean", metavar="ID", help="an arm of arms/ (default: %(default)s)")
    section.add_argument("--json", action="store_true", help="print JSON, with the outlines in mm")
    _data_options(section)

    quiz = _command(commands, "quiz", _quiz, "Print a quiz computed from the model; the same seed gives the same quiz.")
    quiz.add_argument("--topic", metavar="ID", help="structure or operation, or the beginning of one (default: all)")
    quiz.add_argument("--count", type=int, default=10, metavar="N", help="questions at most (default: %(default)s)")
    quiz.add_argument("--seed", type=int, default=1, metavar="N", help="default: %(default)s")
    quiz.add_argument("--json", action="store_true", help="print JSON, with sources and reasons")
    _data_options(quiz)

    formats = [one.says for one in FORMATS.values()]
    export = _command(
        commands, "export", _export, "Write a quiz for a learning-management system, saying what became of each question; or sheets as PDF.",
    )  # fmt: skip
    export.add_argument("format", choices=tuple(FORMATS), help=" or ".join([", ".join(formats[:-1]), formats[-1]]))
    export.add_argument("out", type=Path, metavar="OUT", help="file to write")
    export.add_argument("--topic", metavar="ID", help="structure or operation, or the beginning of one (default: all)")
    export.add_argument("--count", type=int, default=10, metavar="N", help="questions at most (default: %(default)s)")
    export.add_argument("--seed", type=int, default=1, metavar="N", help="default: %(default)s")
    export.add_argument(
        "--plain", action="store_true", help="QTI: standard scoring templates, no feedback (for strict importers)"
    )
    export.add_argument(
        "--sheet", choices=("named", "unlabelled", "numbered", "cards", "quiz"), default="named",
        help="print: sections in one of three ways, block-level cards, or a quiz (default: %(default)s)",
    )  # fmt: skip
    export.add_argument("--levels", metavar="N,N", help="print: heights in whole mm (default: the named levels)")
    export.add_argument("--side", choices=("right", "left"), default="right", help="print: default: %(default)s")
    export.add_argument("--paper", choices=("a4", "letter"), default="a4", help="print: default: %(default)s")
    _data_options(export)

    window = _command(
        commands, "window", _window, "Print where a nerve is caught and the muscles above the hand spared."
    )
    window.add_argument("--nerve", required=True, metavar="ID", help="nerve, or the beginning of its id")
    window.add_argument("--volume-ml", type=float, required=True, metavar="N", help="volume, mL")
    window.add_argument("--arm", default="mean", metavar="ID", help="an arm of arms/ (default: %(default)s)")
    window.add_argument(
        "--reading", choices=("take_off", "parting"), default="take_off",
        help="where a branch is counted, wanted or not (default: %(default)s)",
    )  # fmt: skip
    window.add_argument(
        "--spread", choices=("line", "decreasing"), default="line",
        help="line: each mL wets as much as the one before; decreasing: less, with how sure each number is"
        " (default: %(default)s)",
    )  # fmt: skip
    window.add_argument("--json", action="store_true", help="print JSON, with the chances at every millimetre")
    _data_options(window)

    coverage = _command(commands, "coverage", _coverage, "Print which nerves an operation of the scenario needs.")
    coverage.add_argument("--operation", required=True, metavar="ID", help="operation of operations.yaml")
    coverage.add_argument("--json", action="store_true", help="print JSON, with every kind of hand")
    _data_options(coverage)

    test = _command(
        commands, "test", _test, "Run every check: lint, then the tests, with a browser found or installed.",
        more="Further words are handed to pytest: `python3 -m generator test tests/cli -k help`.",
    )  # fmt: skip
    test.add_argument("--long", action="store_true", help="add the tests that take minutes")
    return parser


def _command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    run: Callable[[Namespace], int],
    help_text: str,
    *,
    more: str = "",
) -> argparse.ArgumentParser:
    command = commands.add_parser(
        name,
        help=help_text,
        description=help_text,
        epilog=(more + "\n\n" if more else "") + f"Example:\n  {EXAMPLES[name]}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    command.set_defaults(run=run)
    return command


def _site_options(command: argparse.ArgumentParser) -> None:
    command.add_argument("--config", type=Path, default=Path("mkdocs.yml"), help="default: %(default)s")
    command.add_argument("--site-dir", type=Path, help="folder of the finished site (default: as in the configuration)")


def _data_options(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--config",
        type=Path,
        help="the site whose data and overlays are meant (default: mkdocs.yml, where there is one)",
    )
    command.add_argument("--data", type=Path, help="data folder, in place of the site's (default: the packaged one)")
    command.add_argument(
        "--overlay", type=Path, action="append", default=[], metavar="FOLDER", help="changes laid over it; repeatable"
    )
    command.add_argument("--language", metavar="ID", help="of names and sentences, such as de (default: the site's)")
    command.add_argument("--cache", type=Path, help="solved sections (default: the site's .cache)")


# The commands are imported when they are run: `section --help` need not load mkdocs.


def _new(options: Namespace) -> int:
    from wristward.cli.new import new_course

    return new_course(options)


def _serve(options: Namespace) -> int:
    from wristward.cli.site import serve

    return serve(options)


def _build(options: Namespace) -> int:
    from wristward.cli.site import build

    return build(options)


def _check(options: Namespace) -> int:
    from wristward.cli.check import check

    return check(options)


def _section(options: Namespace) -> int:
    from wristward.cli.section import print_section

    return print_section(options)


def _quiz(options: Namespace) -> int:
    from wristward.cli.quiz import print_quiz

    return print_quiz(options)


def _export(options: Namespace) -> int:
    return FORMATS[options.format].write(options)


def _window(options: Namespace) -> int:
    from wristward.cli.blocks import print_window

    return print_window(options)


def _coverage(options: Namespace) -> int:
    from wristward.cli.blocks import print_coverage

    return print_coverage(options)


def _test(options: Namespace) -> int:
    from wristward.cli.checks.test import run_tests

    return run_tests(options)

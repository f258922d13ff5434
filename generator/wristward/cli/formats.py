"""What the command ``export`` can write, a row a format. What makes one is loaded when it is asked for, not for help."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial


@dataclass(frozen=True, slots=True, kw_only=True)
class Format:
    """One format by what it is called and what writes it."""

    says: str
    write: Callable[[Namespace], int]
    """Given the command's options, writes the file and returns the exit code."""


def _qti_3(options: Namespace) -> int:
    from wristward.cli.export import export_quiz
    from wristward.export.qti import QTI_3
    from wristward.export.qti_package import qti_quiz

    return export_quiz(options, partial(qti_quiz, dialect=QTI_3, plain=options.plain))


def _qti_21(options: Namespace) -> int:
    from wristward.cli.export import export_quiz
    from wristward.export.qti import QTI_21
    from wristward.export.qti_package import qti_quiz

    return export_quiz(options, partial(qti_quiz, dialect=QTI_21, plain=options.plain))


def _scorm(options: Namespace) -> int:
    from wristward.cli.export import export_quiz
    from wristward.export.scorm import scorm_package

    return export_quiz(options, scorm_package)


def _print(options: Namespace) -> int:
    from wristward.cli.pdf import export_print

    return export_print(options)


FORMATS: dict[str, Format] = {
    "qti3": Format(says="QTI 3.0", write=_qti_3),
    "qti21": Format(says="QTI 2.1", write=_qti_21),
    "scorm": Format(says="SCORM 1.2", write=_scorm),
    "print": Format(says="PDF", write=_print),
}
"""Every format by the word that asks for it."""

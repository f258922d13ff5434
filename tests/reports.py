"""Reports on blocks as the commands print them: plain values, read back from their text."""

import json

from wristward.block import coverage_report as coverage
from wristward.block import report as window


def window_report(dataset, **asked):
    """Return what ``window --json`` prints."""
    return _printed(window.window_report(dataset, **asked))


def coverage_report(dataset, operation):
    """Return what ``coverage --json`` prints."""
    return _printed(coverage.coverage_report(dataset, operation))


def _printed(report):
    return json.loads(json.dumps(report.plain(), allow_nan=False))

"""What is said when a tune with errors was to be printed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from reedwright.cli.codes import FAULTY
from reedwright.cli.source import Source
from reedwright.cli.terminal import Terminal
from reedwright.tune.findings import Severity

if TYPE_CHECKING:
    from reedwright.check.check import Report


def refuse(report: Report, source: Source, terminal: Terminal) -> int:
    """Show the errors (warnings and advice are for `check`); the exit code for a faulty tune."""
    from reedwright.check.as_text import report_text

    errors = replace(report, findings=report.of(Severity.ERROR))
    text = report_text(errors, source.lines, colour=terminal.colour_of_errors)
    terminal.complain(text.rstrip("\n"))
    terminal.complain("No sheet was made: mend the errors first.")
    return FAULTY

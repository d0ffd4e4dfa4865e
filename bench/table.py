"""The table of bench/RESULTS.md: pure text from rows, no machine name in it."""

import os
import platform

from bench.row import Gate, Row

_HEAD = ("what", "measured", "baseline", "ratio", "gate", "kept")


def render(rows: list[Row], machine: str) -> str:
    """Rows as a Markdown page."""
    lines = [
        "# Measured",
        "",
        "Written by `make bench`; every row and its baseline come from the same run.",
        f"Machine: {machine}.",
        "",
        "| " + " | ".join(_HEAD) + " |",
        "|" + "---|" * len(_HEAD),
        *("| " + " | ".join(_cells(row)) + " |" for row in rows),
    ]
    return "\n".join(lines) + "\n"


def machine_line() -> str:
    """Cores and Python version: what a reader needs to judge the numbers, and nothing more."""
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    return (
        f"{cores} cores, {platform.machine()}, {platform.system()}, "
        f"{platform.python_implementation()} {platform.python_version()}"
    )


def _cells(row: Row) -> tuple[str, ...]:
    baseline = "" if row.baseline is None else f"{row.baseline:.3g} {row.unit} {row.baseline_what}"
    ratio = "" if row.ratio is None else f"{row.ratio:.2f}"
    unit = f" {row.unit}" if row.gate is Gate.AT_MOST else ""
    return (
        row.what,
        f"{row.measured:.3g} {row.unit}",
        baseline.strip(),
        ratio,
        f"{row.gate.value} {row.limit:g}{unit}",
        "yes" if row.passed else "NO",
    )

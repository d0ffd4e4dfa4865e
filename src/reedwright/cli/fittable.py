"""`reedwright fit --table`: the best harp for every melody of many files, on all cores.

Conventions: rows stand in the order of the files and, in a book, of its tunes. A melody that cannot
be read or played has a row that says why; the others go on. The work is shared out in small parcels
to processes of their own, so that a long melody holds nobody up.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass, replace
from fractions import Fraction
from multiprocessing import get_context
from pathlib import Path

from reedwright.cli.codes import FAULTY, FINE
from reedwright.cli.progress import Progress
from reedwright.cli.terminal import Terminal
from reedwright.errors import ReedwrightError, one_line
from reedwright.files import read_bytes
from reedwright.fit.answer import answered
from reedwright.fit.costs import POINT
from reedwright.fit.effort import effort
from reedwright.fit.sources import MAX_BYTES, Source, sources_of
from reedwright.fit.wishes import Wishes
from reedwright.tune.load import SUFFIX

PARCEL = 8
"""Melodies handed over at a time: half a second of work (measured)."""

FEW = 5 * PARCEL
"""Fewer than this are done in this process: others take a second to start (measured)."""

_COLUMNS = ("melody", "harp", "position", "notes", "natural", "bent", "air", "points")


@dataclass(frozen=True, slots=True)
class Job:
    """One melody: where it comes from and its bytes; a tune file (`path`) is read where it is."""

    name: str
    source: Source | None
    path: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """`cells` as `_COLUMNS`, or what was wrong."""

    name: str
    cells: tuple[str, ...] = ()
    fault: str = ""


def table(
    words: Sequence[str], wishes: Wishes, tempo_bpm: Fraction | None, terminal: Terminal
) -> int:
    """Print the table; the exit code: 1 when some melody could not be fitted."""
    jobs = list(_jobs(words))
    lean = replace(wishes, choices=1, tabs=1)
    with Progress(terminal) as progress:
        rows = rows_of(jobs, lean, tempo_bpm, progress)
    for line in table_lines(rows):
        terminal.say(line)
    faults = sum(bool(row.fault) for row in rows)
    said = f"{len(rows) - faults} of {len(rows)} melodies fitted."
    terminal.say(f"{said} Each may still be in copyright; you must know.")
    return FAULTY if faults else FINE


def rows_of(
    jobs: Sequence[Job],
    wishes: Wishes,
    tempo_bpm: Fraction | None,
    progress: Progress | None = None,
    workers: int | None = None,
) -> list[Row]:
    """A row for each job, in their order."""
    many = workers if workers is not None else cores()
    if many < 2 or len(jobs) < FEW:
        rows = []
        for done, job in enumerate(jobs):
            if progress is not None:
                progress.step(done, len(jobs), job.name)
            rows.append(row_of(job, wishes, tempo_bpm))
        return rows
    parcels = [list(jobs[at : at + PARCEL]) for at in range(0, len(jobs), PARCEL)]
    done = 0
    with ProcessPoolExecutor(many, mp_context=get_context("spawn")) as pool:
        futures = [pool.submit(_parcel, parcel, wishes, tempo_bpm) for parcel in parcels]
        waiting: set[Future[list[Row]]] = set(futures)
        while waiting:
            finished, waiting = wait(waiting, return_when=FIRST_COMPLETED)
            done += sum(len(future.result()) for future in finished)
            if progress is not None:
                progress.step(done, len(jobs), f"{done} of {len(jobs)} melodies")
        return [row for future in futures for row in future.result()]


def cores() -> int:
    """Cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _parcel(jobs: list[Job], wishes: Wishes, tempo_bpm: Fraction | None) -> list[Row]:
    return [row_of(job, wishes, tempo_bpm) for job in jobs]


def row_of(job: Job, wishes: Wishes, tempo_bpm: Fraction | None) -> Row:
    """One melody fitted, or why not."""
    from reedwright.breath.settings import default_lungs

    try:
        if job.source is None:
            from reedwright.cli.fit import reading_of

            reading = reading_of(job.path, None, tempo_bpm)
        else:
            reading = job.source.read(None, tempo_bpm)
            if tempo_bpm is not None:
                reading = replace(reading, melody=replace(reading.melody, tempo_bpm=tempo_bpm))
        answer = answered(reading, wishes, effort(), default_lungs())
    except ReedwrightError as error:
        return Row(job.name, fault=str(error).split("\n", 1)[0])
    choice, counted = answer.choices[0].choice, answer.choices[0].verdict
    bent = str(counted.bends) + (f"+{counted.overbends} over" if counted.overbends else "")
    air = "none" if counted.margin_l is None else f"{counted.margin_l:.1f} l"
    played = (str(counted.notes), str(counted.natural), bent, air, f"{choice.cost / POINT:.1f}")
    return Row(job.name, (choice.harp.name, str(choice.position), *played))


def table_lines(rows: Sequence[Row]) -> Iterator[str]:
    """The rows in columns."""
    full = [_COLUMNS, *((one_line(row.name)[:40], *row.cells) for row in rows if row.cells)]
    widths = [max(map(len, column)) for column in zip(*full, strict=True)]
    yield _line(_COLUMNS, widths)
    for row in rows:
        name = one_line(row.name)[:40]
        yield _line((name, *row.cells), widths) if row.cells else f"{name}  {row.fault}"


def _line(cells: Sequence[str], widths: Sequence[int]) -> str:
    words = [
        cell.ljust(width) if at < 2 else cell.rjust(width)
        for at, (cell, width) in enumerate(zip(cells, widths, strict=True))
    ]
    return "  ".join(words).rstrip()


def _jobs(words: Sequence[str]) -> Iterator[Job]:
    """The melodies of the files; one that cannot be read is a job that will say so."""
    for word in words:
        path = Path(word)
        if path.suffix == SUFFIX:
            yield Job(path.stem, None, word)
            continue
        try:
            sources = sources_of(read_bytes(path, MAX_BYTES), path.name)
        except ReedwrightError:
            yield Job(path.name, None, word)  # reading it again tells its fault in its row
            continue
        for source in sources:
            title = " ".join(source.title.split()) or path.stem
            yield Job(title if source.number else path.stem, source)

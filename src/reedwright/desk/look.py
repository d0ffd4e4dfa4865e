"""How a tune looks after an edit: findings, the map of its form, events, breath; one JSON object.

All of it comes from the rooms below, as the commands show it. Measured for the gate of 50 ms from
keystroke to findings (bench/bench_desk.py): what the view does not draw is not worked out, and the
colours of lines that did not change are known.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from reedwright.breath.lungs_header import lungs_faults
from reedwright.check.check import Report, check
from reedwright.desk.tokens import tokens
from reedwright.errors import InputError, Problem
from reedwright.harp.harp import harp_named
from reedwright.harp.position import position_name
from reedwright.lesson.as_json import map_json
from reedwright.lesson.event_json import event_rows
from reedwright.lesson.timing_json import breath_json
from reedwright.performance.perform import perform
from reedwright.performance.tempos import Tempos
from reedwright.performance.values import Performance
from reedwright.tune.findings import Finding
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune
from reedwright.tune.tune import Tune

MOST_BARS = 1_000
"""Longer tunes are checked, but not drawn while they are written (from memory)."""

_TOKEN_END = re.compile(r"[\s&]|$")
_PLAIN_KEY = re.compile(r"^\s*(Title|Harp)\s*:(.{1,200})$", re.IGNORECASE | re.MULTILINE)

Neighbour = Callable[[str], str]


@dataclass(frozen=True, slots=True)
class Looked:
    """A version of a tune, read and checked. `report` is None for a text that cannot be read."""

    version: int
    text: str
    report: Report | None
    problems: tuple[Problem, ...] = ()
    played: Tempos | None = None

    @property
    def ok(self) -> bool:
        return self.report is not None and self.report.ok

    @property
    def score(self) -> Score | None:
        """The placed tune, if it may be printed and played."""
        return self.report.score if self.report is not None and self.report.ok else None


def looked_at(text: str, version: int, name: str, neighbour: Neighbour) -> Looked:
    """Read, place and check. Faults of the text are in the answer, never raised."""
    try:
        score = place(read_tune(text, name, neighbour, lungs_faults))
        played = Tempos(score)
        report = check(score, played)
    except InputError as error:
        return Looked(version, text, None, error.problems)
    return Looked(version, text, report, (), played)


def look_json(looked: Looked) -> dict[str, Any]:
    """All that the views of a tune draw."""
    lines = looked.text.split("\n")
    told: dict[str, Any] = {
        "version": looked.version,
        "ok": looked.ok,
        "findings": [_problem(problem, lines) for problem in looked.problems],
        "tokens": tokens(looked.text),
    }
    if looked.report is None:
        return told | _guessed(looked.text)
    report = looked.report
    score = report.score
    told["findings"] = [_finding(finding, lines) for finding in report.findings]
    told |= _about(score)
    if score.bars <= MOST_BARS:
        told["map"] = map_json(score) | {"licks": _licks(score.tune)}
        rows = zip(event_rows(score, None, report.tones), score.events, strict=True)
        told["events"] = [row | {"line": event.line, "column": event.column} for row, event in rows]
        if looked.ok and score.events:
            told["breath"] = breath_json(_performance(looked, score))
    return told


def _performance(looked: Looked, score: Score) -> Performance:
    """The one at the full tempo, which the check has made already."""
    tempo_bpm = score.tune.full_tempo_bpm
    found = looked.played.at(tempo_bpm)[0] if looked.played is not None else None
    if found is not None and found.tempo_bpm == tempo_bpm:
        return found
    return perform(score, tempo_bpm)


def look_bytes(looked: Looked) -> bytes:
    """The same as JSON text in UTF-8."""
    return json.dumps(look_json(looked), ensure_ascii=False, separators=(",", ":")).encode("utf-8")


def _about(score: Score) -> dict[str, Any]:
    tune = score.tune
    facts = [
        f"{tune.harp.name} harp",
        f"{position_name(tune.position)} position",
        f"in {tune.key_name}",
        str(tune.meter),
        tune.feel.name,
    ]
    return {
        "title": tune.title,
        "about": ", ".join(facts),
        "harp": tune.harp.name,
        "position": tune.position,
        "tempos": [float(tempo) for tempo in tune.tempos_bpm],
        "bars": score.bars,
        "beats": tune.meter.beats,
    }


def _licks(tune: Tune) -> list[dict[str, str]]:
    return [{"name": full.lick.name, "slug": slug} for slug, full in tune.licks.items()]


def _guessed(text: str) -> dict[str, Any]:
    """The title and harp of a text with faults, if its head says them plainly."""
    found = {key.lower(): value.strip() for key, value in _PLAIN_KEY.findall(text[:4000])}
    told = {"title": found.get("title", "")}
    with suppress(InputError):
        told["harp"] = harp_named(found.get("harp", "")).name
    return told


def _problem(problem: Problem, lines: list[str]) -> dict[str, Any]:
    """A fault of the text as a finding."""
    at = problem.place
    return {
        "severity": "error",
        "message": problem.found,
        "rule": problem.rule,
        "mend": problem.mend,
        "line": at.line,
        "column": at.column,
        "end_column": _end(lines, at.line, at.column),
    }


def _finding(finding: Finding, lines: list[str]) -> dict[str, Any]:
    told = finding.as_json()
    told["message"] = told.pop("found")
    told["end_column"] = _end(lines, finding.line, finding.column)
    return told


def _end(lines: list[str], line: int, column: int) -> int:
    """Behind the last letter of what stands at a place."""
    if not 0 < line <= len(lines) or column < 1:
        return column
    found = _TOKEN_END.search(lines[line - 1], column - 1)
    end = found.start() + 1 if found else column
    return max(end, column + 1)

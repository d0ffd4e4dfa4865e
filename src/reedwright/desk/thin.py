"""A long journal made shorter, and the history as people read it. Pure.

Conventions: the newer half of the records stays as it is; of the older half one state a minute
stays, and every text that lost a conflict, as far as there is room. Times in seconds since 1970.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from reedwright.desk.journal import WHOLE_EVERY, Line, Record

MINUTE_S = 60.0
PAUSE_S = 20.0
"""After so long without typing a new state of the history begins (from memory)."""

LONG_S = 300.0
"""However steadily one types, a state of the history is at most so long (from memory)."""

MOST_STATES = 300
MOST_TEXT = 8_000_000
"""Characters of whole texts a thinned journal holds at most."""


def thinned(records: list[Record]) -> list[Line]:
    """The records to keep, as lines of a new journal; the last text, and what the file was last
    known to hold, stay: a change of the file by others is told from that."""
    middle = len(records) // 2
    saved = max((at for at, record in enumerate(records) if record.kind == "saved"), default=-1)
    held = records[saved].version if saved >= 0 else 0
    old = [record for at, record in enumerate(records[:middle]) if _stays(records, at, saved, held)]
    while sum(len(record.text) for record in old) > MOST_TEXT and len(old) > 2:
        half = len(old) // 2
        shorter = [record for record in old[:half] if record.version == held] + old[half:]
        if len(shorter) == len(old):
            break
        old = shorter
    return _lines([*old, *records[middle:]])


def _stays(records: list[Record], at: int, saved: int, held: int) -> bool:
    record = records[at]
    if record.kind == "saved":
        return at == saved
    after = next((one for one in records[at + 1 :] if one.kind != "saved"), None)
    last = after is None or after.at // MINUTE_S != record.at // MINUTE_S
    return last or record.kind == "aside" or record.version == held


def _lines(records: list[Record]) -> list[Line]:
    lines: list[Line] = []
    before: str | None = None
    count = 0
    for record in records:
        if record.kind in ("saved", "aside"):
            lines.append(Line(record))
            continue
        whole = before is None or count >= WHOLE_EVERY
        count = 0 if whole else count + 1
        kind = "text" if whole else "change"
        lines.append(Line(replace(record, kind=kind), None if whole else before))
        before = record.text
    return lines


@dataclass(frozen=True, slots=True)
class Step:
    """A state of the history: its last record, and the text before its first."""

    last: Record
    first_at: float
    before: str

    def goes_on(self, record: Record) -> bool:
        """Whether a record belongs to the same state."""
        last = self.last
        return (
            not (last.why or record.why)
            and last.kind != "aside"
            and record.window == last.window
            and record.at - last.at < PAUSE_S
            and record.at - self.first_at < LONG_S
        )


def history(records: list[Record]) -> list[dict[str, Any]]:
    """The states of a tune, newest first: `{at, version, summary}`."""
    steps: list[Step] = []
    text = ""
    for record in records:
        if steps and steps[-1].goes_on(record):
            steps[-1] = replace(steps[-1], last=record)
        else:
            steps.append(Step(record, record.at, text))
        if record.kind != "aside":
            text = record.text
    return [
        {"at": step.last.at, "version": step.last.version, "summary": summary(step)}
        for step in reversed(steps[-MOST_STATES:])
    ]


def summary(step: Step) -> str:
    """What happened, in a few words."""
    if step.last.why:
        return step.last.why
    before, after = step.before.split("\n"), step.last.text.split("\n")
    first = 0
    while first < min(len(before), len(after)) and before[first] == after[first]:
        first += 1
    same = 0
    most = min(len(before), len(after)) - first
    while same < most and before[-1 - same] == after[-1 - same]:
        same += 1
    count = max(len(before), len(after)) - first - same
    lines = f"{count} line{'s' * (count != 1)}" if count else "nothing"
    where = _heading(after[: first + 1])
    return f"{lines} changed{f' in {where}' if where else ''}"


def _heading(lines: list[str]) -> str:
    """The lick or chorus a line belongs to."""
    for line in reversed(lines):
        word = line.strip()
        if word.lower().startswith(("lick ", "chorus")):
            return word.split("(")[0].strip(" :")[:60]
    return "the head"

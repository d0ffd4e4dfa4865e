"""Techniques a tune asks for that its student does not have yet.

Conventions: one finding for each technique, where it is first asked for; what to learn first comes
from the ladder, easiest first. A tune that names no student asks for nothing. Source: the ladder of
the tune room (`tune/data/techniques.toml`).
"""

from __future__ import annotations

from collections import Counter

from reedwright.tune.events import Event
from reedwright.tune.findings import Finding, Severity
from reedwright.tune.gathering import finding_at
from reedwright.tune.place import Score
from reedwright.tune.techniques import ladder, techniques_of
from reedwright.tune.values import Sound


def level_findings(score: Score) -> tuple[Finding, ...]:
    """What is beyond the student, in the order in which it is met. Linear in the events."""
    have = score.tune.abilities
    known: dict[Sound, tuple[str, ...]] = {}
    first: dict[str, Event] = {}
    count: Counter[str] = Counter()
    for event in score.events:
        asked = known.get(event.sound)
        if asked is None:
            asked = techniques_of(event.sound, score.tune.harp)
            asked = known[event.sound] = tuple(name for name in asked if name not in have)
        for technique in asked:
            first.setdefault(technique, event)
            count[technique] += 1
    return tuple(_finding(name, event, count[name], have) for name, event in first.items())


def _finding(technique: str, event: Event, count: int, have: frozenset[str]) -> Finding:
    steps = ladder()
    name = steps.techniques[technique].name
    times = "asked for here" if count == 1 else f"asked for {count} times, first here"
    found = f"beyond the student so far: {name}, {times}"
    missing = steps.with_needs([technique]) - have - {technique}
    before = sorted(missing, key=lambda need: steps.techniques[need].difficulty)
    mend = "learn it on its own first, or give the student an easier note here"
    if before:
        names = [steps.techniques[need].name for need in before]
        mend = f"learn first: {', '.join(names)}; or give the student an easier note here"
    return finding_at(event, Severity.WARNING, "level", found, mend)

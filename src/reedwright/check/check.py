"""All checks of one placed tune, in one report.

Conventions: findings stand in the order of the tune, those about the whole of it first; the same
thing at the same written place is said once. Checks other than `exists` see only what can be
played. Linear in the events, but for one sort of the findings.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from reedwright.breath.findings import breath_findings
from reedwright.check.exists import existence
from reedwright.check.level import level_findings
from reedwright.check.moves import move_findings
from reedwright.harmony.advice import harmony_findings
from reedwright.harmony.tones import EventHarmony, tones
from reedwright.performance.tempos import Tempos
from reedwright.tune.findings import Finding, Severity
from reedwright.tune.place import Score


@dataclass(frozen=True, slots=True)
class Report:
    """Everything found. `tones` and `playable` have one entry for each event of the score."""

    score: Score
    tones: tuple[EventHarmony, ...]
    playable: tuple[bool, ...]
    findings: tuple[Finding, ...]

    def of(self, severity: Severity) -> tuple[Finding, ...]:
        return tuple(finding for finding in self.findings if finding.severity is severity)

    @property
    def ok(self) -> bool:
        """Whether there is no error."""
        return not self.of(Severity.ERROR)


def check(score: Score, played: Tempos | None = None) -> Report:
    """Check a tune for what can be played, breathed, moved, learnt and heard.

    `played`: the performances of this score, where a caller wants them afterwards.
    Errors: SettingError for faults in the tune's `Lungs:` line.
    """
    exist = existence(score)
    heard = tones(score)
    rows = tuple(row for row, fine in zip(heard, exist.playable, strict=True) if fine)
    playable = score
    if len(rows) != len(heard):
        pairs = zip(score.events, exist.playable, strict=True)
        playable = replace(score, events=tuple(event for event, fine in pairs if fine))
    found = [*score.findings, *exist.findings]
    if playable.events:
        played = (played if playable is score else None) or Tempos(playable)
        # An impossible note still takes air as written; left out it would look like a rest.
        found += breath_findings(score, played=played if playable is score else None)
        found += move_findings(playable, played=played)
        found += level_findings(playable)
        found += harmony_findings(playable, rows)
    return Report(score, heard, exist.playable, in_order(found))


def in_order(findings: list[Finding]) -> tuple[Finding, ...]:
    """Findings by place, the worst first where several stand at one; doubles left out."""
    weight = {severity: number for number, severity in enumerate(Severity)}
    first: dict[tuple[str | int, ...], Finding] = {}
    for finding in sorted(findings, key=lambda f: (f.chorus, f.bar, f.beat, weight[f.severity])):
        place = (finding.line, finding.column) if finding.line else (-finding.chorus, finding.bar)
        key = (finding.check, finding.found, finding.lick, *place)
        first.setdefault(key, finding)
    return tuple(first.values())

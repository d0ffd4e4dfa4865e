"""What a check says about a sound, apart from where it stands: the same sound, the same faults."""

from __future__ import annotations

from dataclasses import dataclass

from reedwright.tune.findings import Severity


@dataclass(frozen=True, slots=True)
class Fault:
    """`severity` is an error only when the sound cannot be played as written."""

    severity: Severity
    found: str
    mend: str

    @property
    def impossible(self) -> bool:
        return self.severity is Severity.ERROR


def error(found: str, mend: str) -> Fault:
    return Fault(Severity.ERROR, found, mend)


def warning(found: str, mend: str) -> Fault:
    return Fault(Severity.WARNING, found, mend)

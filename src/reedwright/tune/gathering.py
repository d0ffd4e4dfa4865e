"""Findings made at an event, and findings of one kind gathered so that nobody is read a litany.

Conventions: what is gathered keeps the place of its first; `and 5 more like it` counts the places
where it sounds, so a lick placed six times counts six.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable
from dataclasses import dataclass, replace

from reedwright.tune.events import Event
from reedwright.tune.findings import Finding, Severity


@dataclass(frozen=True, slots=True)
class Hit:
    """A finding with the kind of thing it is about: hits of one kind are told once."""

    kind: Hashable
    finding: Finding


def finding_at(event: Event, severity: Severity, check: str, found: str, mend: str) -> Finding:
    """A finding about one event, at its place."""
    return Finding(
        severity=severity,
        check=check,
        found=found,
        mend=mend,
        id=event.id,
        chorus=event.chorus,
        lick=event.lick,
        bar=event.bar,
        beat=event.beat,
        line=event.line,
        column=event.column,
    )


def gathered(hits: Iterable[Hit]) -> tuple[Finding, ...]:
    """One finding for each kind, the first of it, in the order in which kinds first appear."""
    first: dict[Hashable, Finding] = {}
    count: dict[Hashable, int] = {}
    for hit in hits:
        first.setdefault(hit.kind, hit.finding)
        count[hit.kind] = count.get(hit.kind, 0) + 1
    return tuple(
        finding if count[kind] == 1 else _more(finding, count[kind] - 1)
        for kind, finding in first.items()
    )


def _more(finding: Finding, more: int) -> Finding:
    return replace(finding, found=f"{finding.found}; and {more} more like it")

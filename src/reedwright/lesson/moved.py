"""A teacher's cuts found again in the lines of a lesson, and what has become of the others.

Conventions: a cut is found by the id of its note. Where that note is no longer placed there, or the
lick is taught at another placing, the same written note is looked for, in the lick whose note the
id names if that is known, and taken if there is one only. What is not found is a finding, never an
error: the lesson goes on without that cut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from reedwright.lesson.cuts import Cut, Cuts
from reedwright.lesson.lines import LickLine
from reedwright.tune.events import Event
from reedwright.tune.findings import Finding, Severity
from reedwright.tune.gathering import finding_at
from reedwright.tune.place import Score

CHECK = "cuts"
"""The word for findings about cuts."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """What the teacher says of one line: places (before notes, from 0) to cut and not to cut at."""

    must: frozenset[int] = frozenset()
    never: frozenset[int] = frozenset()


def wishes(
    score: Score, lines: Sequence[LickLine], cuts: Cuts
) -> tuple[dict[str, Wishes], tuple[Finding, ...]]:
    """The wishes for each line by its slug (those with any), and what could not be found."""
    if not cuts.cuts:
        return {}, ()
    notes = _Notes(score, lines)
    said: dict[str, dict[int, bool]] = {}
    findings: list[Finding] = []
    for cut in cuts.cuts:
        spots = notes.find(cut.id)
        if len(spots) != 1:
            findings.append(_gone(cut, bool(spots)))
            continue
        slug, place, event = spots[0]
        if place == 0:
            findings.append(_at_the_start(cut, event))
        elif place in said.setdefault(slug, {}):
            findings.append(_said_twice(cut, event))
        else:
            said[slug][place] = cut.here
    return {slug: _split(places) for slug, places in said.items()}, tuple(findings)


_Spot = tuple[str, int, Event]


class _Notes:
    """The notes of all lines by id and by where they were written."""

    def __init__(self, score: Score, lines: Sequence[LickLine]) -> None:
        self._by_id: dict[str, _Spot] = {}
        self._by_part: dict[str, list[_Spot]] = {}
        for line in lines:
            for place, event in enumerate(line.events):
                spot = (line.slug, place, event)
                self._by_id[event.id] = spot
                self._by_part.setdefault(_part(event.id), []).append(spot)
        self._licks = {event.id: event.lick for event in score.events}

    def find(self, event_id: str) -> list[_Spot]:
        """The note of this id, or those written as the same part of a bar."""
        if event_id in self._by_id:
            return [self._by_id[event_id]]
        spots = self._by_part.get(_part(event_id), [])
        lick = self._licks.get(event_id)
        return [spot for spot in spots if lick is None or spot[2].lick == lick]


def _part(event_id: str) -> str:
    """Where a note was written, without where it is placed."""
    return event_id.partition("@")[0]


def _split(places: dict[int, bool]) -> Wishes:
    must = frozenset(place for place, here in places.items() if here)
    return Wishes(must, frozenset(places) - must)


def _gone(cut: Cut, several: bool) -> Finding:
    what = "now stands in several places" if several else "has gone"
    mend = "name one of them" if several else "drop the line, or name another note"
    return Finding(
        Severity.WARNING,
        CHECK,
        f"`{cut}`{_where(cut)}: its note {what}, and the line is left aside",
        mend,
        id=cut.id,
    )


def _at_the_start(cut: Cut, event: Event) -> Finding:
    found = f"`{cut}`{_where(cut)}: its note begins {event.lick}, where a piece begins anyway"
    return finding_at(event, Severity.ADVICE, CHECK, found, "drop the line, or name a later note")


def _said_twice(cut: Cut, event: Event) -> Finding:
    found = f"`{cut}`{_where(cut)}: an earlier line names the same note at another placing"
    return finding_at(event, Severity.WARNING, CHECK, found, "keep one of the two lines")


def _where(cut: Cut) -> str:
    return f" in line {cut.line}" if cut.line else ""

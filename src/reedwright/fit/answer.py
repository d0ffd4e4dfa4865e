"""The whole answer to "which harp": the first few choices with what each asks, and further tabs.

Conventions: choices stand in the order of `choices`, those that can be breathed before any other.
No more than MAX_LOOKED choices that cannot be breathed are looked at on the way: each has had up to
a thousand tabs tried, and where so many fail, the melody lacks rests and no harp will mend it.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice

from reedwright.breath.lungs import Lungs
from reedwright.fit.choices import Choice, Fitting
from reedwright.fit.effort import Effort
from reedwright.fit.melody import MelodyError
from reedwright.fit.reading import Reading
from reedwright.fit.unreached import out_of_reach
from reedwright.fit.verdict import Verdict, verdict
from reedwright.fit.wishes import Wishes

MAX_LOOKED = 8
"""Choices of which no tab can be breathed (from memory: no order of harps hides a good one so far
behind; each costs up to a second)."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A choice and what it asks of a player."""

    choice: Choice
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Answer:
    """`choices` best first; `tabs`: further tabs for the first of them, cheapest first."""

    reading: Reading
    choices: tuple[Judged, ...]
    tabs: tuple[Judged, ...] = ()


def answered(reading: Reading, wishes: Wishes, effort: Effort, lungs: Lungs) -> Answer:
    """Fit a melody. Errors: MelodyError that says what is out of reach where nothing fits."""
    melody = reading.melody
    fitting = Fitting(melody, wishes, effort, lungs)
    fine: list[Choice] = []
    breathless: list[Choice] = []
    for choice in fitting.all_choices():
        (fine if choice.breath_ok else breathless).append(choice)
        if len(fine) == wishes.choices or len(breathless) > MAX_LOOKED:
            break
    found = (fine or breathless)[: wishes.choices]
    if not found:
        raise MelodyError(out_of_reach(melody, wishes))
    judged = tuple(Judged(each, verdict(melody, each, lungs)) for each in found)
    first = found[0]
    more = fitting.tabs(first) if first.breath_ok and wishes.tabs > 1 else iter(())
    others = (each for each in more if each.ways != first.ways)
    tabs = tuple(
        Judged(each, verdict(melody, each, lungs)) for each in islice(others, wishes.tabs - 1)
    )
    return Answer(reading, judged, tabs)

"""What the breath room says to a teacher: at each tempo, where the player runs full or empty.

Conventions: a warning where no way of breathing keeps between full and empty lungs, advice where
only the comfortable limits are passed; at most one finding a tempo, the full tempo first. Nothing
is ever an error: lungs differ, the flows are from memory, and a tune is the teacher's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from reedwright.breath.judgement import Verdict, verdict
from reedwright.breath.ledger import Failure, Segment, keep_ledger
from reedwright.breath.lungs import CAUTION, Lungs
from reedwright.breath.lungs_header import lungs_of
from reedwright.breath.mend import Mend, Rest
from reedwright.breath.of_tune import segments_of
from reedwright.breath.spot import best_spot
from reedwright.breath.words import (
    bar_words,
    listed,
    note_words,
    rest_words,
    seconds_words,
    spot_words,
    tempo_words,
)
from reedwright.performance.tempos import Tempos
from reedwright.tune.events import Event
from reedwright.tune.findings import Finding, Severity
from reedwright.tune.gathering import finding_at
from reedwright.tune.place import Score

PLACES_SHOWN = 6
"""Places named in one finding before the others are only counted; from memory."""

_COMPARED = {"full": "fuller", "empty": "emptier"}


def breath_findings(
    score: Score,
    tempos_bpm: tuple[Fraction, ...] | None = None,
    played: Tempos | None = None,
) -> tuple[Finding, ...]:
    """Findings at the given tempos, or at every tempo of the tune: a slow one needs more air.

    `played`: the performances of this score, where a caller has them already.
    Errors: SettingError for faults in the tune's `Lungs:` line, or a tempo nobody can count.
    """
    lungs = lungs_of(score.tune)
    tempos = score.tune.tempos_bpm if tempos_bpm is None else tempos_bpm
    found: list[Finding] = []
    played = played or Tempos(score)
    for tempo_bpm in sorted(set(tempos), reverse=True):
        performance, stretch = played.at(tempo_bpm)
        air = segments_of(performance, lungs, stretch)
        trouble = _trouble(score, tempo_bpm, air, lungs)
        if trouble is not None:
            found.append(trouble.finding("" if found else CAUTION))  # once a tune is enough
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Trouble:
    """One tempo at which a tune cannot be breathed (`hard`), or not in comfort."""

    score: Score
    tempo_bpm: Fraction
    air: Sequence[Segment]
    lungs: Lungs
    hard: bool
    judged: Verdict
    mend: Mend
    events: dict[str, Event]

    @property
    def failure(self) -> Failure:
        return self.mend.failure

    def finding(self, caution: str) -> Finding:
        event = self.events[self.failure.label]
        rest = self.mend.rest
        mends = (self._rest(rest) if rest else self._without_rest(), self._fewest(), caution)
        severity = Severity.WARNING if self.hard else Severity.ADVICE
        mend = " ".join(text for text in mends if text)
        return finding_at(event, severity, "breath", self._found(), mend)

    def _found(self) -> str:
        tempo = tempo_words(self.tempo_bpm)
        bar = bar_words(self.score, self._moment_s(), self.tempo_bpm)
        side = self.failure.side
        if self.hard:
            return f"{tempo} you are {side} by {bar}, however you breathe"
        return f"{tempo} you are {_COMPARED[side]} than is comfortable by {bar}"

    def _moment_s(self) -> float:
        """When the limit is passed, inside the failing note."""
        note = self.air[self.failure.index]
        end_s = sum(segment.duration_s for segment in self.air[: self.failure.index + 1])
        return end_s - min(self.failure.excess_l / note.flow_l_per_s, note.duration_s)

    def _rest(self, rest: Rest) -> str:
        """The smallest rest, at the best spot, and what a longer one there would bring."""
        spot = best_spot(rest, self.judged.ledger, self.air, self.lungs, self.score)
        change = f"{spot_words(self.score, spot, self.tempo_bpm, rest.breath)}."
        longer = rest_words(spot.carrying_s, self.tempo_bpm)
        if longer == rest_words(spot.least_s, self.tempo_bpm):
            return change
        to = "the end"
        if spot.reach is not None:
            to = note_words(self.score, self.events[self.air[spot.reach].label])
        return f"{change} With {longer} there you get to {to}."

    def _without_rest(self) -> str:
        if self.failure.too_long:
            longest = seconds_words(self.mend.longest_s, up=False)
            size = "full" if self.hard else "comfortable"
            text = f"no breath helps, since a {size} one lasts {longest} on this sound: write it"
            return f"{text} shorter or softer, or with fewer holes."
        out = "out" if self.failure.side == "full" else "in"
        text = f"no rest helps, since these lungs cannot breathe {out} in time"
        change = "leave the sound out"  # the lungs are full, or empty, when it begins
        if self.mend.shorten_s is not None:
            change = f"end the sound {seconds_words(self.mend.shorten_s)} sooner"
        return f"{text}: {change}, or mend the `Lungs:` line."

    def _fewest(self) -> str:
        """The fewest breaths the whole tune asks for, where one is not enough."""
        if self.mend.rest is None and not self.failure.too_long:
            return ""  # these lungs cannot take them
        sounds = {True: list[str](), False: list[str]()}
        for place in self.judged.breaths:
            where = note_words(self.score, self.events[place.label])
            sounds[place.too_long].append(where)
        texts = []
        if len(sounds[False]) > 1:
            before = listed(sounds[False], PLACES_SHOWN)
            texts = [f"In all, {len(sounds[False])} deep breaths are enough, before {before}."]
        if sounds[True] and len(self.judged.breaths) > 1:
            texts.append(f"Too long for any breath: {listed(sounds[True], PLACES_SHOWN)}.")
        return " ".join(texts)


def _trouble(
    score: Score, tempo_bpm: Fraction, air: Sequence[Segment], lungs: Lungs
) -> _Trouble | None:
    # Comfortable limits lie within the hard ones, so this one ledger clears most tunes.
    if keep_ledger(air, lungs, lungs.comfortable).feasible:
        return None
    hard = not keep_ledger(air, lungs, lungs.hard).feasible
    judged = verdict(air, lungs, lungs.hard if hard else lungs.comfortable)
    if judged.mend is None:  # feasible after all
        return None
    events = {event.id: event for event in score.events}
    return _Trouble(score, tempo_bpm, air, lungs, hard, judged, judged.mend, events)

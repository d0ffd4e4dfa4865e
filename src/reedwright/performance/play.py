"""From a performance to how somebody plays it: one pure step, linear in the events.

Conventions: see `playing`. An event depends on the seed, on itself and on its two neighbours (a
slur, a gap, a rake, the hands), on nothing further away; its onset on the seed, its id and its own
place. With `human` 0 every note begins exactly when the score says, and ends so too, but for the
gaps of tongue and breath, which are part of playing and not of timing.
"""

from __future__ import annotations

from itertools import pairwise

from reedwright.errors import Place, Problem, TuneError
from reedwright.performance.breathline import breath_line
from reedwright.performance.countin import count_in
from reedwright.performance.cupline import cup_line
from reedwright.performance.habits import BREATH_SPREAD, FLUTTER_HZ, SCOOP_SPREAD
from reedwright.performance.humanise import Shifts, check_human, uniform
from reedwright.performance.joins import Join, gap_s, join_of
from reedwright.performance.note import Note
from reedwright.performance.pitchline import pitch_line
from reedwright.performance.playing import Attack, Played, Playing
from reedwright.performance.reach import Reach
from reedwright.performance.tongue import attack_of, blocked, rake_lead_s, swept, switches_s
from reedwright.performance.values import Performance, TimedEvent
from reedwright.tune.marks import MarkKind


def play(performance: Performance, seed: int = 0, human: float = 1.0) -> Played:
    """A performance as it is played.

    `human`: looseness of the timing and of the breath, 0 exact, 1 usual. Errors: SettingError for
    a looseness no player has; TuneError, every fault at its place, for notes the harp lacks.
    """
    check_human(human)
    _check_notes(performance)
    player = _Player(performance, seed, human)
    return Played(performance, seed, player.playings(), count_in(performance), human)


def _check_notes(performance: Performance) -> None:
    harp = performance.score.tune.harp
    problems, seen = [], set()
    for timed in performance.events:
        for note in timed.event.sound.reeds:
            reason = "" if note in seen else harp.why_not(note)
            seen.add(note)
            if reason:
                event = timed.event
                where = f"chorus {event.chorus}, bar {event.bar}, beat {float(event.beat):g}"
                found = f"no {note} on the {harp.name} harp ({where})"
                place = Place(event.line, event.column)
                problems.append(Problem(found, reason, "write a note of the harp", place))
    if problems:
        raise TuneError(tuple(problems))


class _Player:
    """Plays the events of one performance in their order."""

    def __init__(self, performance: Performance, seed: int, human: float) -> None:
        self._events = performance.events
        self._harp = performance.score.tune.harp
        self._seed, self._human = seed, human
        self._beat_s = performance.seconds(1)
        self._end_s = performance.length_s
        self._reach = Reach(self._harp)
        self._onsets_s = _onsets_s(performance, Shifts(performance, seed, human))
        self._joins = [Join.APART, *(join_of(a, b) for a, b in pairwise(self._events)), Join.APART]

    def playings(self) -> tuple[Playing, ...]:
        made: list[Playing] = []
        for index in range(len(self._events)):
            made.append(self._playing(index, made[-1] if made else None))
        return tuple(made)

    def _playing(self, index: int, before: Playing | None) -> Playing:
        timed, onset_s = self._events[index], self._onsets_s[index]
        sound, end_s = timed.event.sound, self._ending_s(index)
        note = self._note(index, end_s - onset_s, before)
        room_s = onset_s - (before.played_end_s if before else 0.0)
        passed = swept(note.attack, sound, self._harp, room_s, note.length_s)
        unraked = note.attack is Attack.RAKE and not passed
        return Playing(
            timed=timed,
            played_s=onset_s,
            played_end_s=end_s,
            reeds=sound.notes,
            pitch_cents=pitch_line(note),
            breath=breath_line(note),
            cup=cup_line(note),
            attack=Attack.TONGUE if unraked else note.attack,
            other=sound.shake,
            switch_s=switches_s(sound, note.length_s, self._beat_s),
            swept=passed,
            flutter_hz=FLUTTER_HZ if MarkKind.FLUTTER in note.marks else 0.0,
            blocked=blocked(sound),
        )

    def _note(self, index: int, length_s: float, before: Playing | None) -> Note:
        timed, onset_s = self._events[index], self._onsets_s[index]
        attack = attack_of(timed, self._joins[index])
        low, high = self._reach.limits(timed.event.sound.reeds)
        slurred = before if attack is Attack.SLUR else None
        return Note(
            event=timed.event,
            marks={mark.kind: mark for mark in timed.event.sound.marks},
            attack=attack,
            onset_s=onset_s,
            length_s=length_s,
            beat_s=self._beat_s,
            low_cents=low,
            high_cents=high,
            loose=self._loose(timed),
            from_cents=self._cents_before(slurred, timed) if slurred else 0.0,
            from_breath=slurred.breath.at(slurred.length_s) if slurred else 0.0,
            hands=before.cup.at(before.length_s) if before else None,
            rest_s=onset_s - before.played_end_s if before else 0.0,
            goes_on=self._joins[index + 1] is Join.SLUR,
        )

    def _cents_before(self, before: Playing, timed: TimedEvent) -> float:
        """The pitch a slur begins at, from the target of its own note."""
        cents, target = self._reach.cents, timed.event.sound.notes[0]
        end = before.pitch_cents.at(before.length_s)
        return cents(before.reeds[0]) + end - cents(target)

    def _loose(self, timed: TimedEvent) -> tuple[float, float]:
        if not self._human:
            return 1.0, 1.0
        one, other, _, _ = uniform(f"{self._seed}|{timed.event.id}|breath")
        scale = min(1.0, self._human)
        return (
            1 + scale * BREATH_SPREAD * (2 * one - 1),
            1 + scale * SCOOP_SPREAD * (2 * other - 1),
        )

    def _ending_s(self, index: int) -> float:
        """As late as written, but not into the gap that the next note needs."""
        timed, onset_s = self._events[index], self._onsets_s[index]
        written_s = timed.score_end_s + (onset_s - timed.score_s)
        if index + 1 == len(self._events):
            return min(written_s, self._end_s)
        join, next_s = self._joins[index + 1], self._onsets_s[index + 1]
        between_s = next_s - onset_s
        next_sound = self._events[index + 1].event.sound
        silent_s = max(gap_s(join, between_s), rake_lead_s(next_sound, self._harp, between_s))
        latest_s = next_s - silent_s
        return latest_s if join is not Join.APART else min(written_s, latest_s)


def _onsets_s(performance: Performance, shifts: Shifts) -> list[float]:
    """Played onsets: exact ones shifted, in order, none before the first sample."""
    events = performance.events
    exact = [timed.score_s for timed in events]
    bounds = [float("-inf"), *exact, performance.length_s]
    onsets = []
    for index, timed in enumerate(events, 1):
        here = bounds[index]
        room_s = min(here - bounds[index - 1], bounds[index + 1] - here)
        onsets.append(max(0.0, here + shifts.shift_s(timed, room_s)))
    return onsets

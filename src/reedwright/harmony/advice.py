"""Advice on harmony: notes that do not settle, chords that clash with the bar's chord.

Conventions: advice only, never an error. A note outside the chord is worth a word when it is held,
lands on a change of chord, or ends a phrase, and does not move on by a step to one of the chord's.
Blue notes, colours and chord rhythm passing off the beat are idiom and are left alone. A tune
without a form has no chord to clash with. Thresholds: `data/harmony.toml`. Source: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from reedwright.harmony.fitting import fitting_chord, nearest_tone, token_of
from reedwright.harmony.roles import INTERVALS, Role, Tone
from reedwright.harmony.settings import HarmonySettings, settings
from reedwright.harmony.tones import STEP, EventHarmony, Listener, Under, tones
from reedwright.tune.chords import Chord
from reedwright.tune.events import Event
from reedwright.tune.findings import Finding, Severity
from reedwright.tune.gathering import Hit, finding_at, gathered
from reedwright.tune.place import Score
from reedwright.tune.tokens import format_sound
from reedwright.tune.values import MarkKind

_FULL = 3
"""Notes of a full chord; two neighbours sound as an interval (common practice)."""


def harmony_findings(
    score: Score, rows: tuple[EventHarmony, ...] | None = None
) -> tuple[Finding, ...]:
    """What a teacher would want to hear about the notes of a tune; one finding for each kind.

    `rows`: the tones of the score where they are known already.
    """
    if not score.tune.form.bars:
        return ()
    adviser = _Adviser(score, tones(score) if rows is None else rows)
    hits = (adviser.hit(index) for index in range(len(score.events)))
    return gathered(hit for hit in hits if hit is not None)


@dataclass(frozen=True, slots=True)
class _Clash:
    """What is wrong, and over which chord."""

    what: str
    chord: Chord
    tone: Tone | None = None


class _Adviser:
    """Goes through the events of a score with their tones."""

    def __init__(self, score: Score, rows: tuple[EventHarmony, ...]) -> None:
        self._score, self._rows = score, rows
        self._listener = Listener(score.tune)
        self._limits: HarmonySettings = settings()
        self._mends: dict[object, str] = {}

    def hit(self, index: int) -> Hit | None:
        event, row = self._score.events[index], self._rows[index]
        if row.chord is None or None in row.tones or event.sound.mark(MarkKind.GHOST):
            return None
        clash = self._single(index) if len(row.tones) == 1 else self._chord(event, row)
        if clash is None:
            return None
        token = format_sound(event.sound, self._score.tune.signed)
        over = f"{self._listener.name(clash.chord)} ({clash.chord.degree(self._score.tune.key)})"
        found = clash.what.format(token=token, chord=over)
        mend = self._mend(event, clash)
        finding = finding_at(event, Severity.ADVICE, "harmony", found, mend)
        return Hit((event.sound, clash.chord), finding)

    def _single(self, index: int) -> _Clash | None:
        event, row = self._score.events[index], self._rows[index]
        stretches = row.under
        for stretch in stretches:
            alone = len(stretches) == 1
            note = event.sound.notes[0]
            heard = row.tones[0] if alone else self._listener.tone(note, stretch.chord)
            if heard is None or not heard.outside:
                continue
            last = stretch is stretches[-1]
            if last and self._moves_on(index, heard, stretch):
                continue
            what = self._weight(index, stretch, row, last)
            if what:
                above = INTERVALS[(heard.midi - stretch.chord.root) % 12]
                what = f"{{token}} {what} {{chord}}: the {above} of the root, outside the chord"
                return _Clash(what, stretch.chord, heard)
        return None

    def _weight(self, index: int, stretch: Under, row: EventHarmony, last: bool) -> str:
        """Why the note is heard as meant; empty when it passes."""
        limits = self._limits
        if stretch.length < min(limits.held_beats, limits.landing_beats):
            return ""
        if stretch.length >= limits.landing_beats:
            if row.landing and stretch.chord == row.chord:
                return "lands on the change to"
            if last and self._rest_after(index) >= limits.phrase_rest_beats:
                return "ends a phrase over"
        if stretch.length >= limits.held_beats:
            return f"is held {_beats(stretch.length)} over"
        return ""

    def _rest_after(self, index: int) -> Fraction:
        events = self._score.events
        if index + 1 == len(events):
            return self._limits.phrase_rest_beats
        return events[index + 1].start - events[index].end

    def _moves_on(self, index: int, heard: Tone, stretch: Under) -> bool:
        """Whether the note, not held too long, leads by a step into a tone of the next chord."""
        if index + 1 == len(self._rows) or self._rest_after(index) >= 1:
            return False
        after = self._rows[index + 1].lead
        if after is None or not after.in_chord or stretch.length >= self._limits.suspended_beats:
            return False
        return 0 < abs(after.midi - heard.midi) <= STEP

    def _chord(self, event: Event, row: EventHarmony) -> _Clash | None:
        chord = row.chord
        if chord is None or len(event.sound.notes) < _FULL:
            return None
        long = event.length >= self._limits.chord_beats
        if not long and event.beat.denominator != 1:
            return None
        heard = [tone for tone in row.tones if tone is not None]
        outside = [
            note for note, tone in zip(event.sound.notes, heard, strict=True) if tone.outside
        ]
        if outside:
            first = next(tone for tone in heard if tone.outside)
            first_outside = token_of((outside[0],), self._score.tune.signed)
            above = INTERVALS[(first.midi - chord.root) % 12]
            what = f"{{token}} over {{chord}}: its {first_outside} is the {above}, "
            return _Clash(what + "outside the chord", chord)
        roles = {tone.role for tone in heard}
        if long and Role.FOURTH in roles and not roles & {Role.THIRD, Role.SEVENTH, Role.BLUE}:
            what = "{token} over {chord} has its fourth, and neither its third nor its seventh"
            return _Clash(what, chord)
        return None

    def _mend(self, event: Event, clash: _Clash) -> str:
        key = (event.sound, clash.chord)
        if key not in self._mends:
            make = self._note_mend if clash.tone else self._chord_mend
            self._mends[key] = make(event, clash.chord)
        return self._mends[key]

    def _note_mend(self, event: Event, chord: Chord) -> str:
        near = nearest_tone(self._score.tune.harp, event.sound.notes[0], chord)
        heard = None if near is None else self._listener.tone(near, chord)
        if near is None or heard is None:
            return "make it shorter, or move on from it by a step"
        token = token_of((near,), self._score.tune.signed)
        return f"{token}, {heard.why}, settles; or move on by a step"

    def _chord_mend(self, event: Event, chord: Chord) -> str:
        notes = fitting_chord(self._score.tune.harp, event.sound.notes, chord)
        if not notes:
            return "play a single note of the chord here"
        token = token_of(notes, self._score.tune.signed)
        if len(notes) < _FULL:
            return f"this harp has no full {self._listener.name(chord)} here; {token} fits"
        return f"the {notes[0].breath.word} chord fits here: {token}"


def _beats(length: Fraction) -> str:
    whole, rest = divmod(length, 1)
    text = str(whole) if not rest else str(length) if not whole else f"{whole} and {rest}"
    return f"{text} beat{'s' * (length != 1)}"

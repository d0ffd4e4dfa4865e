"""Tests every sentence a teacher says against the score, sentence kind by sentence kind.

Nothing of the words' own facts is used to judge: intervals, likenesses, breaths and signatures of
faults are worked out here again, from the notes. Returns what is not true, in words.
"""

import re
from collections.abc import Callable, Iterable
from fractions import Fraction
from itertools import pairwise

from reedwright.breath.of_tune import breath_marks
from reedwright.harp.law import offset_of
from reedwright.harp.note import Breath
from reedwright.lesson.pieces import Piece
from reedwright.lesson.study import Study
from reedwright.lesson.words.speech import Sentence
from reedwright.tune.chords import Chord
from reedwright.tune.events import Event
from tests.lesson.spoken import lists, start_of

_WORDS = (
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
_INTERVALS = {
    "root": {0},
    "third": {3, 4},
    "fourth": {5},
    "fifth": {6, 7, 8},
    "sixth": {9},
    "seventh": {9, 10, 11},
    "ninth": {1, 2, 3},
}
"""Semitones above the root of a chord: common practice, no source."""
_BLUE = {"blue third": 3, "blue fifth": 6, "blue seventh": 10}
_ROLE = re.compile(
    r"the ((?:root|third|fourth|fifth|sixth|seventh|ninth|, | and )+) (of|over) (\S+), "
)


def untrue(study: Study, piece: Piece, said: Iterable[Sentence]) -> list[str]:
    """The sentences of a piece that are not true of it."""
    judge = _Judge(study, piece)
    return [one.text for one in said if not judge.true(one, list(said))]


class _Judge:
    def __init__(self, study: Study, piece: Piece) -> None:
        self.study, self.piece, self.events = study, piece, piece.events
        self.tune = study.score.tune
        self.by_id = {event.id: event for event in study.score.events}
        self.pieces = {one.piece.id: one.piece for one in study.pieces}

    def true(self, one: Sentence, said: list[Sentence]) -> bool:
        section, kind = one.kind.split(".")
        if section in ("first", "next"):
            return self._listed(one)
        if section == "begin":
            return self._begin([other.text for other in said])
        judge: Callable[[Sentence, str], bool] = getattr(self, f"_{section}")
        return judge(one, kind)

    def _listed(self, one: Sentence) -> bool:
        """Which notes they are is the parser's test; here: the bar it names is theirs."""
        (listed,) = lists([one.text])
        before = one.text.removesuffix(listed)
        named = re.search(r"[Bb]ar (\d+)", before)
        first = self.by_id[one.event_ids[0]]
        return named is None or int(named[1]) == first.bar

    def _begin(self, texts: list[str]) -> bool:
        start = start_of(texts, compound=self.tune.meter.compound)
        first, beats = self.events[0], self.tune.meter.beats
        before = [beat for beat in range(1, beats + 1) if beat < first.beat]
        if first.beat > 1:
            return list(start.counted) == before
        whole = list(range(1, beats + 1))
        if first.bar == 0:
            return list(start.counted) in ([], whole * (self.tune.count_in_bars - 1))
        return list(start.counted) == whole

    def _tune(self, one: Sentence, kind: str) -> bool:
        if kind == "swung":
            off = any(event.beat % 1 == Fraction(1, 2) for event in self.events)
            return off and self.tune.feel.ratio_at(self.tune.full_tempo_bpm) > 1
        beats = ", ".join(map(str, range(1, self.tune.meter.beats + 1)))
        bars = self.tune.count_in_bars
        told = {1: "one bar", 2: "two bars"}.get(bars, f"{_number(bars)} bars")
        return beats in one.text and told in one.text

    def _alike(self, one: Sentence, kind: str) -> bool:
        other = self.pieces[one.facts["other"]]
        mine, theirs = _tab(self.events), _tab(other.events)
        lone = sum(piece.slug == other.slug for piece in self.pieces.values()) == 1
        name = other.lick if lone else f"piece {other.number} of {other.lick}"
        if name not in one.text or other not in self._earlier():
            return False
        return _ALIKE[kind](self, one, mine, theirs, other)

    def _earlier(self) -> list[Piece]:
        pieces = list(self.pieces.values())
        return pieces[: pieces.index(self.piece)]

    def _role(self, one: Sentence, kind: str) -> bool:
        event = self.by_id[one.event_ids[0]]
        if event not in self.events or not self._named(one, event):
            return False
        lengths = sorted(other.length for other in self.events)
        if kind == "longest" and not event.length == lengths[-1] > lengths[-2]:
            return False
        if kind in ("last", "plain-last") and event is not self.events[-1]:
            return False
        return kind == "plain-last" or self._reason(one.text, event, landing=kind == "landing")

    def _reason(self, text: str, event: Event, *, landing: bool) -> bool:
        offsets = [offset_of(self.tune.harp.tuning, note) for note in event.sound.reeds]
        midis = [self.tune.harp.key_midi + offset for offset in offsets]
        for name, above in _BLUE.items():
            if f"the {name} of the key" in text:
                return (midis[0] - self.tune.key) % 12 == above and len(midis) == 1
        found = _ROLE.search(text)
        if found is None:
            return False
        chords = {span.name(self.tune.fifths): span for span in self._chords(event)}
        chord = chords.get(found[3])
        if chord is None or (landing and not self._changes(event)):
            return False
        roles = [role for role in re.split(", | and ", found[1]) if role]
        allowed = [_INTERVALS[role] for role in roles]
        heard = [(midi - chord.root) % 12 for midi in midis]
        return all(any(one in some for some in allowed) for one in heard) and all(
            any(one in some for one in heard) for some in allowed
        )

    def _chords(self, event: Event) -> list[Chord]:
        """Every chord a note sounds over."""
        beats, length = self.tune.meter.beats, len(self.tune.form.bars)
        found = []
        for bar in range(int(event.start // beats), int(-(-event.end // beats))):
            place = self.study.score.order.place_of(bar)[1] if bar >= 0 else length
            for span in self.tune.form.spans((place - 1) % length + 1):
                start = bar * beats + span.start
                if start < event.end and event.start < start + span.length:
                    found.append(span.chord)
        return found

    def _changes(self, event: Event) -> bool:
        """Whether the chord under a note is not the one under the note before it."""
        events = self.study.score.events
        at = events.index(event)
        return at > 0 and self._chords(event) != self._chords(events[at - 1])

    def _named(self, one: Sentence, event: Event) -> bool:
        """Every hole of the note is named, and its bar, where a bar is."""
        holes = all(str(note.hole) in one.text for note in event.sound.reeds)
        bars = re.findall(r"of (bar \d+|the pickup)", one.text)
        return holes and (not bars or (f"bar {event.bar}" if event.bar else "the pickup") in bars)

    def _air(self, one: Sentence, kind: str) -> bool:
        ways = [event.sound.breath for event in self.events]
        if kind in ("all-draw", "all-blow"):
            return set(ways) == {Breath.DRAW if kind == "all-draw" else Breath.BLOW}
        if kind == "turns":
            turns = sum(a is not b for a, b in pairwise(ways))
            times = {1: "once", 2: "twice"}.get(turns, f"{_number(turns)} times")
            return times in one.text
        marks = breath_marks(self.study.score, self.tune.full_tempo_bpm)
        after = [self.by_id[name] for name in one.event_ids]
        return all(event.id in marks and self._named(one, event) for event in after)

    def _hands(self, one: Sentence, kind: str) -> bool:
        return self._manner(one, kind, [event.cup.value for event in self.events])

    def _force(self, one: Sentence, kind: str) -> bool:
        return self._manner(one, kind, [event.loudness.value for event in self.events])

    def _manner(self, one: Sentence, kind: str, values: list[str]) -> bool:
        changes = [values[0], *(b for a, b in pairwise(values) if a != b)]
        if kind != "change":
            return changes == [kind.replace("-", " ")]
        told = re.findall(
            r"\b(?:very soft|very loud|soft|loud|medium|open|closed|moving)\b", one.text
        )
        return told == changes and all(
            self._named(one, self.by_id[name]) for name in one.event_ids[1:2]
        )

    def _fault(self, one: Sentence, kind: str) -> bool:
        events = [self.by_id[name] for name in one.event_ids]
        named = kind not in _NAMED or self._named(one, events[0])
        return named and set(events) <= set(self.events) and _FAULTS[kind](events)


Tab = list[tuple[object, Fraction, Fraction]]


def _tab(events: Iterable[Event]) -> Tab:
    """What sounds, how long, and the silence before it; 0 before the first."""
    listed = list(events)
    rests = [Fraction(0), *(b.start - a.end for a, b in pairwise(listed))]
    return [
        ((event.sound.notes, event.sound.shake), event.length, rest)
        for event, rest in zip(listed, rests, strict=True)
    ]


def _shared(mine: Tab, theirs: Tab) -> int:
    return next(
        (n for n, (a, b) in enumerate(zip(mine, theirs, strict=False)) if a != b),
        min(len(mine), len(theirs)),
    )


def _identical(judge: _Judge, one: Sentence, mine: Tab, theirs: Tab, other: Piece) -> bool:
    return mine == theirs


def _one_note(more: int) -> Callable[[_Judge, Sentence, Tab, Tab, Piece], bool]:
    def check(judge: _Judge, one: Sentence, mine: Tab, theirs: Tab, other: Piece) -> bool:
        a, b = [sound for sound, _, _ in mine], [sound for sound, _, _ in theirs]
        if len(a) - len(b) != more:
            return False
        if more == 0:
            return sum(x != y for x, y in zip(a, b, strict=True)) <= 1
        long, short = (a, b) if more > 0 else (b, a)
        return any(long[:n] + long[n + 1 :] == short for n in range(len(long)))

    return check


def _one_bar(judge: _Judge, one: Sentence, mine: Tab, theirs: Tab, other: Piece) -> bool:
    bar = re.findall(r"\bbar (\d+)", one.text)
    changed = {judge.by_id[name].bar for name in one.facts["changed"]}
    return changed == {int(bar[-1])}


def _common(judge: _Judge, one: Sentence, mine: Tab, theirs: Tab, other: Piece) -> bool:
    count = one.facts["notes"]
    return _number(count) in one.text and 3 <= count <= min(len(mine), len(theirs))


def _opening(judge: _Judge, one: Sentence, mine: Tab, theirs: Tab, other: Piece) -> bool:
    return f"{_number(_shared(mine, theirs))} notes" in one.text


def _ending(judge: _Judge, one: Sentence, mine: Tab, theirs: Tab, other: Piece) -> bool:
    count = one.facts["notes"]
    a, b = mine[-count:], theirs[-count:]
    same = a[1:] == b[1:] and a[0][:2] == b[0][:2]
    return same and f"{_number(count)} notes" in one.text


def _rhythm(judge: _Judge, one: Sentence, mine: Tab, theirs: Tab, other: Piece) -> bool:
    return [row[1:] for row in mine] == [row[1:] for row in theirs]


def _shifted(judge: _Judge, one: Sentence, mine: Tab, theirs: Tab, other: Piece) -> bool:
    pairs = zip(judge.events, other.events, strict=True)
    moves = {
        a.hole - b.hole
        for mine_, theirs_ in pairs
        for a, b in zip(mine_.sound.reeds, theirs_.sound.reeds, strict=True)
    }
    (move,) = moves
    holes = "one hole" if abs(move) == 1 else f"{_number(abs(move))} holes"
    told = f"{holes} {'higher' if move > 0 else 'lower'}" in one.text
    return told and _rhythm(judge, one, mine, theirs, other)


def _contour(judge: _Judge, one: Sentence, mine: Tab, theirs: Tab, other: Piece) -> bool:
    def line(piece: Piece) -> list[int]:
        tuning = judge.tune.harp.tuning
        tops = [max(offset_of(tuning, note) for note in e.sound.reeds) for e in piece.events]
        return [(b > a) - (b < a) for a, b in pairwise(tops)]

    return line(judge.piece) == line(other)


_ALIKE: dict[str, Callable[[_Judge, Sentence, Tab, Tab, Piece], bool]] = {
    "identical": _identical,
    "one-changed": _one_note(0),
    "one-timed": _one_note(0),
    "one-added": _one_note(1),
    "one-dropped": _one_note(-1),
    "one-bar": _one_bar,
    "nearly": _common,
    "opening": _opening,
    "ending": _ending,
    "rhythm": _rhythm,
    "shifted": _shifted,
    "contour": _contour,
}


def _single(events: list[Event]) -> bool:
    return len(events[0].sound.reeds) == 1


def _bend(events: list[Event]) -> int:
    return events[0].sound.notes[0].bend if _single(events) else 0


def _draw(events: list[Event]) -> bool:
    return events[0].sound.breath is Breath.DRAW


def _gap(events: list[Event]) -> int:
    """Holes between those that sound, of a chord or split."""
    holes = [note.hole for note in events[0].sound.notes]
    return holes[-1] - holes[0] + 1 - len(holes)


def _hole(event: Event) -> tuple[int, Breath]:
    return event.sound.notes[0].hole, event.sound.breath


_NAMED = {"half-bend", "deep-bend", "held-bend", "blow-bend", "over", "held", "single", "leap"}
_FAULTS: dict[str, Callable[[list[Event]], bool]] = {
    "pickup": lambda e: ":0." in e[0].id and e[0].beat > 1,
    "half-bend": lambda e: _bend(e) == 1 and _draw(e),
    "deep-bend": lambda e: _bend(e) > 1 and _draw(e),
    "held-bend": lambda e: _bend(e) > 0 and e[0].length >= 2,
    "two-bends": lambda e: _hole(e[0]) == _hole(e[1]) and 0 < _bend(e) != _bend(e[1:]) > 0,
    "blow-bend": lambda e: _bend(e) > 0 and not _draw(e),
    "over": lambda e: e[0].sound.notes[0].over,
    "leap": lambda e: abs(_hole(e[0])[0] - _hole(e[1])[0]) >= 4,
    "shake": lambda e: e[0].sound.shake is not None,
    "chord": lambda e: len(e[0].sound.notes) > 1 and not _gap(e),
    "split": lambda e: len(e[0].sound.notes) > 1 and _gap(e) > 0,
    "held": lambda e: e[0].length >= 2 and _single(e),
    "offbeat": lambda e: len(e) > 1 and all(one.beat % 1 == Fraction(1, 2) for one in e),
    "repeated": lambda e: e[0].sound.reeds == e[1].sound.reeds and e[0].end == e[1].start,
    "single": _single,
}


def _number(count: int) -> str:
    return _WORDS[count] if count < len(_WORDS) else str(count)

"""A melody on its harp written as a tune, ready to be checked and packed.

Conventions: a lick for each phrase, the same lick placed again where it comes again; where the
chords go round, each time is a chorus. Beats are split into as few equal parts as their notes ask
for. The tune read back sounds the melody's notes at their times; what a beat cannot be split into
(more than MAX_PARTS) is an error.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import ceil, lcm

from reedwright.errors import Problem
from reedwright.fit.choices import Choice
from reedwright.fit.melody import Melody, MelodyError, MelodyNote
from reedwright.fit.phrases import phrase_starts
from reedwright.fit.ways import Way
from reedwright.harp.pitch import fifths_of, harp_key
from reedwright.harp.position import position_name
from reedwright.tune.form import MAX_BARS, ChordSpan
from reedwright.tune.header import MAX_TITLE
from reedwright.tune.values import (
    MAX_PARTS,
    Bar,
    Cell,
    Chorus,
    Entry,
    Header,
    Hold,
    Lick,
    Part,
    Rest,
    Sound,
    TuneText,
)

Played = tuple[MelodyNote, Way]
_PLAIN_TITLE = "A Melody"


def written(melody: Melody, choice: Choice) -> TuneText:
    """The tune. Errors: MelodyError for a rhythm no beat can be split into, and for no notes."""
    played = [
        (note, way) for note, way in zip(melody.notes, choice.ways, strict=True) if way is not None
    ]
    if not played:
        raise MelodyError(str(Problem("a melody of no notes", "A tune has at least one")))
    beats = melody.meter.beats
    last = max(ceil(played[-1][0].end / beats), 1)
    bars = max(last, min(melody.bar_count, last + MAX_BARS))
    round_of = _round(melody, bars)
    forced = tuple(range(round_of + 1, bars + 1, round_of))
    starts = phrase_starts(melody, bars, forced)
    cells = _Cells(played, beats)
    licks: dict[tuple[Bar, ...], Lick] = {}
    choruses: list[list[Entry]] = [[] for _ in range(ceil(bars / round_of))]
    for start, end in pairwise([*starts, bars + 1]):
        lines = cells.bars(start, end)
        chorus, bar = divmod(start - 1, round_of)
        if all(
            isinstance(part, Rest) for line in lines for cell in line.cells for part in cell.parts
        ):
            choruses[chorus].append(Entry(bar + 1, "", times=end - start))
            continue
        lick = licks.setdefault(lines, Lick(f"Phrase {len(licks) + 1}", lines=lines))
        choruses[chorus].append(Entry(bar + 1, lick.name))
    blocks = tuple(Chorus(tuple(entries)) for entries in choruses)
    return TuneText(_head(melody, choice, round_of), (*licks.values(), *blocks))


def _round(melody: Melody, bars: int) -> int:
    """Bars of one time through the chords; all bars where they do not go round, or a note sounds
    on over where they do."""
    chords = melody.bars
    for length in range(1, bars):
        turns = range(length, bars, length)
        if bars % length or len(chords) < bars or length < 4:
            continue
        again = all(chords[bar] == chords[bar % length] for bar in range(bars))
        lines = {Fraction(turn * melody.meter.beats) for turn in turns}
        over = any(note.start < line < note.end for note in melody.notes for line in lines)
        if again and not over:
            return length
    return bars


class _Cells:
    """The beat cells of played notes."""

    def __init__(self, played: list[Played], beats: int) -> None:
        self._beats = beats
        self._by_beat: dict[int, list[Played]] = {}
        for note, way in played:
            for beat in range(int(note.start // 1), ceil(note.end)):
                self._by_beat.setdefault(beat, []).append((note, way))
        self._pickup = min(self._by_beat) < 0

    def bars(self, start: int, end: int) -> tuple[Bar, ...]:
        """Bars from one to before another, numbered from 1; the pickup with the first of all."""
        first = 0 if start == 1 and self._pickup else start
        return tuple(self._bar(bar, bar - start + 1) for bar in range(first, end))

    def _bar(self, bar: int, number: int) -> Bar:
        beats = range((bar - 1) * self._beats, bar * self._beats)
        return Bar(number, tuple(self._cell(beat) for beat in beats))

    def _cell(self, beat: int) -> Cell:
        sounding = self._by_beat.get(beat, [])
        moments = [moment for note, _ in sounding for moment in (note.start, note.end)]
        inside = [moment - beat for moment in moments if beat < moment < beat + 1]
        parts = lcm(1, *(moment.denominator for moment in inside))
        if parts > MAX_PARTS:
            raise MelodyError(
                str(
                    Problem(
                        f"beat {beat + 1} would be split into {parts} parts",
                        f"A beat has at most {MAX_PARTS}",
                        "quantise the melody to a coarser grid",
                    )
                )
            )
        return Cell(tuple(self._part(sounding, beat + Fraction(at, parts)) for at in range(parts)))

    @staticmethod
    def _part(sounding: list[Played], moment: Fraction) -> Part:
        for note, way in sounding:
            if note.start == moment:
                return Sound(way.notes)
            if note.start < moment < note.end:
                return Hold()
        return Rest()


def _head(melody: Melody, choice: Choice, round_of: int) -> tuple[Header, ...]:
    harp = choice.harp
    register = "" if harp.variant.value == "standard" else f"{harp.variant.value} "
    title = " ".join(melody.title.split())[:MAX_TITLE] or _PLAIN_TITLE
    lines = [Header("Title", title), Header("Harp", f"{register}{harp.key}")]
    if harp.tuning.name != "Richter":
        lines.append(Header("Tuning", harp.tuning.name))
    lines += [
        Header("Position", position_name(choice.position)),
        Header("Meter", str(melody.meter)),
        Header("Feel", melody.feel.name),
        Header("Tempo", f"{float(melody.tempo_bpm):g}"),
    ]
    form = _form(melody, choice, round_of)
    return (*lines, Header("Form", form)) if form else tuple(lines)


def _form(melody: Melody, choice: Choice, round_of: int) -> str:
    """The chords of one time through, moved as the melody was; empty where they are not known."""
    bars = melody.bars[:round_of]
    if len(bars) < round_of or round_of > MAX_BARS or not all(bars):
        return ""
    fifths = fifths_of(harp_key(choice.key), melody.minor)
    beats = melody.meter.beats
    return " | ".join(_bar_of_chords(bar, choice.shift_semitones, fifths, beats) for bar in bars)


def _bar_of_chords(spans: tuple[ChordSpan, ...], shift: int, fifths: int, beats: int) -> str:
    names = [_moved(span, shift, fifths) for span in spans]
    if len({span.length for span in spans}) == 1:
        return " ".join(names)
    share = Fraction(beats, lcm(*((span.length / beats).denominator for span in spans)))
    return " ".join(
        " ".join([name, *["/"] * (int(span.length / share) - 1)])
        for name, span in zip(names, spans, strict=True)
    )


def _moved(span: ChordSpan, shift: int, fifths: int) -> str:
    chord = span.chord
    return type(chord)((chord.root + shift) % 12, chord.quality).name(fifths)

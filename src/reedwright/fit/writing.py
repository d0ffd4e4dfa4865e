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
from reedwright.fit.melody import Melody, MelodyError
from reedwright.fit.phrases import phrase_starts
from reedwright.harp.pitch import fifths_of, harp_key
from reedwright.harp.position import position_name
from reedwright.tune.barring import Barring, TimedSound
from reedwright.tune.form import MAX_BARS, ChordSpan
from reedwright.tune.header import MAX_TITLE
from reedwright.tune.values import (
    MAX_PARTS,
    Bar,
    Chorus,
    Entry,
    Header,
    Lick,
    Rest,
    Sound,
    TuneText,
)

_PLAIN_TITLE = "A Melody"


def written(melody: Melody, choice: Choice) -> TuneText:
    """The tune. Errors: MelodyError for a rhythm no beat can be split into, and for no notes."""
    played = [note for note, way in zip(melody.notes, choice.ways, strict=True) if way is not None]
    if not played:
        raise MelodyError(str(Problem("a melody of no notes", "A tune has at least one")))
    beats = melody.meter.beats
    last = max(ceil(played[-1].end / beats), 1)
    bars = max(last, min(melody.bar_count, last + MAX_BARS))
    round_of = _round(melody, bars)
    forced = tuple(range(round_of + 1, bars + 1, round_of))
    starts = phrase_starts(melody, bars, forced)
    barring = _barring(melody, choice)
    licks: dict[tuple[Bar, ...], Lick] = {}
    choruses: list[list[Entry]] = [[] for _ in range(ceil(bars / round_of))]
    for start, end in pairwise([*starts, bars + 1]):
        first = 0 if start == 1 and barring.has_pickup else start
        lines = tuple(barring.bar(bar, bar - start + 1) for bar in range(first, end))
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


def _barring(melody: Melody, choice: Choice) -> Barring:
    """The notes that are played, in their beats. Errors: MelodyError."""
    barring = Barring(
        (
            TimedSound(note.start, note.length, Sound(way.notes))
            for note, way in zip(melody.notes, choice.ways, strict=True)
            if way is not None
        ),
        melody.meter.beats,
    )
    for beat, parts in barring.splits().items():
        if parts > MAX_PARTS:
            found = f"beat {beat + 1} would be split into {parts} parts"
            rule, mend = f"A beat has at most {MAX_PARTS}", "quantise the melody to a coarser grid"
            raise MelodyError(str(Problem(found, rule, mend)))
    return barring


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
    names = [span.chord.up(shift).name(fifths) for span in spans]
    if len({span.length for span in spans}) == 1:
        return " ".join(names)
    share = Fraction(beats, lcm(*((span.length / beats).denominator for span in spans)))
    return " ".join(
        " ".join([name, *["/"] * (int(span.length / share) - 1)])
        for name, span in zip(names, spans, strict=True)
    )

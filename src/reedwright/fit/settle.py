"""A score becomes a melody: one part, one voice, counted beats, a bar grid, chords bar by bar.

Conventions: a first measure that is not full is a pickup, and so are notes that begin a full first
measure only after its middle. A tune has one meter, the first; other meters are said, and bars are
counted on in the first one. A chord holds until the next and begins on a counted beat. Where no
tempo is written it is the melody's own default.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil

from reedwright.fit.lines import RawNote, chosen, top_voice
from reedwright.fit.melody import Melody, MelodyNote
from reedwright.fit.music import Music
from reedwright.fit.reading import Count, Reading, counted, feel_of, usable_tempo
from reedwright.tune.chords import Chord
from reedwright.tune.form import ChordSpan

Chords = Sequence[tuple[Fraction, Chord | None]]


def reading_of(music: Music, part: int | None = None) -> Reading:
    """The melody of a score. Errors: MelodyError, see `lines.chosen` and `reading.counted`."""
    line = chosen(music.lines, part)
    voice, left = top_voice(line.notes)
    _, upper, lower = music.meters[0] if music.meters else (Fraction(0), 4, 4)
    count = counted(upper, lower)
    first = _first_bar(music, voice, count)
    notes = tuple(
        MelodyNote(_beats(n.start, first, count), _length(n, count), (n.pitch,)) for n in voice
    )
    beats = count.meter.beats
    bar_count = max(ceil(_beats(music.end, first, count) / beats), ceil(notes[-1].end / beats), 1)
    moved = [(_beats(moment, first, count), chord) for moment, chord in music.chords]
    remarks = [*music.remarks]
    tempo = None if music.tempo_qpm is None else music.tempo_qpm * count.beats_per_quarter
    known = None if tempo is None else usable_tempo(tempo)
    if tempo is not None and known is None:
        remarks.append(f"Its tempo, {float(tempo):g}, cannot be counted and is not used.")
    melody = Melody(
        notes,
        title=music.title,
        meter=count.meter,
        bars=chord_bars(moved, bar_count, beats),
        bar_count=bar_count,
    )
    melody = replace(melody, tempo_bpm=known) if known else melody
    if music.swing is not None and not count.meter.compound:
        melody = replace(melody, feel=feel_of(music.swing))
    if music.tonic is not None:
        melody = replace(melody, key=music.tonic[0], minor=music.tonic[1])
    remarks += _said(music, left)
    several = sum(bool(each.notes) for each in music.lines) > 1
    return Reading(melody, str(line) if several else "", tuple(remarks))


def _said(music: Music, left: int) -> list[str]:
    remarks = []
    if left:
        notes = "note is" if left == 1 else "notes are"
        remarks.append(f"Only the top voice was taken; {left} {notes} left out.")
    if music.repeats:
        remarks.append("Repeats are not played out: every bar is there once, in the order written.")
    if len({meter[1:] for meter in music.meters}) > 1:
        remarks.append("The meter changes; bars are counted in the first one throughout.")
    return remarks


def _first_bar(music: Music, voice: Sequence[RawNote], count: Count) -> Fraction:
    """Where bar 1 begins, in quarters."""
    bar = count.meter.beats / count.beats_per_quarter
    starts = music.measures or (Fraction(0),)
    end_of_first = starts[1] if len(starts) > 1 else music.end
    if len(starts) > 1 and end_of_first - starts[0] < bar:
        return end_of_first
    begin = voice[0].start
    before = (begin // bar) * bar  # whole bars of rest before the first note go
    late = (begin - before) * 2 > bar and voice[-1].end > before + bar
    return before + bar if late else before


def _beats(moment: Fraction, first: Fraction, count: Count) -> Fraction:
    return (moment - first) * count.beats_per_quarter


def _length(note: RawNote, count: Count) -> Fraction:
    return (note.end - note.start) * count.beats_per_quarter


def chord_bars(chords: Chords, bars: int, beats: int) -> tuple[tuple[ChordSpan, ...], ...]:
    """Chords by moment in beats from bar 1, as spans of each bar; empty where there is none."""
    if not any(chord for _, chord in chords):
        return ()
    points: dict[int, Chord | None] = {}
    for moment, chord in sorted(chords, key=lambda each: each[0]):
        points[max(round(moment), 0)] = chord
    return tuple(_bar(points, bar * beats, beats) for bar in range(bars))


def _bar(points: dict[int, Chord | None], first: int, beats: int) -> tuple[ChordSpan, ...]:
    """Takes the chord that was last out of `points` over to the bar's first beat."""
    inside = [first, *(beat for beat in range(first + 1, first + beats) if beat in points)]
    spans = []
    for at, beat in enumerate(inside):
        end = inside[at + 1] if at + 1 < len(inside) else first + beats
        chord = points.get(beat)
        if chord is not None:
            spans.append(ChordSpan(chord, Fraction(beat - first), Fraction(end - beat)))
    points.setdefault(first + beats, points.get(inside[-1]))
    return tuple(_joined(spans))


def _joined(spans: list[ChordSpan]) -> list[ChordSpan]:
    """The same chord twice in a row is one span."""
    joined: list[ChordSpan] = []
    for span in spans:
        if (
            joined
            and joined[-1].chord == span.chord
            and joined[-1].start + joined[-1].length == span.start
        ):
            joined[-1] = replace(joined[-1], length=joined[-1].length + span.length)
        else:
            joined.append(span)
    return joined

"""A MIDI part becomes a melody: one voice, on the grid, with the feel it was played in.

Conventions: bar 1 begins with the bar of the first note; a first bar whose notes all begin after
its middle is a pickup. The feel nearest to a shuffle is called one.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import ceil

from reedwright.fit.lines import chosen, top_voice
from reedwright.fit.melody import Melody, MelodyNote
from reedwright.fit.midifile import MidiMusic
from reedwright.fit.quantise import Quantised, quantised
from reedwright.fit.reading import Reading, counted, feel_of, usable_tempo
from reedwright.fit.settle import chord_bars


def reading_of_midi(
    music: MidiMusic, part: int | None = None, tempo_bpm: Fraction | None = None
) -> Reading:
    """The melody of a MIDI file. Errors: MelodyError, see `lines.chosen` and `reading.counted`."""
    line = chosen(music.lines, part)
    voice, left = top_voice(line.notes)
    count = counted(*music.meter)
    per_quarter = float(count.beats_per_quarter)
    played = [(float(n.start) * per_quarter, float(n.end) * per_quarter) for n in voice]
    found = quantised(played, swing=not count.meter.compound)
    beats = count.meter.beats
    first = _first_beat(found, beats)
    notes = tuple(
        MelodyNote(start - first, end - start, (voice[at].pitch,))
        for at, (start, end) in zip(found.kept, found.spans, strict=True)
    )
    bar_count = max(ceil(notes[-1].end / beats), 1)
    remarks = [*music.remarks, *_said(len(voice) - len(notes), left)]
    tempo = music.tempo_qpm * count.beats_per_quarter
    known = tempo_bpm or usable_tempo(tempo)
    if known is None:
        remarks.append(f"Its tempo, {float(tempo):.0f}, cannot be counted and is not used.")
    chords = [(m * count.beats_per_quarter - first, chord) for m, chord in music.chords]
    melody = Melody(
        notes,
        title=music.title,
        meter=count.meter,
        feel=feel_of(found.ratio),
        bars=chord_bars(chords, bar_count, beats),
        bar_count=bar_count,
    )
    melody = replace(melody, tempo_bpm=known) if known else melody
    if music.key is not None:
        melody = replace(melody, key=music.key[0], minor=music.key[1])
    several = sum(bool(each.notes) for each in music.lines) > 1
    return Reading(melody, str(line) if several else "", tuple(remarks), round(found.sure, 3))


def _first_beat(found: Quantised, beats: int) -> int:
    """The beat on which bar 1 begins."""
    begin = found.spans[0][0]
    bar = int(begin // beats) * beats
    late = 2 * (begin - bar) > beats and found.spans[-1][1] > bar + beats
    return bar + beats if late else bar


def _said(dropped: int, left: int) -> list[str]:
    said = []
    if left:
        notes = "note is" if left == 1 else "notes are"
        said.append(f"Only the top voice was taken; {left} {notes} left out.")
    if dropped:
        said.append(f"More than six notes in one beat: {dropped} of them left out.")
    return said

"""A tune file as a melody: what its player plays, with meter, feel, tempo, key and chords.

Conventions: the placed events in order; chords and splits keep their notes, a shake counts with its
first. Notes the harp does not have are the tune room's to tell. Errors are those of the tune room.
"""

from __future__ import annotations

from reedwright.errors import Problem
from reedwright.fit.melody import MAX_TOGETHER, Melody, MelodyError, MelodyNote
from reedwright.fit.reading import Reading
from reedwright.tune.place import place
from reedwright.tune.tune import Tune


def reading_of_tune(tune: Tune) -> Reading:
    """The melody of a tune. Errors: MelodyError for one without a note."""
    score = place(tune)
    if not score.events:
        raise MelodyError(str(Problem("a tune without notes", "A melody has at least one")))
    notes = []
    for event in score.events:
        pitches = tuple(sorted({tune.harp.midi(note) for note in event.sound.notes}))
        notes.append(MelodyNote(event.start, event.length, pitches[-MAX_TOGETHER:]))
    bars = tuple(tune.form.spans(bar) for bar in range(1, score.bars + 1)) if tune.form.bars else ()
    melody = Melody(
        tuple(notes),
        title=tune.title,
        meter=tune.meter,
        feel=tune.feel,
        tempo_bpm=tune.full_tempo_bpm,
        key=tune.key,
        minor=tune.minor,
        bars=bars,
        bar_count=score.bars,
    )
    return Reading(melody)

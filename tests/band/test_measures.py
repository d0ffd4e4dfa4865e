"""What arrangements are held to, tune by tune and feel by feel, and that the measures can fail.

The bounds are design figures of ours; no outside source. They stand in docs/band.md too.
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from reedwright.band.arrange import arrange
from reedwright.band.drums import groove, struck
from reedwright.band.measures import (
    alike_choruses,
    arrivals,
    clashes,
    mean_motion,
    most_repeats,
    out_of_range,
    silent_bars,
    stray_fills,
)
from reedwright.band.rulesfile import rules
from reedwright.band.session import Session
from reedwright.band.values import Arrangement, BandNote, Options, Part
from tests.band.tunes import of_feel, score

SEEDS = (0, 1, 2)
MOST_REPEATS = 3  # of a bar in four choruses
LEAST_ARRIVALS = 0.95  # share of bars
MOST_MOTION = 2.0  # semitones a finger, where chords change


def arranged(style: str) -> list[Arrangement]:
    options = Options(style=style if style == "rumba" else "")
    made = [arrange(tune, seed=seed, options=options) for tune in of_feel(style) for seed in SEEDS]
    assert {arrangement.style for arrangement in made} == {style}
    return made


@pytest.mark.parametrize("style", list(rules().styles))
def test_six_tunes_of_each_feel_keep_the_measures(style: str) -> None:
    for made in arranged(style):
        told = (style, made.score.tune.form, made.score.tune.meter, made.seed)
        assert clashes(made) == (), told
        assert most_repeats(made) <= MOST_REPEATS, told
        assert alike_choruses(made) == 0, told
        assert stray_fills(made) == (), told
        assert out_of_range(made, rules()) == (), told
        assert arrivals(made) >= LEAST_ARRIVALS, told
        assert silent_bars(made) == (), told
        for part in (Part.GUITAR, Part.KEYS):
            assert mean_motion(made, part) <= MOST_MOTION, told


@pytest.mark.parametrize("style", list(rules().styles))
def test_outside_fills_the_drums_play_their_groove_and_nothing_else(style: str) -> None:
    for made in arranged(style)[::3]:
        tune = made.score.tune
        session = Session(tune, rules(), rules().styles[style], made.seed, Options())
        bars = {(bar.chorus, bar.bar): bar for bar in made.bars if not bar.last}
        for note in made.notes[Part.DRUMS]:
            bar = bars.get((note.chorus, note.bar))
            if note.fill or bar is None or note.midi == rules().crash:
                continue
            rows = struck(groove(session, bar), tune.meter.compound)
            assert (note.start - bar.start, note.midi) in {(s.start, key) for s, key in rows}


def test_every_chorus_ends_in_a_fill_and_fills_end_their_bar() -> None:
    made = arrange(score())
    filled = {(note.chorus, note.bar) for note in made.notes[Part.DRUMS] if note.fill}
    assert {(chorus, 12) for chorus in (1, 2, 3, 4)} <= filled
    for place in filled:
        notes = [n for n in made.notes[Part.DRUMS] if (n.chorus, n.bar) == place]
        first = min(note.start for note in notes if note.fill)
        assert all(note.fill for note in notes if note.start >= first)


def test_loudness_of_the_parts_stays_inside_the_rules() -> None:
    made = arrange(score())
    levels = rules().velocity
    low = min(levels.values()) * min(rules().dynamics) - rules().jitter
    high = max(levels.values()) + rules().jitter + 0.06
    for part in Part:
        assert all(low <= note.velocity <= high for note in made.notes[part])


# ---- the measures can fail


def spoiled(made: Arrangement, part: Part, *notes: BandNote) -> Arrangement:
    return replace(made, notes={**made.notes, part: notes})


def test_a_wrong_bass_note_on_a_strong_beat_is_a_clash() -> None:
    made = arrange(score(choruses=1))
    first, *rest = made.notes[Part.BASS]
    wrong = spoiled(made, Part.BASS, replace(first, midi=first.midi + 1), *rest)
    assert {(c.chorus, c.bar, c.beat) for c in clashes(wrong)} == {(1, 1, 0)}
    assert any(clash.chord_note is None for clash in clashes(wrong))


def test_a_semitone_above_the_bass_is_a_clash() -> None:
    made = arrange(score(choruses=1))
    bass = made.notes[Part.BASS][0]
    rub = replace(bass, part=Part.KEYS, midi=bass.midi + 25, length=Fraction(1))
    found = clashes(spoiled(made, Part.KEYS, rub))
    assert [(clash.bar, clash.chord_note) for clash in found] == [(1, rub.midi)]


def test_alike_choruses_are_counted() -> None:
    made = arrange(score("8-bar", choruses=5), options=Options(alike=True))
    assert most_repeats(made) >= 4
    assert alike_choruses(made) == 6  # four of five: what leads out of the last bar differs


def test_a_stray_fill_is_found() -> None:
    made = arrange(score(choruses=1))
    drums = made.notes[Part.DRUMS]
    stray = next(note for note in drums if note.bar == 2)
    marked = tuple(replace(n, fill=True) if n is stray else n for n in drums)
    assert stray_fills(spoiled(made, Part.DRUMS, *marked)) == ((1, 2),)


def test_notes_out_of_range_are_found() -> None:
    made = arrange(score(choruses=1))
    first, *rest = made.notes[Part.BASS]
    low = replace(first, midi=27)
    assert out_of_range(spoiled(made, Part.BASS, low, *rest), rules()) == (low,)


def test_a_bass_that_leads_nowhere_is_counted() -> None:
    made = arrange(score(choruses=1))
    lost = [
        replace(n, midi=n.midi + 3) if n.start % 4 >= 3 and n.midi < 45 else n
        for n in made.notes[Part.BASS]
    ]
    assert arrivals(spoiled(made, Part.BASS, *lost)) < LEAST_ARRIVALS


def test_leaping_chords_are_measured() -> None:
    made = arrange(score(choruses=1))
    keys = [replace(n, midi=n.midi + 12 * (n.bar % 2)) for n in made.notes[Part.KEYS]]
    assert mean_motion(spoiled(made, Part.KEYS, *keys), Part.KEYS) > MOST_MOTION


def test_silent_bars_are_found() -> None:
    made = arrange(score(choruses=1))
    hushed = {
        part: tuple(note for note in notes if note.bar != 3) for part, notes in made.notes.items()
    }
    assert silent_bars(replace(made, notes=hushed)) == ((1, 3),)

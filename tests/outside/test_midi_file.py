"""A tune's MIDI file against the standards and against other readers.

Sources: MIDI Tuning Standard, f = 440 · 2^((n − 69)/12); Standard MIDI Files 1.0 (chunks and meta
events); General MIDI 1 (program 23 is the harmonica); just ratios 4:5:6:7 and 27/16 of the 7-limit
scheme; the layout of the ten-hole harp, OEIS A291810. Swing at 2:1: common practice, no source.
Onsets are worked out by hand here, and read by mido and by music21, which share no code with ours.
"""

import struct
from fractions import Fraction

import pytest

from reedwright.performance.perform import perform
from reedwright.sheet.midi import midi_bytes, performance_bytes
from tests.performance.tunes import one_bar, score_of
from tests.sheet.midi_reader import Heard, heard, open_midi, texts

SHUFFLE = """\
Title: Counted by hand
Harp: C
Position: 2
Feel: shuffle
Tempo: 60, 96
Lick Walk
0: . . . .&2d
1: 3d'&3d 4d&3d''&2d 1+2+3b&1+2b =&2d
2: 2d''&2d&1d'&1d 2d = .
"""
# Quarters from the start of the count-in of one bar: 2:1 puts the second half on 2/3, the second
# and fourth sixteenth on 1/3 and 5/6; the triplet and the beats stay.
ONSETS = [
    Fraction(text)
    for text in (
        "11/3", "4", "14/3", "5", "16/3", "17/3", "6",
        "20/3", "23/3", "8", "25/3", "26/3", "53/6", "9"
    )
]  # fmt: skip
LENGTHS = [
    Fraction(text)
    for text in (
        "1/3", "2/3", "1/3", "1/3", "1/3", "1/3", "2/3",
        "1", "1/3", "1/3", "1/3", "1/6", "1/6", "2"
    )
]  # fmt: skip
# Sounding pitches on a C harp: OEIS A291810 above C4 = 60, less a semitone for each bend.
PITCHES = [[67], [70], [71], [74], [69], [67], [60, 64, 67], [60, 64], [67],
           [65], [67], [61], [62], [67]]  # fmt: skip
TOKENS = [
    "2d", "3d'", "3d", "4d", "3d''", "2d", "1+2+3b", "1+2b", "2d",
    "2d''", "2d", "1d'", "1d", "2d",
]  # fmt: skip

BEND_STEP = 2 ** (24 / 8192 / 12) - 1
"""Relative error of an interval whose two notes are each rounded by half a step: 0.29 cents."""


def notes_of(text_or_cells: str, **header: str) -> list[Heard]:
    score = one_bar(text_or_cells, **header) if header else score_of(text_or_cells)
    return heard(open_midi(midi_bytes(score)).tracks[1])


def test_mido_hears_what_was_counted() -> None:
    found: dict[int, list[Heard]] = {}
    for note in notes_of(SHUFFLE):
        found.setdefault(note.start, []).append(note)
    assert [Fraction(start, 5040) for start in found] == ONSETS
    assert [[note.pitch for note in chord] for chord in found.values()] == [
        [pytest.approx(pitch, abs=0.002) for pitch in chord] for chord in PITCHES
    ]
    for chord, length in zip(found.values(), LENGTHS, strict=True):
        assert {Fraction(note.end - note.start, 5040) for note in chord} == {length}


def test_mido_reads_the_tab_in_order_with_the_notes() -> None:
    track = open_midi(midi_bytes(score_of(SHUFFLE))).tracks[1]
    lyrics = texts(track, "lyrics")
    assert [text for _, text in lyrics] == TOKENS
    assert [Fraction(tick, 5040) for tick, _ in lyrics] == ONSETS


def test_mido_plays_it_at_the_tempo() -> None:
    now_s, starts_s = 0.0, []
    for message in open_midi(midi_bytes(score_of(SHUFFLE))):  # mido turns ticks into seconds
        now_s += message.time
        if message.type == "note_on":
            starts_s.append(now_s)
    worked = [
        float(onset * 60 / 96) for onset, chord in zip(ONSETS, PITCHES, strict=True) for _ in chord
    ]
    assert starts_s == pytest.approx(worked, abs=1e-4)


@pytest.mark.parametrize("ratio", ["1", "3/2", "2", "5/2", "3", "7/2", "17/10", "137/100"])
@pytest.mark.parametrize("bpm", [40, 97, 180])
def test_swung_halves_stand_in_the_ratio(ratio: str, bpm: int) -> None:
    score = one_bar("4d&5d 4d&5d 4d&5d 4d&5d")
    track = open_midi(performance_bytes(perform(score, Fraction(bpm), Fraction(ratio)))).tracks[1]
    starts = [note.start for note in heard(track)]
    worked = [
        5040 * (4 + beat + half * Fraction(ratio) / (Fraction(ratio) + 1))
        for beat in range(4)
        for half in (0, 1)
    ]
    assert all(abs(start - at) <= Fraction(1, 2) for start, at in zip(starts, worked, strict=True))


@pytest.mark.parametrize(
    ("token", "hertz"),
    [  # equal temperament, A4 = 440 Hz: published tables of the tuning standard
        ("1b", 261.6256),
        ("3d'''", 415.3047),
        ("6d", 880.0),
        ("10b''", 1864.6550),
        ("6bo", 932.3275),
        ("10b", 2093.0045),
    ],
)
def test_frequencies_of_a_c_harp(token: str, hertz: float) -> None:
    (note,) = notes_of(f"{token} . . .", Harp="C")
    assert note.hertz == pytest.approx(hertz, rel=BEND_STEP)


def test_a_just_chord_stands_in_whole_numbers() -> None:
    low, third, fifth = notes_of("4+5+6b . . .", Temperament="7-limit just")
    assert third.hertz / low.hertz == pytest.approx(5 / 4, rel=BEND_STEP)
    assert fifth.hertz / low.hertz == pytest.approx(3 / 2, rel=BEND_STEP)
    root, *_, seventh = notes_of("2+3+4+5d . . .", Temperament="7-limit just")
    assert seventh.hertz / root.hertz == pytest.approx(7 / 4, rel=BEND_STEP)
    assert len({note.channel for note in (low, third, fifth)}) == 3


def test_a_harp_tuned_to_442() -> None:
    (note,) = notes_of("6d . . .", A4="442")
    assert note.hertz == pytest.approx(884.0, rel=BEND_STEP)


def test_the_file_byte_by_byte() -> None:
    data = midi_bytes(score_of(SHUFFLE))
    assert data[:4] == b"MThd"
    assert struct.unpack(">IHHH", data[4:14]) == (6, 1, 2, 5040)
    at, chunks = 14, []
    while at < len(data):
        name, length = struct.unpack(">4sI", data[at : at + 8])
        chunks.append((name, data[at + 8 : at + 8 + length]))
        at += 8 + length
    assert at == len(data)
    assert [name for name, _ in chunks] == [b"MTrk", b"MTrk"]
    conductor, harp = (body for _, body in chunks)
    assert b"\xff\x51\x03" + (625_000).to_bytes(3, "big") in conductor  # 96 to the minute
    assert b"\xff\x58\x04\x04\x02\x18\x08" in conductor  # 4/4, a click a quarter
    assert b"\xff\x59\x02\x01\x00" in conductor  # one sharp, major
    assert b"\xff\x06\x04Walk" in conductor
    assert b"\xff\x05\x02" + b"2d" in harp
    assert b"\xc0\x16" in harp  # program 23, counted from 0
    assert b"\xb0\x65\x00" in harp  # RPN 0 …
    assert all(body.endswith(b"\xff\x2f\x00") for _, body in chunks)


def test_music21_reads_the_same_music() -> None:
    from music21 import midi

    file = midi.MidiFile()
    file.readstr(midi_bytes(score_of(SHUFFLE)))
    stream = midi.translate.midiFileToStream(file, quantizePost=False)
    notes = list(stream.flatten().notes)
    assert [Fraction(note.offset) for note in notes] == ONSETS
    assert [Fraction(note.duration.quarterLength) for note in notes] == LENGTHS
    assert [note.isChord for note in notes] == [len(chord) > 1 for chord in PITCHES]
    (time,) = stream.flatten().getElementsByClass("TimeSignature")
    assert time.ratioString == "4/4"
    (tempo,) = stream.flatten().getElementsByClass("MetronomeMark")
    assert tempo.number == pytest.approx(96, abs=0.01)
    (key,) = stream.flatten().getElementsByClass("KeySignature")
    assert key.sharps == 1

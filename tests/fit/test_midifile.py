"""MIDI files: parts, the melody among them, tempo maps, running status, broken files."""

from __future__ import annotations

from fractions import Fraction

import pytest

from reedwright.fit.melody import MelodyError
from reedwright.fit.midifile import MAX_MIDI_BYTES, midi_music
from reedwright.fit.played import reading_of_midi
from reedwright.fit.reading import Reading
from tests.fit.files import SCALE, midi, name, notes, number, tempo, track

CHORDS = [
    number(0) + b"\x91" + bytes([48, 80]) + b"\x00" + bytes([52, 80]) + b"\x00" + bytes([55, 80]),
    number(3840) + bytes([48, 0]) + b"\x00" + bytes([52, 0]) + b"\x00" + bytes([55, 0]),
]


def read(data: bytes, part: int | None = None) -> Reading:
    return reading_of_midi(midi_music(data), part)


def test_running_status_meter_tempo_and_title() -> None:
    head = track(name("Old Gate"), tempo(500_000), b"\x00\xff\x58\x04\x03\x02\x18\x08")
    reading = read(midi(head, track(*notes(SCALE))))
    melody = reading.melody
    assert (melody.title, str(melody.meter)) == ("Old Gate", "3/4")
    assert melody.tempo_bpm == 120
    assert [note.pitches for note in melody.notes] == [(pitch,) for pitch in SCALE]
    assert [note.start for note in melody.notes] == list(range(8))
    assert {note.length for note in melody.notes} == {1}
    assert (reading.sure, reading.sure_words, reading.part) == (1.0, "sure", "")


def test_compound_meters_are_counted_in_dotted_quarters() -> None:
    six = b"\x00\xff\x58\x04\x06\x03\x24\x08"
    melody = read(midi(track(tempo(400_000), six, *notes(SCALE, 240)))).melody
    assert melody.tempo_bpm == 100  # 150 quarters
    assert [note.start for note in melody.notes[:4]] == [0, Fraction(1, 3), Fraction(2, 3), 1]


def test_the_tempo_under_most_notes_and_a_tempo_of_zero() -> None:
    slow = track(tempo(1_000_000), tempo(0, 480), tempo(600_000, 480))
    reading = read(midi(slow, track(*notes(SCALE))))
    assert reading.melody.tempo_bpm == 100
    assert reading.remarks == (
        "A tempo of 0 stands in the file and was passed over.",
        "The tempo changes; the one under most of the notes was taken.",
    )


def test_only_tempos_of_zero() -> None:
    assert read(midi(track(tempo(0), *notes(SCALE)))).melody.tempo_bpm == 120


def test_the_melody_among_parts() -> None:
    data = midi(track(*CHORDS), track(name("Lead"), *notes(SCALE)), track(*notes([36] * 8, 480, 9)))
    reading = read(data)
    assert reading.melody.notes[-1].pitches == (72,)
    assert reading.part == "2 Lead (8 notes, 100% one voice)"


def test_a_close_call_lists_the_parts() -> None:
    data = midi(track(name("One"), *notes(SCALE)), track(name("Two"), *notes(SCALE[::-1])))
    with pytest.raises(MelodyError) as caught:
        read(data)
    assert str(caught.value) == (
        "2 parts, and no one is clearly the melody. They are: 1 One (8 notes, 100% one voice); "
        "2 Two (8 notes, 100% one voice). Mend: choose one, such as --part 1."
    )
    assert read(data, 2).melody.notes[0].pitches == (72,)


def test_channels_of_one_track_are_parts() -> None:
    data = midi(track(*notes(SCALE), *notes(SCALE, 480, 3)), kind=0)
    assert len(midi_music(data).lines) == 2


def test_the_top_voice_of_a_polyphonic_part() -> None:
    reading = read(midi(track(*CHORDS)))
    assert [note.pitches for note in reading.melody.notes] == [(55,)]
    assert reading.remarks == ("Only the top voice was taken; 2 notes are left out.",)


def test_notes_that_never_end_end_with_the_track() -> None:
    data = midi(track(number(0) + b"\x90" + bytes([60, 90]), number(960) + bytes([64, 90])))
    assert [note.pitches for note in read(data).melody.notes] == [(60,), (64,)]


def test_a_pickup_and_bars_of_rest_before() -> None:
    first = number(5 * 480 + 1440) + b"\x90" + bytes([60, 90]) + number(480) + bytes([60, 0])
    four = b"".join(number(0) + bytes([p, 90]) + number(480) + bytes([p, 0]) for p in SCALE)
    melody = read(midi(track(first, four))).melody
    assert [note.start for note in melody.notes[:3]] == [0, 1, 2]  # beat 8 begins a bar
    later = number(3 * 480) + b"\x90" + bytes([60, 90]) + number(480) + bytes([60, 0])
    assert read(midi(track(later, four))).melody.notes[0].start == -1


def test_chords_in_texts() -> None:
    def text(words: str, delta: int) -> bytes:
        return number(delta) + b"\xff\x01" + number(len(words)) + words.encode()

    data = midi(track(text("C", 0), text("G7", 1920)), track(*notes(SCALE)))
    bars = read(data).melody.bars
    assert [[span.chord.name() for span in bar] for bar in bars] == [["C"], ["G7"]]
    lyrics = midi(track(text("A", 0), text("rose", 480), text("is", 480)), track(*notes(SCALE)))
    assert read(lyrics).melody.bars == ()


def test_frames_instead_of_beats() -> None:
    data = midi(track(*notes(SCALE, 500)), division=((256 - 25) << 8) | 40)
    reading = read(data)  # 1000 ticks a second, 500 of them a beat at 120
    assert reading.remarks[0] == "The file is timed in frames, not beats; 120 a minute are assumed."
    assert [note.length for note in reading.melody.notes] == [1] * 8


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (midi(track()), "no notes in this file"),
        (midi(track(), track()), "no notes in this file"),
        (midi(), "no notes in this file"),
        (midi(track(*notes([36] * 4, 480, 9))), "drums only"),
        (midi(track(*notes(SCALE)), division=0), "no ticks in a beat"),
        (midi(track(*notes(SCALE)), kind=2), "independent patterns"),
        (midi(track(*notes(SCALE)))[:-9], "ends too early"),
        (b"MThd\x00\x00\x00\x06\x00", "MIDI file"),
        (b"RIFFxxxxRMIDdata", "a broken MIDI file"),
        (b"MThd" + bytes(MAX_MIDI_BYTES), "bytes of MIDI"),
    ],
)
def test_what_is_no_melody(data: bytes, said: str) -> None:
    with pytest.raises(MelodyError, match=said) as caught:
        read(data)
    assert "\n" not in str(caught.value)


def test_a_part_that_is_not_there() -> None:
    with pytest.raises(MelodyError, match=r"no notes in part 7\. Parts with notes: 1 \(8 notes"):
        read(midi(track(*notes(SCALE))), 7)


def test_too_many_notes_are_refused() -> None:
    data = midi(track(*notes([60, 62] * 6000, 120)))
    with pytest.raises(
        MelodyError, match=r"12,000 notes in one part\. A melody has at most 10,000"
    ):
        read(data)


def test_pitch_bend_counts_where_it_arrives() -> None:
    down, home = b"\x00\xe0\x00\x20", b"\x00\xe0\x00\x40"  # a semitone down of two, and back
    late = number(100) + b"\xe0\x00\x40"
    data = midi(
        track(
            down + number(0) + b"\x90" + bytes([60, 90]) + number(480) + bytes([60, 0]),
            number(0) + bytes([62, 90]) + late + number(380) + b"\x90" + bytes([62, 0]),
            home + number(0) + b"\x90" + bytes([64, 90]) + number(480) + bytes([64, 0]),
        )
    )
    assert [note.top for note in read(data).melody.notes] == [59, 62, 64]

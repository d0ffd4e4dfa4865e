"""The MIDI file as a whole, read back by mido. Source: Standard MIDI Files 1.0, GM 1."""

from fractions import Fraction
from io import BytesIO

import mido
import pytest
from hypothesis import given

from reedwright.errors import SettingError
from reedwright.performance.midifile import TICKS_PER_QUARTER
from reedwright.performance.perform import perform
from reedwright.sheet.midi import midi_bytes, performance_bytes
from reedwright.tune.place import Score
from tests.performance.tunes import PICKUP, one_bar, score_of, tune_texts
from tests.sheet.midi_reader import controls, heard, open_midi, texts, timed


def meta(score: Score, kind: str) -> list[mido.MetaMessage]:
    return [m for _, m in timed(open_midi(midi_bytes(score)).tracks[0]) if m.type == kind]


def test_the_head_of_the_file() -> None:
    file = open_midi(midi_bytes(score_of(PICKUP)))
    assert (file.type, file.ticks_per_beat, len(file.tracks)) == (1, TICKS_PER_QUARTER, 2)
    assert [track.name for track in file.tracks] == ["Two Lanterns", "Harmonica in A"]
    assert [m.program for m in file.tracks[1] if m.type == "program_change"] == [22]
    lasts = [timed(track)[-1] for track in file.tracks]
    assert [(tick, message.type) for tick, message in lasts] == [(40 * 5040, "end_of_track")] * 2


def test_full_tempo_unless_told() -> None:
    score = score_of(PICKUP)
    (tempo,) = meta(score, "set_tempo")
    assert tempo.tempo == 666_667  # 90 to the minute
    slow = open_midi(midi_bytes(score, Fraction(60)))
    assert [m.tempo for m in slow.tracks[0] if m.type == "set_tempo"] == [1_000_000]
    assert slow.length == pytest.approx(40.0)


@pytest.mark.parametrize(
    ("meter", "upper", "lower", "clocks", "tempo_us"),
    [
        ("4/4", 4, 4, 24, 1_000_000),
        ("3/4", 3, 4, 24, 1_000_000),
        ("12/8", 12, 8, 36, 666_667),  # 60 dotted quarters are 90 quarters
        ("6/8", 6, 8, 36, 666_667),
    ],
)
def test_meter_and_tempo(meter: str, upper: int, lower: int, clocks: int, tempo_us: int) -> None:
    beats = upper if lower == 4 else upper // 3
    score = one_bar(" ".join(["4d"] * beats), Meter=meter)
    (signature,) = meta(score, "time_signature")
    assert (signature.numerator, signature.denominator) == (upper, lower)
    assert signature.clocks_per_click == clocks
    assert signature.notated_32nd_notes_per_beat == 8
    assert [m.tempo for m in meta(score, "set_tempo")] == [tempo_us]
    assert open_midi(midi_bytes(score)).length == pytest.approx(2 * beats, rel=1e-6)


@pytest.mark.parametrize(
    ("harp", "position", "form", "key"),
    [
        ("A", "2", "", "E"),
        ("C", "1", "", "C"),
        ("F", "1", "", "F"),
        ("F#", "1", "", "F#"),
        ("Db", "12", "", "F#"),
        ("G", "3", "Am | Am | Dm | Am", "Am"),
        ("Db", "3", "Ebm | Ebm | Abm | Ebm", "Ebm"),
    ],
)
def test_key_signature(harp: str, position: str, form: str, key: str) -> None:
    head = {"Harp": harp, "Position": position} | ({"Form": form} if form else {})
    assert [m.key for m in meta(one_bar("4d . . .", **head), "key_signature")] == [key]


def test_markers_and_lyrics_in_order() -> None:
    score = score_of(PICKUP)
    conductor, harp = open_midi(midi_bytes(score)).tracks
    assert [text for _, text in texts(conductor, "marker")] == [
        *("Count-in", "Call", "Chorus 1", "Reply", "Reply"),
        *("Call", "Chorus 2", "Reply", "Reply"),
    ]
    call = ["2d", "3d'", "3d", "4d", "4d", "1+2b", "1+2b", "2d", "2d''", "1d", "1b", "2d"]
    reply = ["4d", "5d", "4d", "3d"]
    assert [text for _, text in texts(harp, "lyrics")] == 2 * (call + 2 * reply)


def test_lyrics_are_the_tab_without_marks() -> None:
    track = open_midi(midi_bytes(one_bar("(/3d'v) 4x5d@3 2>4d! 1+4b"))).tracks[1]
    assert [text for _, text in texts(track, "lyrics")] == ["3d'", "4x5d", "4d", "1+4b"]
    signed = one_bar("-3' 4,5 -4! .", Tab="signed")
    track = open_midi(midi_bytes(signed)).tracks[1]
    assert [text for _, text in texts(track, "lyrics")] == ["-3'", "4,5", "-4"]


def test_words_in_any_script_and_rights() -> None:
    score = one_bar("4d . . .", Title="Brücke – 橋 <b>", Rights="© A teacher")
    file = open_midi(midi_bytes(score))
    assert file.tracks[0].name == "Brücke – 橋 <b>"
    assert [m.text for m in meta(score, "copyright")] == ["© A teacher"]


def test_clicks_are_the_count_in() -> None:
    score = score_of(PICKUP)
    file = open_midi(midi_bytes(score, clicks=True))
    clicks = heard(file.tracks[2])
    assert [note.start for note in clicks] == [beat * 5040 for beat in range(8)]
    assert [note.key for note in clicks] == [76, 77, 77, 77] * 2
    assert {note.channel for note in clicks} == {9}
    plain = open_midi(midi_bytes(score))
    assert [list(track) for track in file.tracks[:2]] == [list(track) for track in plain.tracks]


def test_controls_stand_at_rest_before_the_first_note() -> None:
    track = open_midi(midi_bytes(one_bar("{cup closed} 4d {cup open} 4d . ."))).tracks[1]
    assert controls(track, 11) == [(0, 127)]
    assert controls(track, 74) == [(0, 64), (4 * 5040, 24), (5 * 5040, 64)]


def test_a_bend_is_set_before_its_note_begins() -> None:
    track = open_midi(midi_bytes(one_bar("3d''' . . ."))).tracks[1]
    (note,) = heard(track)
    assert note.bends == [(4 * 5040, -3.0)]
    kinds = [message.type for tick, message in timed(track) if tick == 4 * 5040]
    assert kinds == ["pitchwheel", "lyrics", "note_on"]


def test_a_tune_of_rests() -> None:
    file = open_midi(midi_bytes(one_bar(". . . .")))
    assert heard(file.tracks[1]) == []
    assert file.length == pytest.approx(8.0)


def test_a_tempo_nobody_can_count() -> None:
    with pytest.raises(SettingError, match=r"^tempo 1000\."):
        midi_bytes(score_of(PICKUP), Fraction(1000))


def test_the_same_bytes_each_time() -> None:
    assert midi_bytes(score_of(PICKUP)) == midi_bytes(score_of(PICKUP))


@given(tune_texts())
def test_any_tune_reads_back(text: str) -> None:
    score = score_of(text)
    performance = perform(score, score.tune.full_tempo_bpm)
    data = performance_bytes(performance, clicks=True)
    file = open_midi(data)
    assert len(texts(file.tracks[1], "lyrics")) == len(score.events)
    notes = heard(file.tracks[1])  # fails on a key pressed twice or never let go
    assert len(notes) >= len(score.events)
    assert all(note.end > note.start for note in notes)
    assert file.length == pytest.approx(performance.length_s, rel=5e-6)
    again = BytesIO()
    file.save(file=again)
    assert again.getvalue() == data

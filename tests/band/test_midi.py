"""The band's MIDI file, read back: onsets, programs, tempo, markers."""

from fractions import Fraction
from io import BytesIO

import mido
import pytest

from reedwright.band.arrange import arrange
from reedwright.band.midi import band_midi, velocity_of
from reedwright.band.timing import timed_notes
from reedwright.band.values import Options, Part
from reedwright.errors import SettingError
from reedwright.performance.midifile import TICKS_PER_QUARTER
from reedwright.performance.perform import perform
from tests.band.tunes import score

TRACKS = {Part.DRUMS: (1, 9), Part.BASS: (2, 1), Part.GUITAR: (3, 2), Part.KEYS: (4, 3)}


def file_of(data: bytes) -> mido.MidiFile:
    return mido.MidiFile(file=BytesIO(data))


def onsets(track: mido.MidiTrack) -> list[tuple[int, int, int]]:
    """Tick, key and velocity of every note that starts."""
    now, found = 0, []
    for message in track:
        now += message.time
        if message.type == "note_on" and message.velocity:
            found.append((now, message.note, message.velocity))
    return sorted(found)


@pytest.mark.parametrize(
    ("meter", "feel"),
    [("4/4", "shuffle"), ("3/4", "swing 1.5:1"), ("12/8", "straight"), ("2/4", "straight")],
)
def test_onsets_are_the_exact_times_of_the_parts(meter: str, feel: str) -> None:
    tune = score(meter=meter, feel=feel, tempo=96, choruses=2)
    made, performance = arrange(tune), perform(tune, Fraction(96))
    file = file_of(band_midi(made, performance))
    per_beat = TICKS_PER_QUARTER * tune.tune.meter.beat_quarters
    for part, (track, channel) in TRACKS.items():
        wanted = sorted(
            (int(timed.onset_beats * per_beat), timed.note.midi, velocity_of(timed.note))
            for timed in timed_notes(made, performance, part, human=0)
        )
        assert onsets(file.tracks[track]) == wanted, part
        channels = {message.channel for message in file.tracks[track] if not message.is_meta}
        assert channels == {channel}


def test_every_note_that_starts_ends() -> None:
    made = arrange(score())
    file = file_of(band_midi(made, perform(made.score, Fraction(104))))
    for track in file.tracks[1:]:
        sounding: set[int] = set()
        for message in track:
            if message.type == "note_on":
                assert message.note not in sounding
                sounding.add(message.note)
            elif message.type == "note_off":
                sounding.remove(message.note)
        assert not sounding


def test_the_first_track_says_what_is_played() -> None:
    made = arrange(score(choruses=2))
    file = file_of(band_midi(made, perform(made.score, Fraction(104))))
    head = {message.type: message for message in file.tracks[0]}
    assert head["set_tempo"].tempo == round(60_000_000 / 104)
    assert (head["time_signature"].numerator, head["time_signature"].denominator) == (4, 4)
    assert head["key_signature"].key == "E"
    markers = [message.text for message in file.tracks[0] if message.type == "marker"]
    assert markers == ["Count-in", "Chorus 1", "Chorus 2", "Ending"]
    programs = [m.program for t in file.tracks for m in t if m.type == "program_change"]
    assert programs == [33, 27, 0]


def test_the_file_lasts_as_long_as_the_band() -> None:
    made = arrange(score(choruses=1))
    file = file_of(band_midi(made, perform(made.score, Fraction(104))))
    beats = 4 + made.length_beats  # a bar of count-in
    assert file.length == pytest.approx(beats * 60 / 104, rel=1e-5)


def test_the_same_arrangement_gives_the_same_bytes() -> None:
    made = arrange(score(), seed=3)
    performance = perform(made.score, Fraction(104))
    assert band_midi(made, performance) == band_midi(arrange(score(), seed=3), performance)


def test_an_organ_has_an_organs_program() -> None:
    made = arrange(score(), options=Options(style="straight"))
    file = file_of(band_midi(made, perform(made.score, Fraction(104))))
    assert [m.program for m in file.tracks[4] if m.type == "program_change"] == [16]


def test_a_performance_of_another_tune_is_refused() -> None:
    other = score(choruses=3)
    with pytest.raises(SettingError, match="of different tunes"):
        band_midi(arrange(score(choruses=4)), perform(other, Fraction(104)))

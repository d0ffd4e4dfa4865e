"""Files decode to what went in: as long, in step, at their loudness, below their ceiling."""

from __future__ import annotations

import io

import numpy as np
import pytest
import soundfile
from scipy.signal import correlate

from reedwright.errors import SettingError
from reedwright.sound.encode import at_level, decode, delivered, encode, encoder_delay
from reedwright.sound.formats import Format, formats_named
from reedwright.sound.signal import SoundError
from reedwright.sound.tags import Tags

RATE_HZ = 48_000
TAGS = Tags("Tïtle 日本 <&>", "A & B", "Album", "Harp in A\n, 92.5 beats a minute", 92)


def music(samples: int = 3 * RATE_HZ + 137, channels: int = 2) -> np.ndarray:
    """Tones and a knock, not the same on both sides."""
    time_s = np.arange(samples)[:, None] / RATE_HZ
    sound = 0.1 * np.sin(2 * np.pi * (440 + 110 * np.arange(channels)) * time_s)
    sound *= 1 + 0.5 * np.sin(2 * np.pi * 3 * time_s)
    sound[samples // 2 : samples // 2 + 40] += 0.8
    return sound.astype(np.float32)


@pytest.mark.parametrize("kind", Format)
@pytest.mark.parametrize("channels", [1, 2])
def test_length_step_loudness_and_peak(kind: Format, channels: int) -> None:
    sound = music(channels=channels)
    sound = sound[:, 0] if channels == 1 else sound
    made = delivered(sound, kind, TAGS)
    heard = decode(made.data)
    assert heard.shape == sound.shape
    assert made.samples == len(sound)
    assert made.lufs == pytest.approx(-16, abs=0.5)
    assert made.true_peak_dbtp <= -1
    one, other = heard.reshape(len(heard), -1)[:, 0], sound.reshape(len(sound), -1)[:, 0]
    lag = int(np.argmax(correlate(one, other, method="fft"))) - len(sound) + 1
    assert lag == 0


@pytest.mark.parametrize("kind", Format)
@pytest.mark.parametrize("samples", [1, 100, 1_151, 1_153, 4_096, 48_000])
def test_any_length_comes_back(kind: Format, samples: int) -> None:
    sound = music(60_000)[20_000 : 20_000 + samples]
    assert decode(encode(sound, kind, TAGS)).shape == sound.shape


@pytest.mark.parametrize("kind", Format)
def test_the_same_bytes_from_the_same_sound(kind: Format) -> None:
    sound = music(20_000)
    one = encode(sound, kind, TAGS)
    assert one == encode(sound.copy(), kind, TAGS)
    assert one != encode(sound * np.float32(0.5), kind, TAGS)


@pytest.mark.parametrize("kind", [Format.OGG, Format.OPUS, Format.FLAC, Format.WAV])
def test_tags_are_read_back(kind: Format) -> None:
    with soundfile.SoundFile(io.BytesIO(encode(music(9_000), kind, TAGS))) as file:
        assert file.title == "Tïtle 日本 <&>"
        assert file.artist == "A & B"
        assert file.comment == "Harp in A , 92.5 beats a minute"


def test_delays_are_as_the_files_say() -> None:
    found = {kind: encoder_delay(encode(music(9_000), kind, TAGS), kind) for kind in Format}
    assert found == {
        Format.MP3: 576 + 529,  # the encoder's and the decoder's
        Format.OGG: 0,
        Format.OPUS: 312,
        Format.FLAC: 0,
        Format.WAV: 0,
    }


def test_a_stem_keeps_the_gain_it_is_given() -> None:
    sound = music()
    made = at_level(sound, Format.FLAC, TAGS, -6.0)
    assert np.abs(decode(made.data) - sound * 10 ** (-6 / 20)).max() < 2**-22
    assert made.gain_db == -6


@pytest.mark.parametrize("kind", Format)
def test_what_is_no_number_is_never_written(kind: Format) -> None:
    sound = music(9_000)
    sound[5] = np.nan
    for make in (lambda: encode(sound, kind, TAGS), lambda: delivered(sound, kind, TAGS)):
        with pytest.raises(SoundError, match="sample 5 is no finite number"):
            make()


def test_measured_values_are_plain() -> None:
    told = delivered(np.zeros((9_000, 2), np.float32), Format.FLAC, TAGS).measured
    assert told["lufs"] is None
    assert told["true_peak_dbtp"] is None
    assert told["samples"] == 9_000


def test_what_is_no_sound_is_refused() -> None:
    with pytest.raises(SoundError, match="stage `decode`"):
        decode(b"no sound at all")


def test_formats_by_name() -> None:
    assert formats_named(" Ogg,.mp3, ogg") == (Format.OGG, Format.MP3)
    with pytest.raises(SettingError) as caught:
        formats_named("aac,mp3,")
    assert str(caught.value) == (
        "no format 'aac'. Recordings are written as mp3, ogg, opus, flac, wav. "
        "Mend: choose one or more of them.\n"
        "no format ''. Recordings are written as mp3, ogg, opus, flac, wav. "
        "Mend: choose one or more of them."
    )

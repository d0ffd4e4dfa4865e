"""Finished notes: level, place, room, ends, and that no two strokes are quite alike.

Source of the bounds: ours (docs/band-sounds.md).
"""

import numpy as np
import pytest

from reedwright.band.instruments.drums import pieces
from reedwright.band.instruments.note import NOTES, Notes, note_in_room, place_of
from reedwright.band.instruments.organ import ANGLES, angle_of, organ_kind
from reedwright.band.instruments.room import TAIL_S, response, roomy
from reedwright.band.instruments.values import (
    LAYERS,
    RATE_HZ,
    NoteKey,
    layer_of,
    loudness,
    seconds_for,
)
from reedwright.band.play import add_stroke
from reedwright.band.strokes import Stroke

TUNED = ("upright", "electric-bass", "guitar", "organ", "piano")
KEYS = [NoteKey(name, midi, 3, 0, 1) for name in TUNED for midi in (33, 48, 64)]
KEYS += [NoteKey("drums", midi, 3, 0, 0) for midi in sorted(pieces())]


def _name(key: NoteKey) -> str:
    return f"{key.instrument}-{key.midi}"


def loudest_db(note: np.ndarray, seconds: float = 0.05) -> float:
    count = int(seconds * RATE_HZ)
    sums = np.concatenate([[0.0], np.cumsum((note.astype(float) ** 2).mean(axis=1))])
    return 10 * float(np.log10((sums[count:] - sums[:-count]).max() / count))


@pytest.mark.parametrize("key", KEYS, ids=_name)
def test_a_note_is_sound_and_nothing_else(key: NoteKey) -> None:
    note = note_in_room(key).heard
    assert note.dtype == np.float32
    assert note.ndim == 2
    assert note.shape[1] == 2
    assert np.isfinite(note).all()
    peak = float(np.abs(note).max())
    assert 0.01 < peak < 1.0
    assert np.abs(note[0]).max() < 10 ** (-50 / 20) * peak  # no click at its start
    assert np.abs(note[-1]).max() < 10 ** (-60 / 20) * peak  # nor at its end
    assert np.abs(note.mean(axis=0)).max() < 10 ** (-60 / 20) * peak  # nothing stands still


@pytest.mark.parametrize("key", KEYS, ids=_name)
def test_levels_are_the_tables(key: NoteKey) -> None:
    wanted_db = place_of(key.instrument).level_db
    if key.instrument == "drums":
        wanted_db += pieces()[key.midi].level_db
    # A variant is up to 0.6 dB louder or softer.
    assert loudest_db(note_in_room(key).heard[: int(0.25 * RATE_HZ)]) == pytest.approx(
        wanted_db, abs=1.0
    )


@pytest.mark.parametrize("key", KEYS, ids=_name)
def test_the_same_note_is_the_same_and_a_variant_is_not(key: NoteKey) -> None:
    first = note_in_room(key).heard
    assert np.array_equal(first, note_in_room(key).heard)
    twin = NoteKey(key.instrument, key.midi, key.layer, key.variant + 1, key.seconds)
    other = note_in_room(twin).heard
    size = min(len(first), len(other))
    apart = np.sqrt(((first[:size] - other[:size]) ** 2).mean() / (first[:size] ** 2).mean())
    assert apart > 0.03
    assert abs(loudest_db(first) - loudest_db(other)) < 2.5


@pytest.mark.parametrize("midi", [36, 38, 42, 51, 49, 48])
def test_drums_struck_harder_are_brighter(midi: int) -> None:
    def centroid_hz(layer: int) -> float:
        wave = note_in_room(NoteKey("drums", midi, layer, 0, 0)).heard.mean(axis=1)
        power = np.abs(np.fft.rfft(wave)) ** 2
        return float((power * np.fft.rfftfreq(wave.size, 1 / RATE_HZ)).sum() / power.sum())

    assert centroid_hz(LAYERS - 1) > 1.05 * centroid_hz(0)


def test_kick_is_low_and_hat_is_high() -> None:
    for midi, low_hz, high_hz in ((36, 45, 110), (38, 800, 4000), (42, 6000, 14000)):
        wave = note_in_room(NoteKey("drums", midi, 3, 0, 0)).heard.mean(axis=1)
        power = np.abs(np.fft.rfft(wave)) ** 2
        hz = float((power * np.fft.rfftfreq(wave.size, 1 / RATE_HZ)).sum() / power.sum())
        assert low_hz < hz < high_hz


def let_go(name: str, length_s: float, seconds: int) -> np.ndarray:
    """A note of E as the mix hears it."""
    mix = np.zeros((2 * RATE_HZ, 2), np.float32)
    add_stroke(mix, Stroke(NoteKey(name, 52, 0, 0, seconds), 0.0, 1.0, length_s), 0)
    return mix


@pytest.mark.parametrize("name", TUNED)
def test_a_note_let_go_is_soon_silent(name: str) -> None:
    mix = let_go(name, 0.30, 1)
    release_s = place_of(name).release_s
    gone, silent = (int((0.30 + more) * RATE_HZ) for more in (release_s + 0.06, 0.30))
    assert loudest_db(mix[gone:]) < loudest_db(mix[:gone]) - 20
    assert not mix[silent:].any()
    steps = np.abs(np.diff(mix[int(0.29 * RATE_HZ) : silent], axis=0)).max()
    assert steps <= np.abs(np.diff(mix[: int(0.29 * RATE_HZ)], axis=0)).max()  # no click


@pytest.mark.parametrize("name", TUNED)
def test_how_long_a_note_is_made_is_not_heard(name: str) -> None:
    short, long = (let_go(name, 0.5, seconds) for seconds in (1, 4))
    assert np.abs(short - long).max() < 1e-4 * np.abs(long).max()


def test_places_from_left_to_right() -> None:
    def left_over_right_db(name: str, low: int) -> float:
        """Over an octave: the room of a single pitch may lean to either side."""
        notes = [note_in_room(NoteKey(name, low + up, 3, 0, 1)).heard for up in range(12)]
        power = sum((note.astype(float) ** 2).sum(axis=0) for note in notes)
        return 10 * float(np.log10(power[0] / power[1]))

    assert 3 < left_over_right_db("guitar", 55) < 9
    assert -9 < left_over_right_db("piano", 55) < -3
    assert abs(left_over_right_db("upright", 33)) < 0.5


def test_the_room_is_short_and_even_between_the_ears() -> None:
    heard = response()
    assert len(heard) == int(TAIL_S * RATE_HZ)
    gain = np.abs(np.fft.rfft(heard, RATE_HZ, axis=0))[200:2000]
    assert np.sqrt((gain**2).mean(axis=0)) == pytest.approx([1, 1], rel=0.02)
    energy = np.cumsum(heard[::-1] ** 2, axis=0)[::-1].sum(axis=1)
    fallen = np.flatnonzero(energy < energy[0] * 1e-3)[0] / RATE_HZ
    assert 0.08 < fallen < 0.25  # 30 dB down
    click = np.zeros(100)
    click[10] = 1.0
    assert np.allclose(roomy(click)[10 : 10 + len(heard)], heard, atol=1e-6)


def test_the_organs_rotor_turns_with_the_clock() -> None:
    kind = organ_kind("organ")
    angles = [angle_of(at / kind.horn_hz / ANGLES + 1e-6, kind) for at in range(6)]
    assert angles == [0, 1, 0, 1, 0, 1]


def test_the_organ_is_in_tune_and_has_no_partial_above_the_wheels() -> None:
    note = note_in_room(NoteKey("organ", 69, 0, 0, 4)).heard.mean(axis=1)
    level = np.abs(np.fft.rfft(note * np.hanning(note.size)))
    hz = np.fft.rfftfreq(note.size, 1 / RATE_HZ)
    near = (hz > 400) & (hz < 480)
    assert hz[near][level[near].argmax()] == pytest.approx(440, rel=0.003)  # the rotor's 4 cents
    assert 20 * np.log10(level[hz > 6500].max() / level.max()) < -60


def test_velocities_fall_into_layers_and_loudness() -> None:
    assert [layer_of(value) for value in (0.0, 0.24, 0.25, 0.99, 1.0)] == [0, 0, 1, 3, 3]
    assert loudness(1.0) == 1.0
    assert 20 * np.log10(loudness(0.5)) == pytest.approx(-9.03, abs=0.01)
    assert [seconds_for(value) for value in (0.0, 1.0, 1.01, 5.0, 1e9)] == [1, 1, 2, 8, 16]


@pytest.mark.parametrize(
    "wrong", [("guitar", 128, 0, 0, 1), ("guitar", 60, 4, 0, 1), ("guitar", 60, 0, 0, 3)]
)
def test_notes_that_do_not_exist_are_refused(wrong: tuple[str, int, int, int, int]) -> None:
    with pytest.raises(ValueError, match="Band: "):
        NoteKey(*wrong)


def test_the_store_keeps_to_its_size_and_makes_notes_again_the_same() -> None:
    store = Notes(kept_bytes=600_000)
    keys = [NoteKey("drums", midi, 2, 0, 0) for midi in (36, 38, 37, 42, 75)]
    first = [store.note(key).heard for key in keys]
    held = sum(note.nbytes for note in store._kept.values())
    assert held <= 600_000
    assert len(store._kept) < len(keys)
    assert all(np.array_equal(a, store.note(key).heard) for a, key in zip(first, keys, strict=True))


def test_a_kept_note_cannot_be_written_to() -> None:
    note = NOTES.note(NoteKey("drums", 37, 2, 0, 0)).heard
    with pytest.raises(ValueError, match="read-only"):
        note[0, 0] = 1.0

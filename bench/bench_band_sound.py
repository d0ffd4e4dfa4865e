"""The band as sound: a tune of 45 s, cold, warm and one bar of it; and through a SoundFont.

The gate of 200 times real time and a second from an edit to the bar's sound are the project's; that
a cold start takes seconds at most is ours. The SoundFont row is there where fluidsynth, a free
SoundFont and tinysoundfont are: both programs load the font, play the same MIDI notes and give the
samples; fluidsynth mixes the parts to one track, ours keeps the four apart.
"""

import shutil
import subprocess
import tempfile
from collections.abc import Callable
from fractions import Fraction
from importlib.util import find_spec
from pathlib import Path

from bench.row import Gate, Row, median_ms
from reedwright.band.arrange import arrange
from reedwright.band.instruments.note import Notes
from reedwright.band.instruments.values import RATE_HZ
from reedwright.band.midi import band_midi
from reedwright.band.play import band_stems, bar_span, track_samples
from reedwright.band.prepare import prepare
from reedwright.band.soundfont import INSTALLED_FILES, font_stems, read_font
from reedwright.band.values import Arrangement
from reedwright.performance.perform import perform
from reedwright.performance.values import Performance
from reedwright.tune.place import place
from reedwright.tune.read import read_tune

TEMPO_BPM = 145
TUNE = f"""\
Title: Four parts to measure
Harp: A
Position: 2
Feel: shuffle
Tempo: {TEMPO_BPM}
Form: 12-bar quick change

Lick Call
1: 3d 4d 5d 4d

Chorus, 2 times
1 Call
"""
FLUIDSYNTH_TIMES = 3.0
"""Ours loads every sample of the font where fluidsynth reads only what it plays; see docs."""


def run() -> list[Row]:
    """Times against the length of the track, and the two ways through a SoundFont."""
    prepare()
    score = place(read_tune(TUNE))
    band, performance = arrange(score), perform(score, Fraction(TEMPO_BPM))
    track_ms = 1000 * track_samples(band, performance) / RATE_HZ
    what = f"band of four parts, {track_ms / 1000:.0f} s of sound"
    notes = Notes()
    cold_ms = median_ms(lambda: band_stems(band, performance, notes=Notes()), rounds=3, warm_up=0)
    warm_ms = median_ms(lambda: band_stems(band, performance, notes=notes), rounds=7)
    span = bar_span(band, performance, 6, 6)
    bar_ms = median_ms(lambda: band_stems(band, performance, span=span, notes=notes), rounds=7)
    gate = Gate.FASTER_AT_LEAST
    return [
        Row(f"{what}, every note made anew", cold_ms, Gate.AT_MOST, 5000.0),
        Row(f"{what}, notes made before", warm_ms, gate, 200.0, track_ms, "real time"),
        Row("one bar of it", bar_ms, Gate.AT_MOST, 200.0),
        *_soundfont(band, performance),
    ]


def _soundfont(band: Arrangement, performance: Performance) -> list[Row]:
    path = next((path for path in map(Path, INSTALLED_FILES) if path.is_file()), None)
    program = shutil.which("fluidsynth")
    if path is None or program is None or find_spec("tinysoundfont") is None:
        return []
    ours_ms = median_ms(
        lambda: font_stems(band, performance, read_font(path), str(path)), rounds=3, warm_up=1
    )
    with tempfile.TemporaryDirectory() as folder:
        midi = Path(folder) / "band.mid"
        midi.write_bytes(band_midi(band, performance))
        theirs_ms = median_ms(_fluidsynth(program, path, midi), rounds=3, warm_up=1)
    what = "the same parts through a SoundFont, the font loaded"
    limit = FLUIDSYNTH_TIMES
    return [Row(what, ours_ms, Gate.RATIO_AT_MOST, limit, theirs_ms, "fluidsynth, same MIDI")]


def _fluidsynth(program: str, font: Path, midi: Path) -> Callable[[], object]:
    wave = midi.with_suffix(".wav")
    command = [program, "-ni", "-q", "-r", str(RATE_HZ), "-F", str(wave), str(font), str(midi)]
    return lambda: subprocess.run(command, check=True, capture_output=True)

"""The same parts played with the samples of a SoundFont somebody brings: an optional extra.

Conventions: as `play`: float32 (samples, 2) from the first sample of the count-in. A file is looked
at here only as far as its outer frame (RIFF, form `sfbk`, three lists that fill it); everything
inside is decoded by a child process with limits (see `soundfontworker`), which gets bytes and gives
samples. A reference note brings each part to the level our own instrument has. Needs the library
tinysoundfont (MIT), which plays without the sound-card library its package asks for.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections import defaultdict
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from reedwright.band import soundfontworker as worker
from reedwright.band.instruments.filters import k_weighted
from reedwright.band.instruments.note import DRUMS, place_of
from reedwright.band.instruments.values import RATE_HZ, RINGS_OUT, NoteKey, layer_of, seconds_for
from reedwright.band.play import add_stroke, track_samples
from reedwright.band.strokes import Stroke, instrument_of, strokes
from reedwright.band.values import Arrangement, Part
from reedwright.errors import FileError, Problem, ReedwrightError, SettingError, one_line
from reedwright.files import read_bytes
from reedwright.performance.values import Performance

Samples = NDArray[np.float32]

INSTALLED = "installed"
INSTALLED_FILES = (
    "/usr/share/sounds/sf2/FluidR3_GM.sf2",
    "/usr/share/sounds/sf2/default-GM.sf2",
    "/usr/share/soundfonts/FluidR3_GM.sf2",
    "/usr/share/soundfonts/default.sf2",
)
"""Where Debian and its relatives put the free fonts of their packages."""

MOST_BYTES = 1_000_000_000
"""The largest font taken; common General MIDI sets have 30 to 150 MB (from memory)."""

MEMORY_TIMES, MEMORY_MORE = 5, 300_000_000
"""Address space of the child: samples of 16 bits become floats, beside the file and its copy."""

SECONDS_MORE, SECONDS_PER_S = 60, 2
"""Processor time of the child: to load, and for each second of each part."""

STROKE_S = 0.3
"""A drum's key is let go after this; drums ring out as their samples do."""

REFERENCE_VELOCITY, REFERENCE_S = 0.7, 0.5
REFERENCE_SAMPLES = 2 * RATE_HZ
"""Room for four notes by which the font's level is set."""

QUIETEST = 1e-9
"""Mean square of reference notes (−90 dBFS) below which a font is silent there."""


def font_path(name: str) -> Path:
    """`installed` finds the font of the system's package, anything else is a file's name.

    Errors: FileError when nothing is installed where it is looked for.
    """
    if name != INSTALLED:
        return Path(name)
    found = next((path for path in map(Path, INSTALLED_FILES) if path.is_file()), None)
    if found is None:
        raise FileError(
            INSTALLED_FILES[0],
            "no SoundFont is installed",
            "install your system's package of a free General MIDI SoundFont, or name a file",
        )
    return found


def read_font(path: Path) -> bytes:
    """A font's bytes, its outer frame checked. Errors: FileError."""
    _check_size(path)
    data = read_bytes(path, MOST_BYTES)
    fault = _fault(data)
    if fault:
        raise FileError(str(path), f"not a SoundFont: {fault}", "name a whole .sf2 or .sf3 file")
    return data


def _check_size(path: Path) -> None:
    """A font's own words for a file that is too large; the rest `read_bytes` finds."""
    try:
        size = path.stat().st_size
    except (OSError, ValueError):
        return
    if size > MOST_BYTES:
        what = f"{size:,} bytes, more than {MOST_BYTES:,}"
        raise FileError(str(path), what, "choose a smaller SoundFont")


def _fault(data: bytes) -> str:
    """What is wrong with the frame, nothing when it is sound (SoundFont 2.04, section 4)."""
    if len(data) < 12 or data[:4] != b"RIFF":
        return "it does not begin with RIFF"
    if data[8:12] != b"sfbk":
        return f"its form is {one_line(data[8:12].decode('latin-1'))!r}, not 'sfbk'"
    end = int.from_bytes(data[4:8], "little") + 8
    if end > len(data):
        return f"it is cut short, {len(data):,} of {end:,} bytes"
    lists, place = [], 12
    while place + 12 <= end:
        size = int.from_bytes(data[place + 4 : place + 8], "little")
        if data[place : place + 4] == b"LIST":
            lists.append(data[place + 8 : place + 12])
        place += 8 + size + size % 2
    if place > end + 1:
        return "a list inside it is longer than the file"
    missing = [name.decode() for name in (b"sdta", b"pdta") if name not in lists]
    return f"it lacks the list {' and '.join(missing)}" if missing else ""


def font_stems(
    arrangement: Arrangement, performance: Performance, font: bytes, name: str, *, human: float = 1
) -> dict[str, Samples]:
    """Every part as sound, by name, played with a font (see `read_font`); `name` for errors.

    Errors: SettingError without the library, or for a drum or looseness that does not exist;
    FileError for a font that cannot be decoded, lacks an instrument or takes too long.
    """
    check_library()
    samples = track_samples(arrangement, performance)
    parts = [part for part in Part if arrangement.notes.get(part)]
    places = [instrument_of(arrangement, part) for part in parts]
    asked = []
    for part, instrument in zip(parts, places, strict=True):
        made = strokes(arrangement, performance, part, human=human)
        asked.append(_request(instrument, reference(instrument), REFERENCE_SAMPLES))
        asked.append(_request(instrument, list(made), samples))
    heard = _asked(asked, font, name)
    whole = len(parts) * 2 * (REFERENCE_SAMPLES + samples)
    if heard.size != whole or not np.isfinite(heard).all():
        raise FileError(name, "it gives no whole sound", "choose another SoundFont")
    rows = heard.reshape(len(parts), REFERENCE_SAMPLES + samples, 2)
    return {
        part.value: row[REFERENCE_SAMPLES:] * _gain(row[:REFERENCE_SAMPLES], instrument)
        for part, instrument, row in zip(parts, places, rows, strict=True)
    }


def _gain(heard: Samples, instrument: str) -> np.float32:
    """What makes the font's reference notes as loud as ours; 1 where it is silent."""
    wanted, found = (float(np.mean(k_weighted(wave) ** 2)) for wave in (_own(instrument), heard))
    return np.float32((wanted / found) ** 0.5 if found > QUIETEST else 1.0)


def _own(instrument: str) -> Samples:
    mix = np.zeros((REFERENCE_SAMPLES, 2), np.float32)
    for stroke in reference(instrument):
        add_stroke(mix, stroke, round(stroke.played_s * RATE_HZ))
    return mix


def reference(instrument: str) -> list[Stroke]:
    """The notes by which a font's level is set, one after another."""
    layer = layer_of(REFERENCE_VELOCITY)
    length_s = RINGS_OUT if instrument == DRUMS else 0.8 * REFERENCE_S
    seconds = 0 if instrument == DRUMS else seconds_for(length_s)
    keys = [
        NoteKey(instrument, midi, layer, 0, seconds) for midi in place_of(instrument).references
    ]
    return [
        Stroke(key, at * REFERENCE_S, REFERENCE_VELOCITY, length_s) for at, key in enumerate(keys)
    ]


def check_library() -> None:
    """Errors: SettingError when the library that plays SoundFonts is not there."""
    if find_spec("tinysoundfont") is None:
        raise SettingError(
            Problem(
                found="no library that plays SoundFonts",
                rule="Playing one needs tinysoundfont, which is not part of a plain install",
                mend="pip install --no-deps tinysoundfont",
            )
        )


def _request(instrument: str, made: list[Stroke], samples: int) -> dict[str, Any]:
    place = place_of(instrument)
    return {
        "drums": instrument == DRUMS,
        "program": place.program,
        "pan": round(64 + 63 * place.pan),
        "samples": samples,
        "events": font_events(made, samples),
    }


def font_events(made: list[Stroke], samples: int) -> list[tuple[int, int, int]]:
    """Strokes as (sample, key, velocity), velocity 0 lets go; in order, letting go first.

    A key struck again is let go before, so that nobody's end cuts another's beginning.
    """
    events = []
    last: dict[int, int] = defaultdict(lambda: samples)
    for stroke in sorted(made, key=lambda stroke: stroke.played_s, reverse=True):
        key = stroke.key.midi
        length_s = STROKE_S if stroke.key.instrument == DRUMS else stroke.length_s
        start = round(stroke.played_s * RATE_HZ)
        end = min(start + max(1, round(length_s * RATE_HZ)), last[key])
        if start >= end:
            continue
        events += [(start, key, stroke.midi_velocity), (end, key, 0)]
        last[key] = start
    return sorted(events, key=lambda event: (event[0], event[2] > 0, event[1]))


def _asked(parts: list[dict[str, Any]], font: bytes, name: str) -> NDArray[np.float32]:
    """What the child answers. Errors: FileError, in words for each way it can fail."""
    samples = sum(part["samples"] for part in parts)
    seconds = SECONDS_MORE + SECONDS_PER_S * (samples // RATE_HZ)
    request = {
        "rate_hz": RATE_HZ,
        "memory_bytes": MEMORY_TIMES * len(font) + MEMORY_MORE,
        "seconds": seconds,
        "parts": parts,
    }
    words = json.dumps(request).encode()
    command = [sys.executable, "-I", str(Path(worker.__file__))]
    try:
        done = subprocess.run(  # noqa: S603 - our own interpreter and file
            command,
            input=b"".join((len(words).to_bytes(8, "big"), words, font)),
            capture_output=True,
            timeout=10 * seconds,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise FileError(name, "it takes too long to play", "choose another SoundFont") from None
    except OSError as error:
        raise ReedwrightError(f"Band: no child process to play a SoundFont: {error}.") from None
    if done.returncode == worker.STATUS_NO_PRESET:
        missing = one_line(done.stderr.decode(errors="replace"))
        raise FileError(
            name, f"it has no instrument at {missing}", "choose a General MIDI SoundFont"
        )
    if done.returncode == worker.STATUS_NO_LIBRARY:
        check_library()
    if done.returncode != 0:
        raise FileError(name, "its inside cannot be decoded", "name a whole .sf2 or .sf3 file")
    return np.frombuffer(done.stdout[: len(done.stdout) // 4 * 4], np.float32)

"""A SoundFont plays the same parts; a file that is none is refused in one clear sentence.

The small font is built here from the specification (SoundFont 2.04), so that no test needs one
installed. Source of the bounds: ours (docs/band-sounds.md).
"""

import struct
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from reedwright.band import soundfont, soundfontworker
from reedwright.band.instruments.values import RATE_HZ, RINGS_OUT, NoteKey
from reedwright.band.play import track_samples
from reedwright.band.soundfont import font_events, font_path, font_stems, read_font
from reedwright.band.strokes import Stroke
from reedwright.band.values import Part
from reedwright.errors import FileError, SettingError
from tests.band.by_hand import arrangement, note, played, score

UNDER = score()
PERFORMANCE = played(UNDER)
PRESETS = ((0, 0), (0, 16), (0, 27), (0, 32), (0, 33), (128, 0))


def chunk(name: bytes, data: bytes) -> bytes:
    return name + struct.pack("<I", len(data)) + data + b"\0" * (len(data) % 2)


def row(*values: int) -> bytes:
    return struct.pack(f"<{len(values)}H", *values)


def tiny_font(presets: tuple[tuple[int, int], ...] = PRESETS, level: float = 0.5) -> bytes:
    """Every preset plays one looped sine of 500 Hz, at its own pitch at MIDI 71."""
    period, count = 96, 4800
    sine = level * 32_000 * np.sin(2 * np.pi * np.arange(count) / period)
    pcm = sine.astype("<i2").tobytes() + bytes(92)
    name = b"tiny".ljust(20, b"\0")
    heads = [
        name + row(program, bank, place) + bytes(12)
        for place, (bank, program) in enumerate(presets)
    ]
    end = len(presets)
    heads.append(b"EOP".ljust(20, b"\0") + row(0, 0, end) + bytes(12))
    sample = struct.pack("<IIIIIBbHH", 0, count, 960, count - 960, RATE_HZ, 71, 0, 0, 1)
    pdta = b"".join(
        (
            chunk(b"phdr", b"".join(heads)),
            chunk(b"pbag", b"".join(row(place, 0) for place in range(end + 1))),
            chunk(b"pmod", bytes(10)),
            chunk(b"pgen", b"".join(row(41, 0) for _ in range(end)) + bytes(4)),
            chunk(b"inst", name + row(0) + b"EOI".ljust(20, b"\0") + row(1)),
            chunk(b"ibag", row(0, 0) + row(2, 0)),
            chunk(b"imod", bytes(10)),
            chunk(b"igen", row(54, 1) + row(53, 0) + bytes(4)),
            chunk(b"shdr", name + sample + b"EOS".ljust(20, b"\0") + bytes(26)),
        )
    )
    info = chunk(b"ifil", row(2, 4)) + chunk(b"isng", b"EMU8000\0") + chunk(b"INAM", b"tiny\0\0")
    lists = (b"INFO" + info, b"sdta" + chunk(b"smpl", pcm), b"pdta" + pdta)
    return chunk(b"RIFF", b"sfbk" + b"".join(chunk(b"LIST", each) for each in lists))


@pytest.fixture(scope="module")
def font_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("font") / "tiny.sf2"
    path.write_bytes(tiny_font())
    return path


needs_library = pytest.mark.skipif(
    find_spec("tinysoundfont") is None, reason="tinysoundfont is an optional extra"
)
BASS = arrangement(UNDER, {Part.BASS: [note(Part.BASS, 0, 45, 2), note(Part.BASS, 4, 57, 2)]})


@needs_library
def test_a_font_plays_the_parts_in_time_at_our_level(font_file: Path) -> None:
    stems = font_stems(BASS, PERFORMANCE, read_font(font_file), "tiny.sf2", human=0)
    assert list(stems) == ["bass"]
    stem = stems["bass"]
    assert stem.dtype == np.float32
    assert stem.shape == (track_samples(BASS, PERFORMANCE), 2)
    first = round(PERFORMANCE.seconds(PERFORMANCE.count_in_beats) * RATE_HZ)
    assert not stem[:first].any()
    assert np.abs(stem[first : first + 480]).max() > 0.01
    body = stem[first + 4800 : first + 4800 + RATE_HZ // 2].mean(axis=1)
    level = np.abs(np.fft.rfft(body * np.hanning(body.size)))
    assert level.argmax() * RATE_HZ / body.size == pytest.approx(110, abs=2)


@needs_library
def test_a_loud_font_and_a_soft_one_come_out_alike() -> None:
    loud, soft = (
        font_stems(BASS, PERFORMANCE, tiny_font(level=level), "tiny.sf2")["bass"]
        for level in (0.9, 0.09)
    )
    power = [float((stem.astype(float) ** 2).mean()) for stem in (loud, soft)]
    assert 10 * np.log10(power[0] / power[1]) == pytest.approx(0, abs=0.2)


@needs_library
def test_a_font_plays_the_same_twice(font_file: Path) -> None:
    font = read_font(font_file)
    first, again = (font_stems(BASS, PERFORMANCE, font, "tiny.sf2")["bass"] for _ in range(2))
    assert np.array_equal(first, again)


@needs_library
def test_an_instrument_that_is_missing_is_named() -> None:
    with pytest.raises(FileError) as caught:
        font_stems(BASS, PERFORMANCE, tiny_font(((0, 0),)), "small.sf2")
    assert str(caught.value) == (
        "small.sf2: it has no instrument at bank 0, program 33. "
        "Mend: choose a General MIDI SoundFont."
    )


@needs_library
@pytest.mark.parametrize("seed", range(6))
def test_a_font_spoilt_inside_is_refused_or_played_never_more(seed: int) -> None:
    whole = bytearray(tiny_font())
    rng = np.random.default_rng(seed)
    start = whole.index(b"pdta")
    for place in rng.integers(start + 12, len(whole), 40):
        whole[place] = int(rng.integers(256))
    try:
        stem = font_stems(BASS, PERFORMANCE, bytes(whole), "spoilt.sf2")["bass"]
    except FileError as error:
        assert str(error).startswith("spoilt.sf2: ")  # noqa: PT017 - either outcome is right
    else:
        assert np.isfinite(stem).all()


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"", "it does not begin with RIFF"),
        (b"RIFF", "it does not begin with RIFF"),
        (b"MThd" + bytes(20), "it does not begin with RIFF"),
        (chunk(b"RIFF", b"WAVE" + bytes(30)), "its form is 'WAVE', not 'sfbk'"),
        (tiny_font()[:3000], "it is cut short, 3,000 of"),
        (chunk(b"RIFF", b"sfbk"), "it lacks the list sdta and pdta"),
        (chunk(b"RIFF", b"sfbk" + chunk(b"LIST", b"sdta")), "it lacks the list pdta"),
        (
            chunk(b"RIFF", b"sfbkLIST" + struct.pack("<I", 900) + b"sdta"),
            "a list inside it is longer than the file",
        ),
    ],
)
def test_what_is_no_font_is_refused(data: bytes, what: str, tmp_path: Path) -> None:
    path = tmp_path / "band.sf2"
    path.write_bytes(data)
    with pytest.raises(FileError) as caught:
        read_font(path)
    message = str(caught.value)
    assert message.startswith(f"{path}: not a SoundFont: {what}")
    assert message.endswith("Mend: name a whole .sf2 or .sf3 file.")


def test_a_font_that_is_not_there_or_too_large_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(FileError, match="no such file"):
        read_font(tmp_path / "none.sf2")
    (tmp_path / "large.sf2").write_bytes(tiny_font())
    monkeypatch.setattr(soundfont, "MOST_BYTES", 1000)
    with pytest.raises(FileError, match=r"more than 1,000\. Mend: choose a smaller SoundFont"):
        read_font(tmp_path / "large.sf2")


def test_installed_is_looked_for_where_systems_put_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert font_path("my.sf2") == Path("my.sf2")
    here = tmp_path / "here.sf2"
    monkeypatch.setattr(soundfont, "INSTALLED_FILES", (str(tmp_path / "no.sf2"), str(here)))
    with pytest.raises(FileError, match="no SoundFont is installed"):
        font_path("installed")
    here.write_bytes(b"")
    assert font_path("installed") == here


def test_without_the_library_the_mend_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "tinysoundfont", None)
    monkeypatch.setattr(soundfont, "find_spec", lambda _: None)
    with pytest.raises(SettingError) as caught:
        font_stems(BASS, PERFORMANCE, tiny_font(), "tiny.sf2")
    assert "pip install --no-deps tinysoundfont" in str(caught.value)


def test_a_key_struck_again_is_let_go_before() -> None:
    def stroke(midi: int, at_s: float, length_s: float) -> Stroke:
        return Stroke(NoteKey("piano", midi, 2, 0, 4), at_s, 0.5, length_s)

    made = [stroke(60, 0.0, 2.0), stroke(64, 0.5, 1.0), stroke(60, 1.0, 9.0)]
    assert font_events(made, 2 * RATE_HZ) == [
        (0, 60, 64),
        (24_000, 64, 64),
        (48_000, 60, 0),
        (48_000, 60, 64),
        (72_000, 64, 0),
        (96_000, 60, 0),
    ]
    drum = Stroke(NoteKey("drums", 38, 2, 0, 0), 0.0, 1.0, RINGS_OUT)
    assert font_events([drum], RATE_HZ) == [(0, 38, 127), (14_400, 38, 0)]


@pytest.mark.skipif(find_spec("resource") is None, reason="this system has no such limits")
def test_the_child_may_open_nothing() -> None:
    """The limits themselves, tried in a process of their own."""
    folder = Path(soundfontworker.__file__).parent
    program = f"""
import sys
sys.path.insert(0, {str(folder)!r})
import socket
from soundfontworker import limit
limit(10**9, 5)
for attempt in (lambda: open({__file__!r}), lambda: open("new", "wb"), socket.socket):
    try:
        attempt()
    except OSError:
        print("refused")
"""
    done = subprocess.run([sys.executable, "-I", "-c", program], capture_output=True, check=True)
    assert done.stdout.split() == [b"refused"] * 3

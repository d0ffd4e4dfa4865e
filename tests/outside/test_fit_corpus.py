"""Fiddle and fife tunes of music21's corpus, read at test time; none of them is kept here.

Sources: music21 (BSD-3-Clause) as an independent reader of ABC, MusicXML and MIDI; the tunes are
public-domain collections of the 18th and 19th century that its corpus holds (Ryan's Mammoth
Collection 1883, O'Neill's 1850, Aird's Airs). What one harp plays with natural notes only is worked
out here from the printed layout of the harp (common practice, no source), not from the harp room.
"""

from __future__ import annotations

import random
import re
from pathlib import Path

import music21
import pytest
from music21 import converter, corpus

from reedwright.breath.settings import default_lungs
from reedwright.fit.abcbook import abc_text, tunes_of
from reedwright.fit.abcfile import abc_music
from reedwright.fit.choices import Fitting
from reedwright.fit.effort import effort
from reedwright.fit.lines import RawNote
from reedwright.fit.midifile import midi_music
from reedwright.fit.played import reading_of_midi
from reedwright.fit.scorefile import score_music
from reedwright.fit.settle import reading_of
from reedwright.fit.wishes import Wishes, all_harps
from reedwright.harp.harp import Harp
from reedwright.harp.note import Breath, TabNote
from reedwright.harp.tuning import tuning_named
from reedwright.tune.techniques import techniques_of
from reedwright.tune.values import Sound

CORPUS = Path(corpus.__file__).parent
FIDDLE = sorted((CORPUS / "ryansMammoth").glob("*.abc"))
PERIOD = re.compile(r"(?m)^(?![A-Za-z]:).*$")

Row = tuple[float, float, int]


def sample(paths: list[Path], count: int, seed: str) -> list[Path]:
    return sorted(random.Random(seed).sample(paths, count))


def plain(text: str) -> str:
    """Without slurs, decorations and texts, over which music21 loses broken rhythms; accidentals
    hold through a bar, which music21 takes from the version."""
    signs = r'\((?![2-9])|\)|(?<![A-Za-z])[uvTH](?=[^:])|"[^"]*"|\.|=[0-9A-F]{2}|=$'
    lines = PERIOD.sub(lambda found: re.sub(signs, "", found[0]), text)
    return "%abc-2.1\n" + lines


def theirs(score: music21.stream.Stream) -> list[Row]:
    rows = []
    for note in score.flatten().stripTies().notes:
        if isinstance(note, music21.harmony.ChordSymbol) or note.duration.isGrace:
            continue
        rows += [(float(note.offset), float(note.quarterLength), p.midi) for p in note.pitches]
    return [(round(at, 3), round(length, 3), pitch) for at, length, pitch in sorted(rows)]


def ours(notes: tuple[RawNote, ...]) -> list[Row]:
    rows = [(float(n.start), float(n.end - n.start), n.pitch) for n in notes]
    return [(round(at, 3), round(length, 3), pitch) for at, length, pitch in sorted(rows)]


@pytest.mark.slow
def test_abc_against_music21() -> None:
    """Nearly all are the same note for note; the few others are files with errors of their own."""
    same, paths = 0, sample(FIDDLE, 120, "abc")
    for path in paths:
        text = plain(path.read_text("utf-8", "replace"))
        part = converter.parse(text, format="abc").parts[0]
        same += ours(abc_music(text).lines[0].notes) == theirs(part)
    assert same >= 0.95 * len(paths), same


@pytest.mark.slow
def test_musicxml_against_music21() -> None:
    """Four-part chorales: every part the same, note for note."""
    paths = sorted((CORPUS / "bach").glob("bwv*.mxl"))
    parts = same = 0
    for path in sample(paths, 25, "xml"):
        score = converter.parse(path)
        lines = score_music(path.read_bytes()).lines
        for line, part in zip(lines, score.parts, strict=True):
            parts += 1
            same += ours(line.notes) == theirs(part.toSoundingPitch())
    assert parts > 80
    assert same >= 0.98 * parts, (same, parts)


@pytest.mark.slow
def test_midi_against_music21(tmp_path: Path) -> None:
    """What music21 writes as MIDI we read, and music21 reads, as the same notes (without grace
    notes, which it writes as keys that are never let go)."""
    target = tmp_path / "tune.mid"
    for path in sample(FIDDLE, 15, "midi"):
        text = re.sub(r"\{[^}\n]*\}", "", plain(path.read_text("utf-8", "replace")))
        part = converter.parse(text, format="abc").parts[0]
        part.write("midi", target)
        found = midi_music(target.read_bytes())
        back = converter.parse(target, quantizePost=False)
        assert ours(found.lines[0].notes) == theirs(back)


LAYOUT = {
    "blow": (0, 4, 7, 12, 16, 19, 24, 28, 31, 36),
    "draw": (2, 7, 11, 14, 17, 21, 23, 26, 29, 33),
}
"""Semitones above 1 blow of the usual ten-hole harp (common practice, no source)."""
LOWEST = {"G": 55, "Ab": 56, "A": 57, "Bb": 58, "B": 59, "C": 60, "Db": 61, "D": 62, "Eb": 63,
          "E": 64, "F": 65, "F#": 66}  # fmt: skip
OFFSETS = {*LAYOUT["blow"], *LAYOUT["draw"]}


def natural_harps(pitches: set[int]) -> set[str]:
    """The harps that have every pitch as a natural note, in some octave."""
    shifts = range(-36, 37, 12)
    return {
        key
        for key, low in LOWEST.items()
        if any(all(p + shift - low in OFFSETS for p in pitches) for shift in shifts)
    }


def natural_techniques() -> frozenset[str]:
    """What single natural notes ask for."""
    harp = Harp("C", tuning_named("Richter", "C"))
    notes = [TabNote(hole, breath) for hole in range(1, 11) for breath in Breath]
    return frozenset(each for note in notes for each in techniques_of(Sound((note,)), harp))


@pytest.mark.slow
def test_tunes_that_need_natural_notes_only() -> None:
    """A student who bends nothing is offered just the harps that music21's pitches and the printed
    layout allow; where there is one harp only, it is that one."""
    wishes = Wishes(harps=all_harps(tunings=("Richter",)), abilities=natural_techniques())
    one_harp = looked = 0
    for path in sample(FIDDLE, 200, "natural"):
        text = plain(path.read_text("utf-8", "replace"))
        score = converter.parse(text, format="abc")
        melody = reading_of(abc_music(text), 1).melody
        pitches = {pitch for _, _, pitch in theirs(score.parts[0])}
        if pitches != {note.top for note in melody.notes}:
            continue  # double stops: only the top voice is fitted
        expected = natural_harps(pitches)
        fitting = Fitting(melody, wishes, effort(), default_lungs())
        assert {choice.harp.key for choice in fitting.all_choices()} == expected, path.name
        looked += 1
        one_harp += len(expected) == 1
    assert looked >= 150
    assert one_harp >= 30


@pytest.mark.slow
def test_whole_books_are_read() -> None:
    """Every tune of four books of O'Neill's and Aird's: a melody, with the count of notes music21
    finds in most of them."""
    read = 0
    for name in ("oneills1850/0001-0050.abc", "oneills1850/0351-0400.abc", "airdsAirs/book1.abc"):
        for _, _, text in tunes_of(abc_text((CORPUS / name).read_bytes())):
            melody = reading_of(abc_music(text), 1).melody
            assert len(melody.notes) >= 10
            read += 1
    assert read == 300


@pytest.mark.slow
def test_midi_played_by_hand_comes_back(tmp_path: Path) -> None:
    """Fiddle tunes with every note 10 ms astray: at least 93 of 100 notes as written; the rest are
    mostly triplets of sixteenths beside plain ones, which no split of a beat holds."""
    draw = random.Random("hand")
    right = count = 0
    for path in sample(FIDDLE, 12, "hand"):
        part = converter.parse(plain(path.read_text("utf-8", "replace")), format="abc").parts[0]
        written = [row for row in theirs(part) if (row[0] * 12) % 1 < 1e-6]
        target = tmp_path / "hand.mid"
        target.write_bytes(_by_hand(written, draw))
        melody = reading_of_midi(midi_music(target.read_bytes())).melody
        shift = melody.notes[0].start - round(written[0][0] * 12) / 12
        got = {(round(float(n.start - shift), 2), n.top) for n in melody.notes}
        right += sum((round(at, 2), pitch) in got for at, _, pitch in written)
        count += len(written)
    assert right >= 0.93 * count, (right, count)


def _by_hand(rows: list[Row], draw: random.Random) -> bytes:
    import io

    import mido

    song = mido.MidiFile(ticks_per_beat=480)
    track = mido.MidiTrack()
    song.tracks.append(track)
    events = []
    for at, length, pitch in rows:
        start = max(0, round(480 * (at + 4 + draw.gauss(0, 0.016))))  # 10 ms at 100 a minute
        events += [(start, 1, pitch), (start + max(1, round(480 * length * 0.85)), 0, pitch)]
    now = 0
    for moment, on, pitch in sorted(events):
        track.append(mido.Message("note_on", note=pitch, velocity=80 * on, time=moment - now))
        now = moment
    out = io.BytesIO()
    song.save(file=out)
    return out.getvalue()

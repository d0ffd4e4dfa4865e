"""MusicXML against the standard and two foreign readers.

Sources: the MusicXML 4.0 XSD of W3C, as the PyPI package `musicxml` carries it, applied by the
library `xmlschema`; the readers music21 and verovio. Expected pitches, onsets and lengths come
straight from the placed events and the harp, not from the written rhythm.
"""

import io
import warnings
from base64 import b64decode
from fractions import Fraction
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any, TypeAlias

import mido
import music21
import pytest
import verovio
import xmlschema
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from reedwright.sheet.musicxml import musicxml
from reedwright.sheet.options import SheetOptions, TabStyle
from reedwright.sheet.tabstyle import printed, tab_lines
from reedwright.tune.place import Score
from tests.sheet.tunes import GATE, bar_of, score_of, tune_texts

EXAMPLES = 60  # of random tunes; each is read by slow readers
NEAR = Fraction(
    1, 1000
)  # quarters; verovio's times are floats, music21's have rounded denominators
MEI = {"m": "http://www.music-encoding.org/ns/mei"}
Node: TypeAlias = Any  # an element whose parts a test may name without asking
Sounding = tuple[Fraction, Fraction, tuple[int, ...]]
"""Onset and length in quarters from the first beat written, MIDI numbers low to high, each once."""

styles = st.builds(SheetOptions, tab=st.sampled_from(TabStyle), bars_per_line=st.integers(1, 8))


@cache
def schema() -> xmlschema.XMLSchema:
    spec = find_spec("musicxml")
    assert spec is not None
    assert spec.origin is not None
    path = Path(spec.origin).parent / "generate_classes" / "musicxml_4_0.xsd"
    assert 'version="4.0"' in path.read_text("utf-8") or "MusicXML 4.0" in path.read_text("utf-8")
    return xmlschema.XMLSchema(str(path), allow="local")  # xml: and xlink: are its own copies


def faults(text: str) -> list[str]:
    return [str(error.reason) for error in schema().iter_errors(etree.fromstring(text.encode()))]


def with_breaths(score: Score, options: SheetOptions) -> SheetOptions:
    marks = frozenset(event.id for event in score.events[::3])
    return SheetOptions(options.tab, options.bars_per_line, None, marks)


def expected(score: Score) -> list[Sounding]:
    quarter = score.tune.meter.beat_quarters
    first = min(score.events[0].start // 1, 0) if score.events else 0
    harp = score.tune.harp
    return [
        (
            (event.start - first) * quarter,
            event.length * quarter,
            tuple(sorted({harp.midi(note) for note in event.sound.reeds})),
        )
        for event in score.events
    ]


def expected_tab(score: Score, style: TabStyle) -> list[str]:
    return [printed(line) for event in score.events for line in tab_lines(event.sound, style)]


def test_the_schema_refuses_what_is_wrong() -> None:
    text = musicxml(score_of(GATE))
    assert faults(text) == []
    assert faults(text.replace("<accent/>", "<shout/>"))
    assert faults(text.replace("<fifths>", "<fifth>").replace("</fifths>", "</fifth>"))


@pytest.mark.parametrize("style", TabStyle)
def test_a_tune_with_everything_is_valid(style: TabStyle) -> None:
    score = bar_of(
        "/4dv@3 4d\\\\! (4d) 3>6bw@2 | 4df&4ds 4dp&4dt&4dh 4x5d@3 1+2+3+4d | 4d = = = | . . . .",
        Harp="low D",
        Position="3",
        Form="I7 | bVI7#9 / | VII7sus4 | i7",
        Feel="swing 1.5:1",
        Title="<&> \"'",
    )
    marks = frozenset(event.id for event in score.events)
    options = SheetOptions(style, 2, Fraction(333, 7), marks)
    assert faults(musicxml(score, options)) == []


@pytest.mark.slow
@settings(max_examples=EXAMPLES)
@given(tune_texts(), styles)
def test_any_tune_is_valid(tune: str, options: SheetOptions) -> None:
    score = score_of(tune)
    assert faults(musicxml(score, with_breaths(score, options))) == []


def music21_notes(text: str) -> tuple[list[Sounding], list[str]]:
    """What music21 reads: sounding notes with ties joined, and the lines of tab."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        read = music21.converter.parse(text, format="musicxml")
    assert [part.partName for part in read.parts] == ["Harmonica"]
    found: list[Sounding] = []
    tab: list[str] = []
    for note in read.recurse().notes:
        if isinstance(note, music21.harmony.Harmony):
            continue
        heads = note.notes if isinstance(note, music21.chord.Chord) else (note,)
        onset = Fraction(note.getOffsetInHierarchy(read))
        length = Fraction(note.duration.quarterLength)
        pitches = tuple(sorted(head.pitch.midi for head in heads))
        ties = {head.tie.type if head.tie else "" for head in heads}
        assert len(ties) == 1
        if ties <= {"stop", "continue"}:
            before = found.pop()
            assert before[2] == pitches
            assert abs(before[0] + before[1] - onset) < NEAR
            found.append((before[0], before[1] + length, pitches))
        else:
            found.append((onset, length, pitches))
        tab += [lyric.text for lyric in note.lyrics if lyric.identifier == "tab"]
    return found, tab


def assert_same(found: list[Sounding], wanted: list[Sounding], within: Fraction) -> None:
    assert [pitches for _, _, pitches in found] == [pitches for _, _, pitches in wanted]
    for (onset, length, _), (wanted_onset, wanted_length, _) in zip(found, wanted, strict=True):
        assert abs(onset - wanted_onset) <= within
        assert abs(length - wanted_length) <= within


def test_music21_reads_the_same_notes_and_tab() -> None:
    score = score_of(GATE)
    found, tab = music21_notes(musicxml(score))
    assert_same(found, expected(score), Fraction(0))
    assert tab == expected_tab(score, TabStyle.SIGNS)


@pytest.mark.slow
@settings(max_examples=EXAMPLES)
@given(tune_texts(), styles)
def test_music21_reads_any_tune(tune: str, options: SheetOptions) -> None:
    score = score_of(tune)
    found, tab = music21_notes(musicxml(score, with_breaths(score, options)))
    assert_same(found, expected(score), NEAR)
    assert tab == expected_tab(score, options.tab)


def test_music21_reads_chords_names_and_tempo() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        read = music21.converter.parse(musicxml(score_of(GATE)), format="musicxml")
    assert read.metadata.title == "The Gate"
    symbols = [symbol.figure for symbol in read.recurse().getElementsByClass("ChordSymbol")]
    assert symbols == ["E7", "A7", "B7", "E7"] * 2
    names = [mark.content for mark in read.recurse().getElementsByClass("RehearsalMark")]
    assert names == [
        "Chorus 1", "Call", "Train, 2 times", "Call", "Chorus 2", "Train, 2 times",
    ]  # fmt: skip
    (tempo,) = read.recurse().getElementsByClass("MetronomeMark")
    assert tempo.number == 104
    signature = read.recurse().getElementsByClass("KeySignature").first()
    assert signature.sharps == 4


def verovio_reader(text: str) -> verovio.toolkit:
    verovio.enableLog(verovio.LOG_OFF)
    reader = verovio.toolkit()
    reader.setOptions({"breaks": "none"})
    assert reader.loadData(text)
    return reader


def verovio_notes(reader: verovio.toolkit) -> list[Sounding]:
    """What verovio reads; its timemap gives tied notes one by one, its MEI says which are tied."""
    started: dict[str, Fraction] = {}
    ended: dict[str, Fraction] = {}
    for moment in reader.renderToTimemap():
        now = Fraction(moment["qstamp"])
        ended |= dict.fromkeys(moment.get("off", ()), now)
        started |= dict.fromkeys(moment.get("on", ()), now)
    tied_to = {
        tie.get("startid")[1:]: tie.get("endid")[1:]
        for tie in mei(reader).iterfind(".//m:tie", MEI)
    }
    sounding: dict[Fraction, list[tuple[Fraction, int]]] = {}
    for name in started.keys() - tied_to.values():
        last = name
        while last in tied_to:
            last = tied_to[last]
        pitch = int(reader.getMIDIValuesForElement(name)["pitch"])
        sounding.setdefault(started[name], []).append((ended[last], pitch))
    return [
        (onset, max(heads)[0] - onset, tuple(sorted(pitch for _, pitch in heads)))
        for onset, heads in sorted(sounding.items())
    ]


def mei(reader: verovio.toolkit) -> Node:
    return etree.fromstring(reader.getMEI().encode("utf-8"))


def verovio_tab(reader: verovio.toolkit) -> list[str]:
    """Lines of tab in the order of the notes."""
    return [
        "".join(verse.find("m:syl", MEI).itertext())
        for verse in mei(reader).iterfind(".//m:verse[@label='tab']", MEI)
    ]


def test_verovio_reads_the_same_notes_and_tab() -> None:
    score = score_of(GATE)
    reader = verovio_reader(musicxml(score))
    assert_same(verovio_notes(reader), expected(score), NEAR)
    assert verovio_tab(reader) == expected_tab(score, TabStyle.SIGNS)


def test_verovio_plays_the_same_pitches() -> None:
    score = score_of(GATE)
    data = b64decode(verovio_reader(musicxml(score)).renderToMIDI())
    file = mido.MidiFile(file=io.BytesIO(data))
    struck = [
        message.note
        for track in file.tracks
        for message in track
        if message.type == "note_on" and message.velocity
    ]
    assert struck == [pitch for _, _, pitches in expected(score) for pitch in pitches]


def test_all_readers_take_an_octave_line_for_sounding_pitches() -> None:
    score = bar_of("4b 4d 10b 8b | 10b 9b&10b'' 8b 9d | = 9b 10b . | 4x5d = 4b 4d")
    text = musicxml(score)
    assert text.count("octave-shift") == 2
    assert faults(text) == []
    assert_same(music21_notes(text)[0], expected(score), Fraction(0))
    assert_same(verovio_notes(verovio_reader(text)), expected(score), NEAR)


def test_verovio_draws_a_shake_as_long_as_its_chord() -> None:
    reader = verovio_reader(musicxml(bar_of("4x5d 4d 4x5d = | = 4d . .")))
    waves = [
        (wave.get("tstamp2"), wave.get("extender"), wave.get("lstartsym"))
        for wave in mei(reader).iterfind(".//m:trill", MEI)
    ]
    assert waves == [("0m+2", "true", "none"), ("1m+2", "true", "none")]


@pytest.mark.slow
@settings(max_examples=EXAMPLES)
@given(tune_texts(), styles)
def test_verovio_reads_any_tune(tune: str, options: SheetOptions) -> None:
    score = score_of(tune)
    reader = verovio_reader(musicxml(score, with_breaths(score, options)))
    assert_same(verovio_notes(reader), expected(score), NEAR)
    assert verovio_tab(reader) == expected_tab(score, options.tab)

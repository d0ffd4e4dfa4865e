"""Building the MusicXML of a 12-bar tune, against the same score built and written by music21.

The second baseline is the reason for writing text: the same elements built and serialised with
lxml, without any of the thinking, already take longer than all of ours.

music21 gets the rhythm ready made (values, ties, tuplets) and writes without working out notation
of its own, the fastest way it has. Content is the same within reason: bars, notes, chords, rests,
ties, tab as lyrics, articulations, chord symbols, names, words, dynamics, key, meter, tempo.
Rhythms are forgotten before each of our rounds, so nothing is remembered from the round before.
"""

from __future__ import annotations

from fractions import Fraction

import music21
from lxml import etree
from music21.musicxml.m21ToXml import GeneralObjectExporter

from bench.row import Gate, Row, median_ms
from reedwright.sheet.barpattern import pattern
from reedwright.sheet.barxml import DYNAMICS
from reedwright.sheet.headings import Heading, changes, chord_changes, headings
from reedwright.sheet.musicxml import musicxml
from reedwright.sheet.options import TabStyle
from reedwright.sheet.rhythm import NotatedBar, Rhythm, notate
from reedwright.sheet.tabstyle import printed, tab_lines, technique
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune
from reedwright.tune.values import MarkKind

TUNE = """\
Title: Twelve bars to measure
Harp: A
Position: 2
Feel: shuffle
Tempo: 60, 80, 104
Form: 12-bar quick change

Lick Call (cup closed, loud)
0: . . .&2d 3d'&3d
1: /4dv = 3d'&2d .
2: 1+2d&1+2d . {cup open, soft} 4x5d@3 (4d)

Lick Run
1: 4d&5d&4d 3d'&2d 1d&2d''&2d&3d' 3d
2: 4d =&4d 3d&2d .

Lick Rhythm
1: 1+2+3+4b&1+2b 1+2b 1d+4d&1+2d .&1+2d
2: 1+2b&1+2b 1+2d 1+2b&1+2b 1+2d!

Lick Turn
1: 4d&3d'&2d =&2d''&1d 2d&.&2d 2d
2: 1d 4d\\\\ 1+4d .

Chorus
1 Call
3 Run
5 Rhythm
7 Call
9 Run
11 Turn
"""
_NAMES = {MarkKind.ACCENT: "Accent", MarkKind.DIP: "Scoop", MarkKind.FALL: "Falloff"}


def run() -> list[Row]:
    score = place(read_tune(TUNE))
    ours = median_ms(lambda: _cold(score), rounds=51, warm_up=5)
    warm = median_ms(lambda: musicxml(score), rounds=51, warm_up=5)
    theirs = median_ms(lambda: written_by_music21(score), rounds=7)
    root = etree.fromstring(musicxml(score).encode("utf-8"))
    tree = median_ms(lambda: etree.tostring(_copied(root)), rounds=21)
    faster = Gate.FASTER_AT_LEAST
    return [
        Row("MusicXML of 12 bars", ours, faster, 10, theirs, "music21"),
        Row("MusicXML of 12 bars, rhythms known", warm, Gate.AT_MOST, 5),
        Row("MusicXML of 12 bars as text", ours, faster, 1, tree, "the elements alone with lxml"),
    ]


def _cold(score: Score) -> str:
    pattern.cache_clear()
    return musicxml(score)


def _copied(element: etree._Element) -> etree._Element:
    """The same tree made anew, element by element."""
    made = etree.Element(element.tag, {str(k): str(v) for k, v in element.items()})
    _fill(made, element)
    return made


def _fill(made: etree._Element, element: etree._Element) -> None:
    made.text, made.tail = element.text, element.tail
    for child in element:
        _fill(etree.SubElement(made, child.tag, {str(k): str(v) for k, v in child.items()}), child)


def written_by_music21(score: Score) -> bytes:
    """The score built as music21 objects and written as MusicXML."""
    rhythm = notate(score)
    part = music21.stream.Part()
    part.partName = "Harmonica"
    over = headings(score)
    before = None
    for bar in rhythm.bars:
        measure = music21.stream.Measure(number=bar.bar + 1)
        if bar is rhythm.bars[0]:
            _first(measure, score)
        _names(measure, over.get(bar.bar, Heading()))
        for beat, chord in chord_changes(score, bar.bar, before):
            before = chord
            symbol = music21.harmony.ChordSymbol(root=chord.name(0)[0], kindStr=chord.quality)
            measure.insert(beat, symbol)
        _fill_measure(measure, bar, rhythm, score)
        part.append(measure)
    whole = music21.stream.Score([part])
    whole.metadata = music21.metadata.Metadata(title=score.tune.title)
    exporter = GeneralObjectExporter(whole)
    exporter.makeNotation = False
    written: bytes = exporter.parse()
    return written


def _first(measure: music21.stream.Measure, score: Score) -> None:
    tune = score.tune
    measure.clef = music21.clef.TrebleClef()
    measure.keySignature = music21.key.KeySignature(tune.fifths)
    measure.timeSignature = music21.meter.TimeSignature(str(tune.meter))
    measure.insert(0, music21.tempo.MetronomeMark(number=float(tune.full_tempo_bpm)))
    measure.insert(0, music21.expressions.TextExpression("Shuffle"))


def _names(measure: music21.stream.Measure, heading: Heading) -> None:
    for name in heading.licks:
        measure.insert(0, music21.expressions.RehearsalMark(name))


def _fill_measure(
    measure: music21.stream.Measure, bar: NotatedBar, rhythm: Rhythm, score: Score
) -> None:
    said = changes(score.events)
    for piece in bar.pieces:
        offset = Fraction(piece.at - bar.first_beat * rhythm.beat_ticks, rhythm.divisions)
        length = Fraction(piece.length, rhythm.divisions)
        index = bar.events[piece.span]
        if index < 0:
            measure.insert(offset, music21.note.Rest(quarterLength=length))
            continue
        event = score.events[index]
        pitches = [score.tune.harp.midi(note) for note in event.sound.reeds]
        note = (
            music21.note.Note(pitches[0], quarterLength=length)
            if len(pitches) == 1
            else music21.chord.Chord(pitches, quarterLength=length)
        )
        if not (piece.starts and piece.ends):
            kind = "start" if piece.starts else "stop" if piece.ends else "continue"
            note.tie = music21.tie.Tie(kind)
        if piece.starts:
            for number, line in enumerate(tab_lines(event.sound, TabStyle.SIGNS), 1):
                note.addLyric(printed(line), number, applyRaw=True)
            if technique(event.sound):
                note.addLyric(technique(event.sound), 7, applyRaw=True)
            for mark in event.sound.marks:
                if mark.kind in _NAMES:
                    note.articulations.append(getattr(music21.articulations, _NAMES[mark.kind])())
            if index in said and said[index].loudness:
                sign = music21.dynamics.Dynamic(DYNAMICS[event.loudness])
                measure.insert(offset, sign)
        measure.insert(offset, note)

"""One bar of a MusicXML score, with what stands over it.

Conventions: a pickup is bar 0, implicit, and shares the first line. Bars are numbered through the
tune; where that differs from the bar of its chorus, `text` holds the latter. A line breaks every
`bars_per_line` bars of a chorus, and says its first chord. Order at a time: line break,
attributes, tempo and feel, chorus and lick, remarks, chord, manner, note.
"""

from __future__ import annotations

from reedwright.sheet.chordxml import harmony
from reedwright.sheet.counting import Counts, pickup_beats
from reedwright.sheet.headings import (
    Change,
    Heading,
    changes,
    chord_changes,
    chorus_with_pickup,
    headings,
    pickup_names,
    said_with_name,
)
from reedwright.sheet.notexml import NoteWriter
from reedwright.sheet.octaveline import START, STOP, OctaveLines
from reedwright.sheet.options import SheetOptions
from reedwright.sheet.rhythm import NotatedBar, Rhythm
from reedwright.sheet.scorehead import attributes, tempo_and_feel
from reedwright.sheet.xmlwriter import direction, rehearsal, words
from reedwright.tune.chords import Chord
from reedwright.tune.place import Score
from reedwright.tune.values import Loudness

DYNAMICS = {
    Loudness.VERY_SOFT: "pp",
    Loudness.SOFT: "p",
    Loudness.MEDIUM: "mf",
    Loudness.LOUD: "f",
    Loudness.VERY_LOUD: "ff",
}


class BarWriter:
    """Writes the bars of one score, in order."""

    def __init__(self, score: Score, options: SheetOptions, rhythm: Rhythm) -> None:
        self._score, self._options, self._rhythm = score, options, rhythm
        self._notes = NoteWriter(score, options)
        self._headings = headings(score)
        self._changes = changes(score.events)
        self._names = pickup_names(score)
        self._chorus_first = chorus_with_pickup(score)
        self._pickups = pickup_beats(score)
        self._octave_lines = OctaveLines(score, rhythm, options.bars_per_line)
        self._chord: Chord | None = None

    def bar(self, at: int) -> str:
        """The bar at a place in the rhythm. Errors: SheetError."""
        notated = self._rhythm.bars[at]
        chorus, number = self._score.order.place_of(notated.bar)
        in_chorus = notated.bar - self._score.order.chorus_starts[chorus - 1]
        new_line = notated.bar > 0 and in_chorus % self._options.bars_per_line == 0
        if new_line or notated.bar == 0:
            self._chord = None
        parts = [_opening(notated.bar, number)]
        if new_line:
            parts.append('<print new-system="yes"/>\n')
        if at == 0:
            parts.append(attributes(self._score, self._rhythm))
            parts.append(tempo_and_feel(self._score, self._options))
        heading = self._headings.get(notated.bar)
        if heading is not None:
            parts.append(self._heading(heading))
            early = said_with_name(notated, heading, self._names)
            if early in self._changes:
                parts.append(_manner(self._changes.pop(early)))
        self._notes.new_bar()
        parts += self._body(notated)
        parts.append(self._barline(at))
        parts.append("</measure>\n")
        return "".join(parts)

    def _heading(self, heading: Heading) -> str:
        said = [f"Chorus {heading.chorus}"] if heading.chorus else []
        text = "".join(rehearsal(name) for name in (*said, *heading.licks))
        if self._options.remarks:
            text += "".join(words(remark) for _, remark in heading.remarks)
        return text

    def _body(self, notated: NotatedBar) -> list[str]:
        ticks = self._rhythm.beat_ticks
        chords = [
            (int(beat * ticks), chord)
            for beat, chord in chord_changes(self._score, notated.bar, self._chord)
        ]
        if chords:
            self._chord = chords[-1][1]
        counts = self._counts(notated)
        fifths = self._score.tune.fifths
        parts: list[str] = []
        for piece in notated.pieces:
            while chords and chords[0][0] < piece.at + piece.length:
                at, chord = chords.pop(0)
                parts.append(harmony(chord, fifths, at - piece.at))
            index = notated.events[piece.span]
            if index in self._names and piece.starts:
                parts += [rehearsal("Chorus 1")] * (self._chorus_first and index == 0)
                parts.append(rehearsal(self._names[index][1]))
            if index in self._changes and piece.starts:
                parts.append(_manner(self._changes[index]))
            parts += [START] * (self._octave_lines.starts.get(notated.bar) is piece)
            parts.append(self._notes.note(piece, index, counts.get(piece.at, "")))
            parts += [STOP] * (self._octave_lines.stops.get(notated.bar) is piece)
        return parts

    def _counts(self, notated: NotatedBar) -> dict[int, str]:
        """What is counted under a pickup, by tick; nothing in other bars."""
        first = self._pickups.get(notated.bar)
        if first is None:
            return {}
        ticks = self._rhythm.beat_ticks
        counts = Counts((piece.at for piece in notated.pieces), ticks)
        times = (piece.at for piece in notated.pieces if piece.at >= first * ticks)
        return {at: counts.word(at) for at in times}

    def _barline(self, at: int) -> str:
        bar = self._rhythm.bars[at].bar
        if at + 1 == len(self._rhythm.bars):
            return '<barline location="right"><bar-style>light-heavy</bar-style></barline>\n'
        if bar + 1 in self._score.order.chorus_starts and bar >= 0:
            return '<barline location="right"><bar-style>light-light</bar-style></barline>\n'
        return ""


def _opening(bar: int, number: int) -> str:
    if bar < 0:
        return '<measure number="0" implicit="yes">\n'
    shown = f' text="{number}"' if number != bar + 1 else ""
    return f'<measure number="{bar + 1}"{shown}>\n'


def _manner(change: Change) -> str:
    text = words(f"cup {change.cup}") if change.cup else ""
    if change.loudness:
        sign = f"<dynamics><{DYNAMICS[change.loudness]}/></dynamics>"
        text += direction(sign, placement="below")
    return text

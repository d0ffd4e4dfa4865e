"""One written note, chord or rest as MusicXML, with its tab.

Conventions: pitches as they sound; a shake is written as a chord of its two notes with a wavy
line, and not as a trill, which other programs would play with the next note of the scale. Tab
stands twice: with each note as `other-technical`, as it is typed in a tune file, and on lyric lines
as printed, named "tab", the highest hole on line 1; below these, words on technique are a lyric
named "technique", the count of a pickup one named "count". A tied sound has its tab once, where it
starts. Source of the elements: MusicXML 4.0 (W3C).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

from reedwright.sheet.barpattern import Piece
from reedwright.sheet.notevalue import KEPT, TYPES
from reedwright.sheet.options import SheetOptions, TabStyle
from reedwright.sheet.pitches import Pitches
from reedwright.sheet.spelling import Spelled
from reedwright.sheet.tabstyle import printed, tab_lines, technique
from reedwright.sheet.xmlwriter import escaped, lyric, pitch
from reedwright.tune.events import Event
from reedwright.tune.place import Score
from reedwright.tune.values import MarkKind, Sound

_STARTING = {  # marks of the first note of a tied sound
    MarkKind.ACCENT: "<accent/>",
    MarkKind.DIP: "<scoop/>",
}
_WAVY = frozenset({MarkKind.THROAT, MarkKind.HAND})
_TECHNICAL = frozenset(  # no sign of the standard says these; an arpeggio is not a rake
    (
        *(MarkKind.RAKE, MarkKind.WAH, MarkKind.FLUTTER),
        *(MarkKind.SLAP, MarkKind.PULL, MarkKind.BLOCKED),
    )
)
# A wave stops with the last note of a chord: read note by note, the chord has lasted only then.
_START = '<ornaments><wavy-line type="start" number="1"/></ornaments>'
_STOP = '<ornaments><wavy-line type="stop" number="1"/></ornaments>'
_BREATH = "<breath-mark>comma</breath-mark>"


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What a sound looks like wherever it is written: one entry of `technical` for each reed."""

    technical: tuple[str, ...]
    lyrics: str
    kinds: frozenset[MarkKind]
    wavy: bool


class NoteWriter:
    """Writes the notes of one score, in order."""

    def __init__(self, score: Score, options: SheetOptions) -> None:
        self._events = score.events
        self._style = options.tab
        self._breath_marks = options.breath_marks
        self._pitches = Pitches(score)
        self._drawn: dict[int, _Drawn] = {}  # by identity: a sound placed often is one object
        self._technique_line = 1 + max(
            (len(tab_lines(event.sound, self._style)) for event in score.events), default=1
        )

    def new_bar(self) -> None:
        """Forget the accidentals of the bar before."""
        self._pitches.new_bar()

    def note(self, piece: Piece, index: int, count: str) -> str:
        """A piece of the event with this index; `count` is said under it."""
        counted = lyric(self._technique_line + 1, "count", count) if count else ""
        if piece.rest:
            return _rest(piece, counted)
        event = self._events[index]
        drawn = self._drawn.get(id(event.sound))
        if drawn is None:
            drawn = _draw(event.sound, self._style, self._technique_line)
            self._drawn[id(event.sound)] = drawn
        ties, tied = _ties(piece.starts, piece.ends)
        before = f"<duration>{piece.length}</duration>{ties}<voice>1</voice>"
        before += _value(piece.level, piece.dots)
        after = _time(piece.tuplet)
        if piece.starts and MarkKind.GHOST in drawn.kinds:
            after += '<notehead parentheses="yes">normal</notehead>'
        own = _tuplet(piece) + self._signs(piece, event, drawn)
        last = (drawn.lyrics if piece.starts else "") + counted
        chord, beams = "", _beams(piece.beams)
        notes: list[str] = []
        heads: dict[Spelled, str] = {}  # reeds in unison share one
        for written, reed in zip(self._pitches.of(index), drawn.technical, strict=True):
            heads[written] = heads.get(written, "") + reed
        wave_end = _STOP * (drawn.wavy and piece.ends)
        for number, (written, reeds) in enumerate(heads.items(), 1):
            sign = self._pitches.accidental(written, tied=not piece.starts)
            accidental = f"<accidental>{sign}</accidental>" if sign else ""
            technical = f"<technical>{reeds}</technical>" if piece.starts else ""
            said = tied + own + technical + wave_end * (number == len(heads))
            notations = f"<notations>{said}</notations>" if said else ""
            notes.append(
                f"<note>{chord}{pitch(*written)}{before}{accidental}{after}{beams}{notations}{last}"
                "</note>\n"
            )
            chord, beams, own, last = "<chord/>", "", "", ""
        return "".join(notes)

    def _signs(self, piece: Piece, event: Event, drawn: _Drawn) -> str:
        """Ornaments and articulations, said with the first note of a chord."""
        articulations = ""
        if piece.starts:
            articulations = "".join(_STARTING[kind] for kind in _STARTING if kind in drawn.kinds)
        if piece.ends:
            articulations += "<falloff/>" * (MarkKind.FALL in drawn.kinds)
            articulations += _BREATH * (event.id in self._breath_marks)
        said = f"<articulations>{articulations}</articulations>" if articulations else ""
        return _START * (drawn.wavy and piece.starts) + said


def _draw(sound: Sound, style: TabStyle, technique_line: int) -> _Drawn:
    reeds = sorted(sound.reeds, key=lambda note: note.hole)
    kinds = frozenset(mark.kind for mark in sound.marks)
    said = technique(sound)
    technical = [f"<other-technical>{escaped(str(note))}</other-technical>" for note in reeds]
    technical[0] += "".join(
        f"<other-technical>{mark.kind.word}</other-technical>"
        for mark in sound.marks
        if mark.kind in _TECHNICAL
    )
    lines = [
        lyric(number, "tab", printed(line))
        for number, line in enumerate(tab_lines(sound, style), 1)
    ]
    return _Drawn(
        tuple(technical),
        "".join(lines) + (lyric(technique_line, "technique", said) if said else ""),
        kinds,
        sound.shake is not None or bool(kinds & _WAVY),
    )


def _rest(piece: Piece, lyrics: str) -> str:
    if piece.whole_bar:
        return (
            f'<note><rest measure="yes"/><duration>{piece.length}</duration>'
            f"<voice>1</voice>{lyrics}</note>\n"
        )
    edge = _tuplet(piece)
    notations = f"<notations>{edge}</notations>" if edge else ""
    return (
        f"<note><rest/><duration>{piece.length}</duration><voice>1</voice>"
        f"{_value(piece.level, piece.dots)}{_time(piece.tuplet)}{notations}{lyrics}</note>\n"
    )


@cache
def _ties(starts: bool, ends: bool) -> tuple[str, str]:
    types = (["stop"] if not starts else []) + (["start"] if not ends else [])
    ties, tied = ("".join(f'<{name} type="{kind}"/>' for kind in types) for name in ("tie", "tied"))
    return ties, tied


@cache
def _value(level: int, dots: int) -> str:
    return f"<type>{TYPES[level]}</type>" + "<dot/>" * dots


@lru_cache(maxsize=KEPT)
def _time(tuplet: tuple[int, int] | None) -> str:
    if tuplet is None:
        return ""
    actual, normal = tuplet
    return (
        f"<time-modification><actual-notes>{actual}</actual-notes>"
        f"<normal-notes>{normal}</normal-notes></time-modification>"
    )


def _tuplet(piece: Piece) -> str:
    if piece.edge == "start":
        bracket = "yes" if piece.bracket else "no"
        return f'<tuplet type="start" bracket="{bracket}" placement="above"/>'
    return '<tuplet type="stop"/>' if piece.edge else ""


@lru_cache(maxsize=KEPT)
def _beams(beams: tuple[str, ...]) -> str:
    return "".join(f'<beam number="{at}">{beam}</beam>' for at, beam in enumerate(beams, 1))

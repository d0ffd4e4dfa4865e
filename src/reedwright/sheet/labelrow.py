"""The rows above the chords where the labels of a line of music stand.

Conventions: lengths as in `svg`. Names stand on the lowest row, each over its own bar or note; the
tempo beside them where there is room, else above, and words alone likewise. What would meet
another label goes up a row; words may move right a little instead.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from lxml import etree

from reedwright.sheet.fonts import MUSIC_FONT
from reedwright.sheet.glyphs import text_width
from reedwright.sheet.ink import Point, clear
from reedwright.sheet.labels import Label
from reedwright.sheet.svg import SVG, Bar, add_text, new_text, remove, said, texts

Element: TypeAlias = "etree._Element"

_SIZE, _NOTE_SIZE = 430, 640  # type sizes, by eye
# Widths of the tempo's note in thousandths of its size: measured in verovio's Leipzig font.
_BEAT_WIDTHS = {"♩": 302, "\U0001d15e": 310, "♪": 502}
_BEFORE_DOT, _AFTER_BEAT, _DOT_WIDTH = 55, 110, 62
_ROW, _ABOVE_CHORDS, _APART = 540, 590, 300
_SHIFT = 900  # how far words alone may move right before they go up a row instead
_NAME_SHIFT = 180  # a staff space: a name further off would seem to belong to a later note
_BACK = 200  # a label belongs to the first note that is not further back than this
_NAME = {"font-size": f"{_SIZE}", "font-weight": "600"}
_WORDS = {"font-size": f"{_SIZE}", "font-weight": "400", "font-style": "italic"}
_TEMPO = {"font-size": f"{_SIZE}", "font-weight": "400"}
_GAP = "\u2003"  # em space between a name and its words


@dataclass(frozen=True, slots=True)
class _Part:
    """A tempo, or a name with its words, and where it would like to stand."""

    label: Label
    tempo: bool
    x: float
    before: Element
    """The engraver's text in whose place it goes."""

    @property
    def width(self) -> float:
        """Its length in our own font."""
        if self.tempo:
            return _beat_width(self.label.beat) + text_width(self.label.tempo, _SIZE)
        name = text_width(self.label.name + _GAP, _SIZE, bold=True) if self.label.name else 0
        return name + text_width(self.label.words, _SIZE)


def set_labels(
    bars: Sequence[Bar], labels: Sequence[Label], width: float, points: Sequence[Point]
) -> float:
    """Set the labels of one line of music; the baseline (y) of the topmost, 0 without any.

    `points` are the signs to keep clear of.
    """
    parts: list[_Part] = []
    heights: list[float] = []
    for at, bar in enumerate(bars):
        for text in texts(bar.group, "reh", "dir"):
            key = said(text)
            if key.isdecimal() and int(key) < len(labels):
                heights.append(float(text.get("y", "0")))
                label = _fitting(labels[int(key)], width)
                parts += _parts(label, text, bar, first_bar=at == 0)
    if not parts:
        return 0.0
    chords = [float(text.get("y", "0")) for bar in bars for text in texts(bar.group, "harm")]
    base = min([*heights, *(y - _ABOVE_CHORDS for y in chords)])
    placed = list(_placed(parts, width))
    for part, x, row in placed:
        base = clear(points, x, x + part.width, base - row * _ROW) + row * _ROW
    for part, x, row in placed:
        part.before.addprevious(_drawn(part, x, base - row * _ROW))
    for place in {part.before for part in parts}:
        remove(place)
    return base - max(row for _, _, row in placed) * _ROW


def _fitting(label: Label, width: float) -> Label:
    """The label with so much of its texts as the line can take: half of it for each."""
    return replace(
        label,
        tempo=_cut(label.tempo, width / 2, bold=False),
        name=_cut(label.name, width / 2 - _SIZE, bold=True),
        words=_cut(label.words, width / 2, bold=False),
    )


def _cut(text: str, room: float, *, bold: bool) -> str:
    if text_width(text, _SIZE, bold=bold) <= room:
        return text
    while text and text_width(text + "…", _SIZE, bold=bold) > room:
        text = text[:-1]
    return text.rstrip() + "…"


def _parts(label: Label, text: Element, bar: Bar, *, first_bar: bool) -> Iterator[_Part]:
    own = float(text.get("x", "0"))
    x = next((left for left in sorted(c.left for c in bar.columns) if left >= own - _BACK), own)
    if label.tempo:
        yield _Part(label, True, 0.0 if first_bar else x, text)
    if label.name or label.words:
        yield _Part(label, False, x, text)


def _placed(parts: list[_Part], width: float) -> Iterator[tuple[_Part, float, int]]:
    """Every part with its left edge and its row, the lowest row being 0."""
    taken: list[tuple[int, float, float]] = []
    for part in sorted(parts, key=lambda one: (one.tempo, not one.label.name, one.x)):
        length = part.width
        shift = 0 if part.tempo else _NAME_SHIFT if part.label.name else _SHIFT
        wanted = max(0.0, min(part.x, width - length))
        row, x = 0, wanted
        while True:
            others = [(left, right) for at, left, right in taken if at == row]
            found = _beside(wanted, length, others, width - length, shift)
            if found is not None:
                x = found
                break
            row += 1
        taken.append((row, x, x + length + _APART))
        yield part, x, row


def _beside(
    x: float, length: float, others: list[tuple[float, float]], last: float, shift: float
) -> float | None:
    """Where a text wanted at `x` fits into a row, at most `shift` to the right of it and not
    beyond `last`; None for nowhere."""
    at = x
    for left, right in sorted(others):
        if at < right and left < at + length + _APART:
            at = right
    return at if at == x or (at - x <= shift and at <= last) else None


def _drawn(part: _Part, x: float, y: float) -> Element:
    label = part.label
    if part.tempo:
        return _drawn_tempo(label, x, y)
    if not label.name:
        return new_text(label.words, x, y, _WORDS)
    text = new_text(label.name, x, y, _NAME)
    if label.words:
        start = x + text_width(label.name + _GAP, _SIZE, bold=True)
        span = etree.SubElement(text, f"{SVG}tspan", {"x": f"{start:g}"} | _WORDS)
        add_text(span, label.words, start, _WORDS)
    return text


def _beat_width(beat: str) -> float:
    """From the left edge of the tempo's note to the words after it."""
    dot = _BEFORE_DOT + _DOT_WIDTH if len(beat) > 1 else 0
    return _note_width(beat) + dot + _AFTER_BEAT


def _note_width(beat: str) -> float:
    return _BEAT_WIDTHS[beat[0]] * _NOTE_SIZE / 1000


def _drawn_tempo(label: Label, x: float, y: float) -> Element:
    """The note, its dot a little apart from it, and the words."""
    text = new_text("", x, y, _TEMPO)
    sign, dot = label.beat[0], label.beat[1:]
    music = {"font-family": MUSIC_FONT, "font-size": f"{_NOTE_SIZE}"}
    etree.SubElement(text, f"{SVG}tspan", music).text = sign
    if dot:
        place = {"x": f"{x + _note_width(sign) + _BEFORE_DOT:g}"}
        etree.SubElement(text, f"{SVG}tspan", place | music).text = dot
    after = x + _beat_width(label.beat)
    span = etree.SubElement(text, f"{SVG}tspan", {"x": f"{after:g}"})
    add_text(span, label.tempo, after, _TEMPO)
    return text

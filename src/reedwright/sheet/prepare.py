"""A score in MusicXML made ready for the engraver.

The engraver sets every "page" of a score as one picture, so each line of music becomes a page.
What it cannot draw, or not as a sheet wants it (counts, glides), is taken out here, keyed by the
id of its note, and drawn afterwards by `finish`.

Conventions of the score: a lyric's `name` says what it is: "tab" (also when there is no name;
number 1 is the top line), "technique" or "count"; lyrics named "count" may stand under rests. The
first measure is a pickup when it is implicit or numbered 0; a measure's `text` is the number of its
bar in the chorus, else `number` is. What is said above: see `labels`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import TypeAlias

from lxml import etree

from reedwright.errors import SheetError
from reedwright.sheet.glyphs import printable
from reedwright.sheet.labels import Label, take_labels, tidy
from reedwright.sheet.strokes import GLIDES

# What a line of normal print holds without crowding: four bars of eighths and a little, by eye.
SIGNS_PER_LINE = 34
_CROWDED = 1.25  # times what a line holds; with more, tab grows too small to read, by eye
_SPARSE = 4  # at most so many notes and rests in a bar that may join the line before
GUARD = "a\u2061"  # ends in an invisible sign that `printable` lets nobody else use
TECHNIQUE_LINE = 8  # the lyric line under at most seven lines of tab

Element: TypeAlias = "etree._Element"


@dataclass(frozen=True, slots=True)
class Mark:
    """What is drawn at a note after engraving: a glide by name, or a "count" with its text."""

    note_id: str
    kind: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of music: what it is called ("Chorus 2, bars 5 to 8", the chorus only where there
    are several), and the bar number it starts with."""

    title: str
    number: str = ""


@dataclass(frozen=True, slots=True)
class Prepared:
    """A score the engraver can take, and its lines in order."""

    musicxml: str
    marks: tuple[Mark, ...]
    labels: tuple[Label, ...]
    lines: tuple[Line, ...]
    last_line_full: bool


def prepare(
    musicxml: str, *, bars_per_line: int | None = None, room: float = SIGNS_PER_LINE
) -> Prepared:
    """Break the score into lines and take out what is drawn later.

    With `bars_per_line` the score's own line breaks give way to lines of so many bars; a pickup
    bar joins the first line. A last line of one sparse bar joins the line before it where `room`
    (notes and rests of a line) allows. Characters the sheet's fonts lack are replaced.

    Raises:
        SheetError: the text is no partwise MusicXML score with at least one bar.
    """
    root = _parse(musicxml)
    measures = root.findall("part[1]/measure")
    if not measures:
        raise SheetError("The score has no bar, so there is nothing to engrave.")
    for measure in measures:  # the engraver knows no other number than this one
        measure.set("number", measure.get("text", measure.get("number", "")))
    usual = _without_orphan(_line_starts(measures, bars_per_line), measures, room)
    starts = _without_crowds(usual, measures, room * _CROWDED)
    _break_lines(measures, starts)
    for element in root.iter("text", "words", "rehearsal"):
        element.text = printable(element.text or "")
    labels: list[Label] = []
    for measure in measures:
        take_labels(measure, labels)
    marks = [mark for number, note in enumerate(root.iter("note")) for mark in _mark(note, number)]
    places = _places(measures)
    lines = [places[start:end] for start, end in pairwise([*starts, len(measures)])]
    return Prepared(
        etree.tostring(root, encoding="unicode"),
        tuple(marks),
        tuple(labels),
        tuple(_line(line, first=at == 0) for at, line in enumerate(lines)),
        starts[-1] not in usual or len(lines[-1]) >= max(map(len, lines[1:-1]), default=1),
    )


def _parse(musicxml: str) -> Element:
    # Nothing outside the text is read: no entities, no document type, no network.
    parser = etree.XMLParser(
        encoding="utf-8", resolve_entities=False, load_dtd=False, no_network=True
    )
    try:
        root = etree.fromstring(musicxml.encode("utf-8"), parser)
    except (etree.XMLSyntaxError, UnicodeEncodeError) as error:
        raise SheetError(f"The score is not well-formed MusicXML: {error}") from error
    if root.tag != "score-partwise":
        raise SheetError(f"The score is a <{root.tag}>; only a <score-partwise> can be engraved.")
    return root


def _line_starts(measures: list[Element], bars_per_line: int | None) -> list[int]:
    if bars_per_line is None:
        return [0, *(at for at, measure in enumerate(measures) if at and _breaks(measure))]
    if bars_per_line < 1:
        raise SheetError(f"A line holds at least one bar, not {bars_per_line}.")
    return [0, *range(bars_per_line + _has_pickup(measures), len(measures), bars_per_line)]


def _has_pickup(measures: list[Element]) -> bool:
    return measures[0].get("implicit") == "yes" or measures[0].get("number") == "0"


def _without_orphan(starts: list[int], measures: list[Element], room: float) -> list[int]:
    """Line starts without the last one, if a single sparse bar would stand there alone."""
    if len(starts) < 2 or starts[-1] != len(measures) - 1:
        return starts
    if _signs(measures[-1:]) > _SPARSE or _signs(measures[starts[-2] :]) > room:
        return starts
    return starts[:-1]


def _without_crowds(starts: list[int], measures: list[Element], most: float) -> list[int]:
    """Lines of too many notes and rests broken in two, a pickup counted with the bar after it."""
    found: list[int] = []
    for start, end in pairwise([*starts, len(measures)]):
        found.append(start)
        bars = end - start - (start == 0 and _has_pickup(measures))
        if bars > 1 and _signs(measures[start:end]) > most:
            found.append(end - bars // 2)
    return found


def _signs(measures: list[Element]) -> int:
    """Notes and rests that stand side by side."""
    return sum(
        note.find("chord") is None for measure in measures for note in measure.findall("note")
    )


def _breaks(measure: Element) -> bool:
    return any(
        printed.get("new-system") == "yes" or printed.get("new-page") == "yes"
        for printed in measure.findall("print")
    )


def _break_lines(measures: list[Element], starts: list[int]) -> None:
    new_lines = set(starts[1:])
    for at, measure in enumerate(measures):
        for old in measure.findall("print"):
            measure.remove(old)
        if at in new_lines:
            measure.insert(0, etree.Element("print", {"new-page": "yes"}))


def _places(measures: list[Element]) -> list[tuple[int, str]]:
    """Chorus (0 where there is but one) and number of each bar; a bar 1 begins a chorus."""
    numbers = [tidy(measure.get("number")) for measure in measures]
    choruses = [max(1, number) for number in accumulate(each == "1" for each in numbers)]
    several = choruses[-1] > 1
    return [(chorus * several, each) for chorus, each in zip(choruses, numbers, strict=True)]


def _line(bars: list[tuple[int, str]], *, first: bool) -> Line:
    (chorus, start), (last_chorus, end) = bars[0], bars[-1]
    if chorus != last_chorus:
        title = f"Chorus {chorus}, bar {start}, to chorus {last_chorus}, bar {end}"
    else:
        title = f"Bar {start}" if len(bars) == 1 else f"Bars {start} to {end}"
        title = f"Chorus {chorus}, {title.lower()}" if chorus else title
    return Line(title, "" if first else start)


def _mark(note: Element, number: int) -> Iterator[Mark]:
    """Give the note an id and its technique word a line; say what is drawn beside it later."""
    note_id = f"n{number}"
    note.set("id", note_id)
    for lyric in note.findall("lyric"):
        name = lyric.attrib.pop("name", "tab")  # the engraver would draw it as a title
        for text in lyric.findall("text") if name != "count" else ():
            _guard(text, always=name == "technique")
        if name == "technique":
            lyric.set("number", str(TECHNIQUE_LINE))
        if name == "count":
            note.remove(lyric)
            yield Mark(note_id, name, tidy(lyric.findtext("text")))
    articulations = note.find("notations/articulations")
    if articulations is not None:
        yield from (Mark(note_id, kind) for kind in GLIDES if articulations.find(kind) is not None)


def _guard(text: Element, *, always: bool) -> None:
    """Keep the engraver from taking figures before a blank for the number of a verse."""
    text.text = tidy(text.text)
    if text.text and (always or " " in text.text):
        text.text = GUARD + text.text

"""MusicXML: what is read, and what is refused."""

from __future__ import annotations

import io
import zipfile
from fractions import Fraction

import pytest

from reedwright.fit.melody import MelodyError
from reedwright.fit.reading import Reading
from reedwright.fit.safexml import MAX_XML_BYTES
from reedwright.fit.scorefile import score_music
from reedwright.fit.settle import reading_of
from tests.fit.files import ATTRIBUTES, note, packed, score

PICKUP = f'<measure number="0">{ATTRIBUTES}{note("D", 4, 2)}</measure>'
DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)


def read(data: bytes, part: int | None = None) -> Reading:
    return reading_of(score_music(data), part)


def bar(inside: str) -> str:
    return f"<measure>{inside}</measure>"


TIE = '<tie type="start"/>', '<tie type="stop"/>'
TUNE = PICKUP + bar(
    '<direction><sound tempo="90"/></direction>'
    "<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>"
    '<note><grace/><pitch><step>A</step><octave>4</octave></pitch></note>'
    f'{note("G", 4, 2)}{note("F", 4, 1, alter=1)}{note("G", 4, 1)}'
    "<harmony><root><root-step>D</root-step></root><kind>dominant</kind></harmony>"
    f'{note("A", 4, 2, TIE[0])}'
) + bar(f'{note("A", 4, 4, TIE[1])}<note><rest/><duration>2</duration></note>')  # fmt: skip


@pytest.mark.parametrize(
    "data",
    [
        score(TUNE),
        score(TUNE, before=DOCTYPE),
        packed(score(TUNE)),
        packed(score(TUNE), "a/b.musicxml"),
    ],
)
def test_a_tune(data: bytes) -> None:
    reading = read(data)
    melody = reading.melody
    assert (melody.title, str(melody.meter)) == ("Plain Song", "3/4")
    assert melody.tempo_bpm == 90
    assert (melody.key, melody.minor, melody.bar_count) == (7, False, 2)
    half = Fraction(1, 2)
    assert [(n.start, n.length, n.top) for n in melody.notes] == [
        (-1, 1, 62), (0, 1, 67), (1, half, 66), (1 + half, half, 67), (2, 3, 69),
    ]  # fmt: skip
    told = [[(s.chord.name(), float(s.start), float(s.length)) for s in bar] for bar in melody.bars]
    assert told == [[("G", 0, 2), ("D7", 2, 1)], [("D7", 0, 3)]]
    assert (reading.remarks, reading.part) == ((), "")


def test_utf_16() -> None:
    text = score(TUNE).decode().replace("UTF-8", "UTF-16")
    assert len(read(text.encode("utf-16")).melody.notes) == 5


def test_transposing_parts_sound() -> None:
    transpose = "<transpose><chromatic>-2</chromatic></transpose></attributes>"
    clarinet = ATTRIBUTES.replace("</attributes>", transpose)
    melody = read(score(f"<measure>{clarinet}{note('C', 5, 2)}</measure>")).melody
    assert (melody.notes[0].top, melody.key) == (70, 5)  # B flat sounds, in F


def test_two_voices_and_a_chord_leave_the_top() -> None:
    chord = "<note><chord/>" + note("G", 4, 2)[6:]
    below = f"<backup><duration>4</duration></backup>{note('C', 3, 4)}"
    inside = f"{ATTRIBUTES}{note('E', 4, 2)}{chord}{note('D', 5, 2)}{below}"
    reading = read(score(f"<measure>{inside}</measure>"))
    assert [n.top for n in reading.melody.notes] == [67, 74]
    assert reading.remarks == ("Only the top voice was taken; 2 notes are left out.",)


def test_staves_are_parts_and_a_close_call_asks() -> None:
    with pytest.raises(MelodyError, match="2 parts, and no one is clearly the melody"):
        read(score(TUNE, parts=2))
    assert read(score(TUNE, parts=2), 2).part == "2 Part 2 (5 notes, 100% one voice)"
    low = f"<backup><duration>2</duration></backup>{note('C', 3, 2, '<staff>2</staff>')}"
    upper = note("C", 5, 2, "<staff>1</staff>")
    assert len(score_music(score(f"<measure>{ATTRIBUTES}{upper}{low}</measure>")).lines) == 2


def test_repeats_and_changes_of_meter_are_said() -> None:
    four = "<attributes><time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
    repeat = '<barline location="right"><repeat direction="backward"/></barline>'
    remarks = read(score(TUNE + bar(f"{four}{note('G', 4, 8)}{repeat}"))).remarks
    assert remarks == (
        "Repeats are not played out: every bar is there once, in the order written.",
        "The meter changes; bars are counted in the first one throughout.",
    )


@pytest.mark.parametrize(
    ("beats", "kind", "meter", "lengths"),
    [(2, 2, "4/4", 1), (6, 8, "6/8", Fraction(2, 3)), (7, 8, "7/4", 2), (3, 2, "6/4", 1)],
)
def test_meters_as_a_tune_counts_them(beats: int, kind: int, meter: str, lengths: Fraction) -> None:
    time = f"<attributes><divisions>1</divisions><time><beats>{beats}</beats><beat-type>{kind}"
    data = score(f"<measure>{time}</beat-type></time></attributes>{note('C', 5, 1)}</measure>")
    melody = read(data).melody
    assert (str(melody.meter), melody.notes[0].length) == (meter, lengths)


BOMB = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>'
OUTSIDE = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>'
PARAMETER = '<!DOCTYPE x [<!ENTITY % a SYSTEM "http://localhost/x.dtd"> %a;]>'
DECLARES = "<!DOCTYPE x [<!ELEMENT x (#PCDATA)>]>"
ZEROS = b"<score-partwise>" + b" " * 5_000_000


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (score(TUNE, before=BOMB), "XML that declares entities"),
        (score(TUNE, before=OUTSIDE), "XML that declares entities"),
        (score(TUNE, before=PARAMETER), "XML that declares entities"),
        (score(TUNE, before=BOMB).decode().replace("UTF-8", "UTF-16").encode("utf-16"), "entities"),
        (score(TUNE, before=DECLARES), "XML that declares its own elements"),
        (packed(score(TUNE, before=BOMB)), "XML that declares entities"),
        (packed(ZEROS), "a file that unpacks to 5,000,016 bytes"),
        (packed(score(TUNE), container="<x/>")[:-30], "a broken .mxl file"),
        (packed(b"x", "notes.txt", "<container/>"), "an .mxl file without a score"),
        (score(TUNE)[:-20], "broken XML"),
        (score("<measure/>"), "no notes in this score"),
        (b"<score-timewise/>", "MusicXML in measures of parts instead of"),
        (b"<html/>", "<html> instead of a score in parts"),
        (b" " * (MAX_XML_BYTES + 1), "8,000,001 bytes of XML"),
        (b"<a>" * 1000, "broken XML"),
        (score(f"<measure>{ATTRIBUTES}{note('C', 5, 1) * 10_001}</measure>"), "10,001 notes"),
    ],
)
def test_what_is_refused(data: bytes, said: str) -> None:
    with pytest.raises(MelodyError, match=said) as caught:
        read(data)
    assert "\n" not in str(caught.value)


def test_a_packed_file_that_lies_about_its_size() -> None:
    """The sizes written in the directory are small; what comes out is cut off all the same."""
    data = packed(b"<score-partwise>" + b"x" * 9_000_000)
    honest = (9_000_016).to_bytes(4, "little")
    assert data.count(honest) == 2
    lying = data.replace(honest, (1000).to_bytes(4, "little"))
    with pytest.raises(MelodyError):
        read(lying)


def test_many_files_in_one() -> None:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as file:
        for at in range(101):
            file.writestr(f"{at}.xml", "<x/>")
    with pytest.raises(MelodyError, match=r"101 files in one \.mxl\. At most 100 are taken"):
        read(out.getvalue())

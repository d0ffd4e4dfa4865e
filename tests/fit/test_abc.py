"""ABC: the signs of the standard, books, and text that is none."""

from __future__ import annotations

from fractions import Fraction

import pytest

from reedwright.fit.abcbook import MAX_ABC_BYTES, abc_text, tunes_of
from reedwright.fit.abcfile import abc_music
from reedwright.fit.melody import Melody, MelodyError
from reedwright.fit.settle import reading_of

HEAD = "X:1\nT:Plain Song\nM:4/4\nL:1/4\nK:C\n"


def melody(body: str, head: str = HEAD) -> Melody:
    return reading_of(abc_music(head + body)).melody


def heard(body: str, head: str = HEAD) -> list[tuple[Fraction, Fraction, int]]:
    return [(note.start, note.length, note.top) for note in melody(body, head).notes]


def lengths(body: str, head: str = HEAD) -> list[Fraction]:
    return [length for _, length, _ in heard(body, head)]


@pytest.mark.parametrize(
    ("body", "pitches"),
    [
        ("C D c c' C, C,, z d", [60, 62, 72, 84, 48, 36, 74]),
        (
            "^F F f _B B =B B | F",
            [66, 66, 78, 70, 70, 71, 71, 65],
        ),  # in all octaves, to the bar
        ("^^C __D", [62, 60]),
        ("[CEG] [K:D] F C |", [67, 66, 61]),
        ('"Am"A "^slow"B !trill!c {de}d +fermata+e ~f uD', [69, 71, 72, 74, 76, 77, 62]),
        ("C % a comment D\nw: la la\nE", [60, 64]),
        ("CE\\\nG", [60, 64, 67]),
    ],
)
def test_pitches(body: str, pitches: list[int]) -> None:
    assert [top for _, _, top in heard(body)] == pitches


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        (
            "C C2 C/ C/2 C// C3/2 C3/",
            [1, 2, Fraction(1, 2), Fraction(1, 2), Fraction(1, 4), Fraction(3, 2), Fraction(3, 2)],
        ),
        (
            "C>D E<F G>>A",
            [
                Fraction(3, 2),
                Fraction(1, 2),
                Fraction(1, 2),
                Fraction(3, 2),
                Fraction(7, 4),
                Fraction(1, 4),
            ],
        ),
        (
            "(3CDE (C>D) (2CD",
            [Fraction(2, 3)] * 3 + [Fraction(3, 2), Fraction(1, 2)] + [Fraction(3, 2)] * 2,
        ),
        ("(3:2:2C2D (5CDEFG", [Fraction(4, 3), Fraction(2, 3)] + [Fraction(2, 5)] * 5),
        ("C- C D2-|D2 E", [2, 4, 1]),
        ("C-D E", [1, 1, 1]),
        ("[C2E2]2 [CE]- [CE]", [4, 2]),
        ("[L:1/8] C2 [M:6/8] C", [1, Fraction(1, 2)]),
    ],
)
def test_lengths(body: str, expected: list[Fraction]) -> None:
    assert lengths(body) == expected


@pytest.mark.parametrize(
    ("key", "expected", "tonic", "minor"),
    [
        ("G", [66, 60], 7, False),
        ("Em", [66, 60], 4, True),
        ("D dorian", [65, 60], 2, True),
        ("Dmix", [66, 60], 2, False),
        ("Bb", [65, 60], 10, False),
        ("E Minor", [66, 60], 4, True),
        ("A exp ^c", [65, 61], 9, False),
        ("C ^f", [66, 60], 0, False),
        ("C clef=treble-8", [53, 48], 0, False),
        ("C transpose=2", [67, 62], 2, False),
        ("none", [65, 60], None, False),
        ("HP", [66, 61], 9, False),
    ],
)
def test_keys(key: str, expected: list[int], tonic: int | None, minor: bool) -> None:
    tune = melody("F C", HEAD.replace("K:C", f"K:{key}"))
    assert ([note.top for note in tune.notes], tune.key, tune.minor) == (expected, tonic, minor)


@pytest.mark.parametrize(
    ("tempo", "meter", "expected"),
    [
        ("1/4=90", "4/4", 90), ("3/8=110", "6/8", 110), ('"Lively" 1/2=60', "4/4", 120),
        ("120", "4/4", 120), ('"Slow"', "4/4", 100), ("1/4 1/8=80", "6/8", 80),
        ("1/4=0", "4/4", 100),
        ("1/4=9999", "4/4", 100),
    ],
)  # fmt: skip
def test_tempos(tempo: str, meter: str, expected: int) -> None:
    head = HEAD.replace("M:4/4", f"M:{meter}").replace("K:C", f"Q:{tempo}\nK:C")
    assert melody("CDE", head).tempo_bpm == expected


def test_meter_default_length_pickup_and_chords() -> None:
    head = "X:1\nM:6/8\nK:G\n"
    tune = melody('D|"G"GAB "D7"d2B|"C"c3 "G"G2:|', head)
    assert str(tune.meter) == "6/8"
    assert [note.start for note in tune.notes[:3]] == [Fraction(-1, 3), 0, Fraction(1, 3)]
    told = [[span.chord.name(1) for span in bar] for bar in tune.bars]
    assert told == [["G", "D7"], ["C", "G"]]


def test_voices_are_parts() -> None:
    music = abc_music(HEAD + "V:1 name=Tune\nCDEF|\nV:2\nC,4|\nV:1\nGABc|\n")
    assert [(line.name, len(line.notes)) for line in music.lines] == [("Tune", 8), ("", 1)]
    assert [note.start for note in music.lines[0].notes] == list(range(8))


def test_a_book() -> None:
    book = "%abc\n\n" + HEAD + "CDEF\n\nX:7\nT: Second\nK:G\nGG\n"
    assert [(number, title) for number, title, _ in tunes_of(book)] == [
        (1, "Plain Song"),
        (2, "Second"),
    ]


def test_bytes_that_are_not_utf_8() -> None:
    assert abc_text("T:Für\r\n".encode("latin-1")) == "T:Für\n"


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "no tune in this ABC file"),
        (b"hello world", "no tune in this ABC file"),
        (b"X:1\n" + b"C" * MAX_ABC_BYTES, "2,000,004 bytes of ABC"),
        (b"X:1\nK:C\n" * 6000, "over 5,000 tunes"),
    ],
)
def test_no_book(data: bytes, said: str) -> None:
    with pytest.raises(MelodyError, match=said):
        tunes_of(abc_text(data))


@pytest.mark.parametrize(
    ("body", "said"),
    [("", "no notes"), ("z4|", "no notes"), ("C" * 10_001, "10,001 notes in one part")],
)
def test_no_melody(body: str, said: str) -> None:
    with pytest.raises(MelodyError, match=said):
        melody(body)


def test_a_meter_too_long() -> None:
    with pytest.raises(MelodyError, match="meter 17/4"):
        melody("CDE", HEAD.replace("4/4", "17/4"))

"""The harp's layout, bends, registers and duplicates against facts of the trade.

Each check names its source; all of them stand in docs/facts.md with the same marks.
"""

import pytest

from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.law import bend_limit
from reedwright.harp.note import Breath, TabNote, parse_note
from reedwright.harp.pitch import parse_pitch
from reedwright.harp.tuning import tuning_named

C = harp_named("C")


def pitches(harp: Harp, kind: str) -> dict[str, int]:
    """MIDI number of every `natural`, `bend` or `over` note by its token."""
    notes = [n for n in harp.notes() if (n.over, n.bend > 0) == (kind == "over", kind == "bend")]
    return {str(note): harp.midi(note) for note in notes}


# Source: OEIS A291810, semitones above 1 blow in the order 1b 1d 2b 2d … 10b 10d.
A291810 = (0, 2, 4, 7, 7, 11, 12, 14, 16, 17, 19, 21, 24, 23, 28, 26, 31, 29, 36, 33)


def test_richter_offsets() -> None:
    notes = [TabNote(hole, breath) for hole in range(1, 11) for breath in Breath]
    assert tuple(C.midi(note) - 60 for note in notes) == A291810


# Source: common practice; overbends a semitone above the higher reed of the hole.
BENDS = {
    "1d'": "Db4",
    "2d'": "F#4",
    "2d''": "F4",
    "3d'": "Bb4",
    "3d''": "A4",
    "3d'''": "Ab4",
    "4d'": "Db5",
    "6d'": "Ab5",
    "8b'": "Eb6",
    "9b'": "F#6",
    "10b'": "B6",
    "10b''": "Bb6",
}
OVERBENDS = {"1bo": 63, "2bo": 68, "3bo": 72, "4bo": 75, "5bo": 78, "6bo": 82}
OVERBENDS |= {"7do": 85, "8do": 89, "9do": 92, "10do": 97}


def test_the_bends_of_a_c_harp() -> None:
    assert pitches(C, "bend") == {token: parse_pitch(name) for token, name in BENDS.items()}


def test_the_overbends_of_a_c_harp() -> None:
    assert pitches(C, "over") == OVERBENDS


def test_a_bend_lies_between_the_reeds_and_an_overbend_outside() -> None:
    # Source: Bahnson, Antaki & Beery, JASA 103(4) 2134–2144, 1998 (in words, without numbers).
    for note in C.notes():
        low, high = sorted(C.midi(TabNote(note.hole, breath)) for breath in Breath)
        if note.bend:
            assert low < C.midi(note) < high
        if note.over:
            assert C.midi(note) > high


def test_counts_of_pitches() -> None:
    # Source: computed from the offsets and the law: 19 natural + 12 bends = 31 of 37 semitones.
    natural, bends = set(pitches(C, "natural").values()), set(pitches(C, "bend").values())
    assert (len(natural), len(bends - natural), len(natural | bends)) == (19, 12, 31)
    missing = set(range(60, 97)) - natural - bends
    assert missing == {parse_pitch(p) for p in ("Eb4", "Eb5", "F#5", "Bb5", "Db6", "Ab6")}
    over = pitches(C, "over")
    assert missing == {over[token] for token in ("1bo", "4bo", "5bo", "6bo", "7do", "9do")}


@pytest.mark.parametrize(("one", "other"), [("2bo", "3d'''"), ("3bo", "4b"), ("8do", "9d")])
def test_duplicates(one: str, other: str) -> None:
    # Source: computed from the offsets and the law.
    assert C.midi(parse_note(one)) == C.midi(parse_note(other))


# Source: common practice: MIDI number of 1 blow in the usual register.
REGISTERS = {"G": 55, "Ab": 56, "A": 57, "Bb": 58, "B": 59, "C": 60}
REGISTERS |= {"Db": 61, "D": 62, "Eb": 63, "E": 64, "F": 65, "F#": 66}


@pytest.mark.parametrize(("key", "midi"), REGISTERS.items())
def test_registers(key: str, midi: int) -> None:
    first = parse_note("1b")
    assert harp_named(key).midi(first) == midi
    assert harp_named(f"low {key}").midi(first) == midi - 12
    assert harp_named(f"high {key}").midi(first) == midi + 12


# Source: common practice for the layouts; the counts of bends are computed from the law.
BEND_COUNTS = {
    "Richter": "1 2 3 1 0 1 0 1 1 2",
    "country": "1 2 3 1 1 1 0 1 1 2",
    "raised third blow": "1 2 1 1 0 1 0 1 1 2",
    "natural minor": "1 3 2 1 1 1 1 0 1 2",
    "harmonic minor": "1 3 3 1 1 0 0 0 1 3",
    "solo": "1 0 1 0 1 0 1 0 1 0",
    "spiral from C": "1 0 1 0 1 1 1 1 0 1",
}


@pytest.mark.parametrize(("name", "counts"), BEND_COUNTS.items())
def test_bend_counts(name: str, counts: str) -> None:
    tuning = tuning_named(name)
    deepest = [max(bend_limit(tuning, hole, breath) for breath in Breath) for hole in range(1, 11)]
    assert " ".join(map(str, deepest)) == counts


# Source: common practice. Note names of all holes, first blow, then draw, key C.
LAYOUTS = {
    "C country": ("C E G C E G C E G C", "D G B D F# A B D F A"),
    "C raised third blow": ("C E A C E G C E G C", "D G B D F A B D F A"),
    "G natural minor": ("C Eb G C Eb G C Eb G C", "D G Bb D F A Bb D F A"),
    "C harmonic minor": ("C Eb G C Eb G C Eb G C", "D G B D F Ab B D F Ab"),
    "C solo": ("C E G C C E G C C E", "D F A B D F A B D F"),
    "C spiral from C": ("C E G B D F A C E G", "D F A C E G B D F A"),
    "C slide": ("C E G C C E G C C E G C", "D F A B D F A B D F A B"),
}


@pytest.mark.parametrize(("name", "rows"), LAYOUTS.items())
def test_layouts(name: str, rows: tuple[str, str]) -> None:
    harp = harp_named(name)
    for breath, row in zip(Breath, rows, strict=True):
        names = row.split()
        assert harp.holes == len(names)
        midi = [harp.midi(TabNote(hole, breath)) for hole in range(1, harp.holes + 1)]
        assert [pitch % 12 for pitch in midi] == [parse_pitch(f"{name}4") % 12 for name in names]
        assert midi == sorted(midi)


@pytest.mark.parametrize("label", REGISTERS)
def test_a_natural_minor_harp_is_labelled_by_its_second_position(label: str) -> None:
    # Source: common practice. 2 draw is the key note on the label, and its third is minor.
    harp = harp_named(f"{label} natural minor")
    home, third = harp.midi(parse_note("2d")), harp.midi(parse_note("3d"))
    assert home % 12 == REGISTERS[label] % 12
    assert third - home == 3
    assert 55 <= harp.midi(parse_note("1b")) <= 66


def test_half_valved() -> None:
    # Source: common practice: bends stay, the lower reed gains a semitone, overbends are lost.
    plain, valved = tuning_named("Richter"), harp_named("C half-valved")
    assert pitches(valved, "over") == {}
    for hole in range(1, 11):
        gained = Breath.BLOW if hole <= 6 else Breath.DRAW  # valves on draw 1–6 and blow 7–10
        assert bend_limit(valved.tuning, hole, gained) == 1
        assert bend_limit(valved.tuning, hole, gained.other) == bend_limit(
            plain, hole, gained.other
        )


def test_the_button_of_a_slide_harp_raises_every_reed_a_semitone() -> None:
    # Source: common practice: 12 holes, solo tuning over three octaves.
    harp = harp_named("C slide")
    for hole in range(1, 13):
        for breath in Breath:
            rest, pressed = TabNote(hole, breath), TabNote(hole, breath, button=True)
            assert harp.midi(pressed) == harp.midi(rest) + 1
    assert harp.midi(parse_note("12b")) - harp.midi(parse_note("1b")) == 36
    naturals = {harp.midi(note) for note in harp.notes() if not note.bend}
    assert naturals == set(range(60, 98))  # every semitone of three octaves, and Db7


# Source: common practice: octaves and sevenths a player splits.
@pytest.mark.parametrize(
    "pair", ["1+4b", "2+5b", "3+6b", "4+7b", "1+4d", "3+7d", "4+8d", "5+9d", "6+10d"]
)
def test_splits_that_are_octaves(pair: str) -> None:
    low, high = pair[:-1].split("+")
    assert C.midi(parse_note(high + pair[-1])) - C.midi(parse_note(low + pair[-1])) == 12


def test_the_split_that_is_a_seventh() -> None:
    # Source: common practice.
    assert C.midi(parse_note("5d")) - C.midi(parse_note("2d")) == 10

"""From beats to written rhythm: small bars by hand, and what holds of every tune.

The written values are common practice of engraving, no source.
"""

from fractions import Fraction
from itertools import groupby

import pytest
from hypothesis import given

from reedwright.errors import SheetError
from reedwright.sheet.barpattern import Piece
from reedwright.sheet.notevalue import TYPES, beams, ordinary_split, values
from reedwright.sheet.rhythm import Rhythm, notate
from tests.sheet.tunes import bar_of, score_of, tune_texts

LETTERS = {-2: "w", -1: "h", 0: "q", 1: "e", 2: "s", 3: "t", 4: "x", 5: "y"}


def written(cells: str, **header: str) -> str:
    """`q.` a dotted quarter, `r` before a rest, `~` after what is tied on, `/3:2` a triplet."""
    bar = notate(bar_of(cells, **header)).bars[0]
    return " ".join(map(_sign, bar.pieces))


def _sign(piece: Piece) -> str:
    value = "R" if piece.whole_bar else LETTERS[piece.level] + "." * piece.dots
    tuplet = f"/{piece.tuplet[0]}:{piece.tuplet[1]}" if piece.tuplet else ""
    return "r" * piece.rest + value + tuplet + "~" * (not piece.ends)


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ("4d = = =", "w"),
        ("4d = = .", "h. rq"),
        ("4d = . .", "h rh"),
        (". . 4d =", "rh h"),
        (". 4d = .", "rq h rq"),
        (". 4d = =", "rq h~ q"),  # a sound from beat 2 shows the middle of the bar: 2 + 1
        ("4d 4d = =", "q h~ q"),
        ("4d =&5d 4d .", "q. e q rq"),
        ("4d 5d =&4d .", "q q~ e e rq"),  # over the middle of the bar: tied
        ("4d&5d =&4d . .", "e e~ e e rh"),  # off the beat: tied at the beat
        ("4d =&=&5d . .", "q~ q/3:2 e/3:2 rh"),
        ("4d&=&5d 4d&5d&4d . .", "q/3:2 e/3:2 e/3:2 e/3:2 e/3:2 rh"),
        ("4d&=&5d&= . . .", "e e rq rh"),  # no finer than it sounds
        ("4d&5d&5d&= 4d&=&=&5d . .", "s s e e. s rh"),
        ("4d&5d&5d&5d&5d . . .", "s/5:4 s/5:4 s/5:4 s/5:4 s/5:4 rq rh"),
        ("4d&.&.&. . . .", "s rs re rq rh"),
        (". . . .", "rR"),
    ],
)
def test_four_quarters(cells: str, expected: str) -> None:
    assert written(cells) == expected


@pytest.mark.parametrize(
    ("meter", "cells", "expected"),
    [
        ("3/4", "4d = =", "h."),
        ("3/4", "4d =&5d .", "q. e rq"),
        ("3/4", ". 4d =", "rq h"),
        ("3/4", "4d . .", "q rq rq"),
        ("2/4", "4d =", "h"),
        ("2/4", "4d =&5d", "q. e"),
        ("5/4", "4d = = = =", "q~ q~ q~ q~ q"),
        ("12/8", "4d = = =", "w."),
        ("12/8", "4d = 4d .", "h. q. rq."),
        ("12/8", ". 4d = .", "rq. q.~ q. rq."),
        ("12/8", "4d&=&5d 4d&5d&4d =&=&5d .", "q e e e e~ q e rq."),
        ("6/8", "4d&5d 4d&5d&4d&5d", "e/2:3 e/2:3 e/4:3 e/4:3 e/4:3 e/4:3"),
        ("6/8", "4d&5d&4d&5d&4d&5d .", "s s s s s s rq."),
        ("6/8", ".&4d&4d .&.&4d", "re e e rq e"),
        ("6/8", "4d&.&. .", "e re re rq."),
        ("9/8", "4d = =", "h.~ q."),
    ],
)
def test_other_meters(meter: str, cells: str, expected: str) -> None:
    assert written(cells, Meter=meter) == expected


def test_a_tie_over_the_bar_line() -> None:
    first, second = notate(bar_of("4d 4d 4d 5d | = = 4d .")).bars
    assert [_sign(piece) for piece in first.pieces][-1] == "q~"
    assert (second.pieces[0].starts, second.pieces[0].ends) == (False, True)
    assert first.events[-1] == second.events[0] == 3


def test_beams_by_beat_and_broken_by_rests() -> None:
    bar = notate(bar_of("4d&5d 4d&5d&4d&= 4d&.&5d&4d 4d&=&=&5d")).bars[0]
    assert [piece.beams for piece in bar.pieces] == [
        ("begin",), ("end",),
        ("begin", "begin"), ("continue", "end"), ("end",),
        (), (), ("begin", "begin"), ("end", "end"),
        ("begin",), ("end", "backward hook"),
    ]  # fmt: skip


def test_hooks_point_into_their_group() -> None:
    assert beams((2, 1, 2, 1)) == (
        ("begin", "forward hook"),
        ("continue",),
        ("continue", "backward hook"),
        ("end",),
    )


def test_a_bracket_only_where_beams_do_not_show_the_tuplet() -> None:
    bar = notate(bar_of("4d&5d&4d 4d&=&5d 4d&.&5d .")).bars[0]
    assert [(p.edge, p.bracket) for p in bar.pieces if p.edge == "start"] == [
        ("start", False),
        ("start", True),
        ("start", True),
    ]


def test_too_fine_a_split_is_refused() -> None:
    with pytest.raises(SheetError, match="A beat split into 1000 is too fine to be written"):
        values(0, 1, 1000, False, False)


@pytest.mark.parametrize("compound", [False, True])
def test_the_ordinary_split_is_the_next_smaller(compound: bool) -> None:
    ordinary = [(3 if compound else 1) << k for k in range(8)]
    for parts in range(ordinary[0], 133):
        assert ordinary_split(parts, compound) == max(s for s in ordinary if s <= parts)


def quarters(piece: Piece) -> Fraction:
    """The length of a piece from its note value alone."""
    plain = Fraction(2) ** -piece.level * (2 - Fraction(1, 2**piece.dots))
    return plain * Fraction(piece.tuplet[1], piece.tuplet[0]) if piece.tuplet else plain


@given(tune_texts())
def test_every_value_is_as_long_as_what_it_stands_for(tune: str) -> None:
    score = score_of(tune)
    rhythm = notate(score)
    for bar in rhythm.bars:
        for piece in bar.pieces:
            if not piece.whole_bar:
                assert quarters(piece) == Fraction(piece.length, rhythm.divisions)
                assert piece.level in TYPES


@given(tune_texts())
def test_bars_are_filled_without_gap(tune: str) -> None:
    score = score_of(tune)
    rhythm = notate(score)
    beats = score.tune.meter.beats
    assert [bar.bar for bar in rhythm.bars] == list(range(-score.has_pickup, score.bars))
    for bar in rhythm.bars:
        at = bar.first_beat * rhythm.beat_ticks
        for piece in bar.pieces:
            assert piece.at == at
            at += piece.length
        assert at == beats * rhythm.beat_ticks
        assert bar.first_beat == 0 or bar.bar < 0


@given(tune_texts())
def test_tied_pieces_make_the_events_again(tune: str) -> None:
    score = score_of(tune)
    assert list(heard(notate(score), score.tune.meter.beats)) == [
        (event.start, event.length) for event in score.events
    ]


def heard(rhythm: Rhythm, beats: int) -> list[tuple[Fraction, Fraction]]:
    found: list[tuple[Fraction, Fraction]] = []
    tied = False
    for bar in rhythm.bars:
        for piece in bar.pieces:
            start = bar.bar * beats + Fraction(piece.at, rhythm.beat_ticks)
            length = Fraction(piece.length, rhythm.beat_ticks)
            if piece.rest:
                assert not tied
                continue
            assert piece.starts is not tied
            if tied:
                found[-1] = (found[-1][0], found[-1][1] + length)
            else:
                found.append((start, length))
            tied = not piece.ends
    assert not tied
    return found


@given(tune_texts())
def test_tuplets_fill_their_beat_and_beams_stay_inside_it(tune: str) -> None:
    score = score_of(tune)
    rhythm = notate(score)
    for bar in rhythm.bars:
        for _, group in groupby(bar.pieces, key=lambda piece: piece.at // rhythm.beat_ticks):
            pieces = list(group)
            edges = [piece.edge for piece in pieces if piece.tuplet]
            if edges:
                assert edges == ["start", *[""] * (len(pieces) - 2), "stop"]
                assert sum(piece.length for piece in pieces) == rhythm.beat_ticks
            main = [piece.beams[0] for piece in pieces if piece.beams]
            opened = 0
            for beam in main:
                opened += {"begin": 1, "continue": 0, "end": -1}[beam]
                assert opened in (0, 1)
            assert opened == 0

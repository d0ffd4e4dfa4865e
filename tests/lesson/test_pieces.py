"""Tunes taken apart: sensible pieces, the teacher's hand, ids, edges."""

import time
from dataclasses import replace
from pathlib import Path

from hypothesis import given

from reedwright.lesson.cuts import Cuts
from reedwright.lesson.lines import lick_lines
from reedwright.lesson.pieces import Cutting, cut_tune
from reedwright.lesson.settings import lesson_table
from reedwright.lesson.stops import Stop
from reedwright.tune.load import load_tune
from reedwright.tune.place import Score, place
from reedwright.tune.values import TuneText
from tests.lesson.scores import lick, of_bars, score_of, tab
from tests.strategies import placed_tunes

DEMO = Path(__file__).resolve().parents[2] / "demo"


def tabs(cutting: Cutting) -> list[str]:
    return [tab(piece.events) for piece in cutting.pieces]


def test_a_lick_is_cut_at_the_held_note() -> None:
    cutting = cut_tune(of_bars("1b 2b 2d'' 2d", "= 2d&3d'' 3d&2d ."), level="beginner")
    assert tabs(cutting) == ["1b 2b 2d'' 2d", "2d 3d'' 3d 2d"]
    assert [piece.stops for piece in cutting.pieces] == [(Stop.HELD, Stop.BEAT), (Stop.END,)]
    assert [piece.beats for piece in cutting.pieces] == [5, 2]


def test_a_lick_is_cut_at_the_rest_and_before_the_pickup() -> None:
    cutting = cut_tune(of_bars("2d 3d . 4d&5d", "6b 5d 4d ."), level="beginner")
    assert tabs(cutting) == ["2d 3d", "4d 5d 6b 5d 4d"]


def test_chord_rhythm_is_cut_where_the_breath_turns() -> None:
    cutting = cut_tune(
        of_bars("1+2d&1+2d 1+2b&1+2b 1+2d&1+2d 1+2b&1+2b", "1+2d&1+2d 1+2b&1+2b . ."),
        level="beginner",
    )
    assert [len(piece.events) for piece in cutting.pieces] == [6, 6]
    assert all(Stop.TURN in piece.stops for piece in cutting.pieces[:-1])


def test_an_expert_holds_more() -> None:
    score = place(load_tune(DEMO / "cellar-and-attic.reed"))
    counts = [
        len(cut_tune(score, level=level).pieces)
        for level in ("beginner", "improver", "steady", "advanced", "expert")
    ]
    assert counts == sorted(counts, reverse=True)
    assert counts[0] > counts[-1]


def test_the_student_of_the_tune_sets_the_size() -> None:
    bars = ("2d 3d 4d 5d", "6b 5d 4d 3d")
    beginner = of_bars(*bars, head="Student: beginner\n")
    assert tabs(cut_tune(beginner)) == tabs(cut_tune(of_bars(*bars), level="beginner"))
    assert tabs(cut_tune(beginner)) != tabs(cut_tune(beginner, level="expert"))


def test_the_teacher_moves_a_cut() -> None:
    score = of_bars("2d 3d 4d 5d", "6b 5d 4d 3d")
    assert tabs(cut_tune(score, level="beginner")) == ["2d 3d 4d 5d", "6b 5d 4d 3d"]
    moved = cut_tune(score, Cuts().moved("call:2.1.1@1.2", "call:1.4.1@1.1"), level="beginner")
    assert tabs(moved) == ["2d 3d 4d", "5d 6b 5d 4d 3d"]
    assert moved.pieces[0].stops == (Stop.TEACHER, Stop.BEAT)
    assert moved.findings == ()


def test_a_piece_has_the_id_of_its_first_note_and_keeps_it() -> None:
    turn = lick("4d 4d 4d 4d", "3d 3d 2d .", name="Turn")
    before = cut_tune(score_of(lick("2d 3d 4d 5d") + turn), level="beginner")
    after = cut_tune(score_of(lick("6b . . .") + turn), level="beginner")
    ids = [piece.id for piece in before.of_lick("turn")]
    assert (
        ids == [piece.id for piece in after.of_lick("turn")] == ["turn:1.1.1@1.2", "turn:2.1.1@1.3"]
    )
    assert [piece.number for piece in before.of_lick("turn")] == [1, 2]


def test_one_note_and_nothing_at_all() -> None:
    (piece,) = cut_tune(of_bars("4d . . .")).pieces
    assert (piece.id, piece.number, piece.stops) == ("call:1.1.1@1.1", 1, (Stop.END,))
    assert cut_tune(of_bars(". . . .")).pieces == ()
    score = of_bars("4d . . .")  # a tune without a lick does not read, but can be made
    empty = cut_tune(place(replace(score.tune, text=TuneText(), licks={})))
    assert (empty.lines, empty.pieces, empty.findings) == ((), (), ())


def test_one_long_note_is_one_piece() -> None:
    score = of_bars("4d = = =", *["= = = ="] * 9, "5d . . .")
    assert tabs(cut_tune(score, level="beginner")) == ["4d", "5d"]


def test_a_lick_placed_cut_is_cut_as_it_sounds() -> None:
    two = lick("2d 3d 4d 5d", "6b 5d 4d 3d")
    score = score_of(two, "1 Call, from bar 1 beat 3, to bar 2 beat 2")
    assert tabs(cut_tune(score, level="beginner")) == ["4d 5d 6b 5d"]


def test_compound_meters_and_pickups() -> None:
    written = lick(". 3d&4d&5d", "6b = ", "5d&=&4d 3d", first=0)
    cutting = cut_tune(score_of(written, head="Meter: 6/8\n"), level="beginner")
    assert tabs(cutting) == ["3d 4d 5d 6b", "5d 4d 3d"]
    assert cutting.pieces[0].start == -1


@given(placed_tunes())
def test_pieces_are_the_lines_in_order_and_whole(score: Score) -> None:
    cutting = cut_tune(score)
    size = lesson_table().size(score.tune.student)
    for line in lick_lines(score):
        pieces = cutting.of_lick(line.slug)
        assert tuple(event for piece in pieces for event in piece.events) == line.events
        assert [piece.number for piece in pieces] == list(range(1, len(pieces) + 1))
        assert all(piece.stops for piece in pieces)
        for piece in pieces:
            assert len(piece.events) <= size.most_notes
            assert piece.beats <= size.most_beats or len(piece.events) == 1
    ids = [piece.id for piece in cutting.pieces]
    assert len(set(ids)) == len(ids)


def test_ten_thousand_bars_of_one_lick_take_no_more_than_their_share() -> None:
    """Ten times the bars in at most thirty times the time: quadratic would be a hundred times.

    A gate against the wrong kind of growth on a busy machine; the measured figures are in bench/.
    """
    short, long = (of_bars(*["2d 3d&4d 5d 4d"] * bars) for bars in (1_000, 10_000))
    times_s = []
    for score in (short, long):
        started_s = time.perf_counter()
        cut_tune(score, level="beginner")
        times_s.append(time.perf_counter() - started_s)
    assert times_s[1] < 30 * times_s[0]

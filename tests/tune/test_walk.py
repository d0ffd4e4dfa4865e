"""Cuts, manners and holds of placed licks."""

from reedwright.tune.marks import Cup, Loudness
from tests.tune.samples import heard, score_of

A = "Lick A (cup closed, loud)\n0: . . . 1d\n1: 4d {soft} 3d 2d =\n2: = {cup open} 5d 6d .\n"


def test_directions_stay_in_force_and_each_placing_starts_afresh() -> None:
    score = score_of(A + "\nChorus\n1 A, 2 times")
    manners = [(event.cup, event.loudness) for event in score.events]
    closed_loud, closed_soft = (Cup.CLOSED, Loudness.LOUD), (Cup.CLOSED, Loudness.SOFT)
    once = [closed_loud] * 2 + [closed_soft] * 2 + [(Cup.OPEN, Loudness.SOFT)] * 2
    assert manners == once * 2


def test_a_cut_keeps_the_directions_before_it() -> None:
    (first, *_) = score_of(A + "\nChorus\n1 A, from bar 2 beat 2").events
    assert (first.cup, first.loudness) == (Cup.OPEN, Loudness.SOFT)
    (first, *_) = score_of(A + "\nChorus\n1 A, from bar 1 beat 3").events
    assert (str(first.sound.notes[0]), first.loudness) == ("2d", Loudness.SOFT)


def test_what_is_said_nowhere_is_open_and_medium() -> None:
    (event,) = score_of("Lick A\n1: 4d . . .").events
    assert (event.cup, event.loudness) == (Cup.OPEN, Loudness.MEDIUM)


def test_cuts_by_beat_at_both_ends() -> None:
    score = score_of(A + "\nChorus\n3 A, from bar 1 beat 2, to bar 2 beat 2")
    assert heard(score) == [("3d", 9, 1), ("2d", 10, 3), ("5d", 13, 1)]


def test_a_hold_ends_where_the_lick_is_cut() -> None:
    score = score_of(A + "\nChorus\n1 A, from bar 1, to bar 1")
    assert heard(score)[-1] == ("2d", 2, 2)


def test_only_the_pickup() -> None:
    score = score_of(A + "\nChorus\n2 A, bars 0-0")
    assert heard(score) == [("1d", 3, 1)]
    assert score.bars == 1

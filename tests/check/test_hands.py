"""Hard moves at given times, against moves worked out by hand and by a slow count."""

import itertools
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from reedwright.check.hands import Move, MoveKind, Stance, hard_moves, stance
from reedwright.check.limits import limits
from reedwright.harp.note import Breath
from reedwright.tune.tokens import parse_sound

LIMITS = replace(
    limits(),
    jump_holes=3,
    jump_holes_per_s=10.0,
    turns_per_s=2.0,
    turns_window_s=2.0,
    changes_per_s=3.0,
    changes_window_s=1.0,
    bend_leap_holes=3,
    bend_leap_within_s=0.5,
    bend_run_notes=3,
    bend_run_within_s=0.25,
)


def moves(tokens: str, onsets_s: list[float], *kinds: MoveKind) -> list[Move]:
    stances = [stance(parse_sound(token)) for token in tokens.split()]
    found = hard_moves(stances, onsets_s, LIMITS)
    return [move for move in found if move.kind in (kinds or tuple(MoveKind))]


def even(count: int, apart_s: float) -> list[float]:
    return [number * apart_s for number in range(count)]


def test_stances() -> None:
    assert stance(parse_sound("4d")) == Stance(4, 4, Breath.DRAW, bent=False)
    assert stance(parse_sound("1+4b")) == Stance(1, 4, Breath.BLOW, bent=False)
    assert stance(parse_sound("4x5d")) == Stance(4, 5, Breath.DRAW, bent=False)
    assert stance(parse_sound("3d''")).bent
    assert stance(parse_sound("6bo")).bent


def test_holes_crossed_are_counted_from_the_nearer_edges() -> None:
    def crossed(before: str, after: str) -> int:
        return stance(parse_sound(after)).holes_from(stance(parse_sound(before)))

    pairs = [("1d", "5d"), ("5d", "1d"), ("1+2+3d", "5b"), ("2b", "1+4b"), ("3d", "3b")]
    assert [crossed(*pair) for pair in pairs] == [4, 4, 2, 0, 0]


def test_jumps() -> None:
    assert moves("1d 5d", [0.0, 0.39]) == [Move(MoveKind.JUMP, 1, 0.39, holes=4)]
    assert moves("1d 5d", [0.0, 0.41]) == []
    assert moves("1d 3d", [0.0, 0.01]) == []


def test_a_leap_to_a_bend_is_told_instead_of_the_jump() -> None:
    assert moves("7b 3d'", [0.0, 0.3]) == [Move(MoveKind.BEND_LEAP, 1, 0.3, holes=4)]
    assert moves("7b 3d'", [0.0, 0.5]) == []
    assert moves("5b 3d'", [0.0, 0.1]) == []


def test_runs_of_bends() -> None:
    run = moves("2d 3d' 3d'' 3d' 2d", even(5, 0.2), MoveKind.BEND_RUN)
    assert [(move.index, move.count, round(move.measure, 9)) for move in run] == [(1, 3, 0.2)]
    assert moves("2d 3d' 3d'' 3d' 2d", even(5, 0.25), MoveKind.BEND_RUN) == []
    assert moves("3d' 3d'' 3d 3d' 3d''", even(5, 0.2), MoveKind.BEND_RUN) == []
    last = moves("3d 3d' 3d'' 3d'", even(4, 0.1), MoveKind.BEND_RUN)
    assert [move.index for move in last] == [1]


def test_turns_of_the_breath() -> None:
    busy = moves("2d 2b 2d 2b 2d 2b 2d 2b", even(8, 0.3), MoveKind.TURNS)
    assert busy == [Move(MoveKind.TURNS, 1, 3.5)]  # 7 turns within 2 s
    assert moves("2d 2b 2d 2b 2d 2b", even(6, 0.5), MoveKind.TURNS) == []
    assert moves("2d 3d 2d 3d 2d 3d", even(6, 0.1), MoveKind.TURNS) == []


def test_two_busy_stretches_are_two_moves() -> None:
    tokens = " ".join(["2d", "2b"] * 8)
    onsets_s = even(8, 0.2) + [100.0 + number * 0.2 for number in range(8)]
    busy = moves(tokens, onsets_s, MoveKind.TURNS)
    assert [(move.index, move.measure) for move in busy] == [(1, 3.5), (8, 4.0)]


def test_changes_of_hole() -> None:
    assert [move.measure for move in moves("2d 3d 2d 3d 2d", even(5, 0.2), MoveKind.CHANGES)] == [4]
    assert moves("2d 2b 2d 2b 2d", even(5, 0.1), MoveKind.CHANGES) == []


@given(st.lists(st.tuples(st.integers(0, 30), st.booleans()), max_size=60))
def test_turns_against_a_slow_count(steps: list[tuple[int, bool]]) -> None:
    """Every window is counted anew: a stretch is told exactly where one is too busy."""
    onsets_s, breaths = [0.0], [Breath.DRAW]
    for eighths, turn in steps:  # eighths of a second are exact in a float
        onsets_s.append(onsets_s[-1] + (eighths + 1) / 8)
        breaths.append(breaths[-1].other if turn else breaths[-1])
    stances = [Stance(2, 2, breath, bent=False) for breath in breaths]
    turned = [
        time_s
        for time_s, (before, after) in zip(onsets_s[1:], itertools.pairwise(breaths), strict=True)
        if before is not after
    ]
    counts = [sum(end - 2.0 < time_s <= end for time_s in turned) for end in turned]
    busy = [move for move in hard_moves(stances, onsets_s, LIMITS) if move.kind is MoveKind.TURNS]
    assert bool(busy) == any(count > 4 for count in counts)
    if busy:
        assert max(move.measure for move in busy) == max(counts) / 2.0

"""What repeats what: the best relation of each kind, ids, and speed."""

import time
from fractions import Fraction

from hypothesis import given

from reedwright.lesson.alike import Kind
from reedwright.lesson.lines import lick_lines
from reedwright.lesson.pieces import cut_tune
from reedwright.lesson.repeats import Relation, repeats, units_of
from reedwright.tune.place import Score
from tests.lesson.scores import lick, score_of, units
from tests.strategies import placed_tunes


def related(*licks: str) -> list[Relation]:
    found = units(*licks)
    return list(repeats(found, score_of(lick("2d . . .")).tune.harp, 4))


def test_ids_say_which_notes_correspond() -> None:
    relation, rhythm = related("2d 3d 4d 5d", ". 2d 3d 4b | 5d . . .")
    assert relation == Relation(
        kind=Kind.ONE_NOTE,
        earlier="l0",
        later="l1",
        pairs=(
            ("l0:1.1.1@1.1", "l1:1.2.1@1.2"),
            ("l0:1.2.1@1.1", "l1:1.3.1@1.2"),
            ("l0:1.4.1@1.1", "l1:2.1.1@1.3"),
        ),
        changed=("l1:1.4.1@1.2",),
        dropped=("l0:1.3.1@1.1",),
        shift_beats=Fraction(1),
    )
    assert relation.share == Fraction(3, 4)
    assert (rhythm.kind, float(rhythm.share), rhythm.holes) == (Kind.RHYTHM, 1.0, None)


def test_one_note_changed_in_the_middle_of_five_is_found_by_two_notes_at_an_end() -> None:
    found = related("2d 3d 4d 5d&6b", "2d 3d 1b 5d&6b")
    assert [one.kind for one in found] == [Kind.ONE_NOTE, Kind.RHYTHM]


def test_identical_licks_lead_back_to_the_first() -> None:
    found = related("2d 3d . .", "2d 3d . .", "2d 3d . .")
    assert [(one.kind, one.earlier, one.later) for one in found] == [
        (Kind.IDENTICAL, "l0", "l1"),
        (Kind.IDENTICAL, "l0", "l2"),
    ]


def test_the_longest_shared_opening_is_told() -> None:
    found = related(
        "2d 3d 4d 9b | 9b 9d 10b 10d",
        "2d 3d 4d 5d | 1b 1d 1b 1d",
        "2d 3d 4d 5d | 6b 7d 7b 8d | 8b 8b . .",
    )
    last = [one for one in found if one.later == "l2" and one.kind is Kind.OPENING]
    assert [(one.earlier, len(one.pairs)) for one in last] == [("l1", 4)]


def test_strangers_have_nothing_in_common() -> None:
    assert related("2d 3d 4d 5d", "6b&6d 9b&8d = .") == []
    assert related("2d . . .") == []
    assert repeats((), score_of(lick("2d . . .")).tune.harp, 4) == ()


def test_licks_of_rests_are_left_out() -> None:
    score = score_of(lick(". . . .") + lick("2d 3d 4d .", name="Turn"))
    assert [unit.id for unit in units_of(lick_lines(score))] == ["turn"]


@given(placed_tunes())
def test_relations_hold_what_they_say(score: Score) -> None:
    pieces = units_of(cut_tune(score, level="beginner").pieces)
    order = {unit.id: place for place, unit in enumerate(pieces)}
    ids = {unit.id: [event.id for event in unit.events] for unit in pieces}
    sounds = {event.id: event for unit in pieces for event in unit.events}
    told = set()
    for one in repeats(pieces, score.tune.harp, score.tune.meter.beats):
        assert order[one.earlier] < order[one.later]
        assert (one.later, one.kind) not in told
        told.add((one.later, one.kind))
        pairs = ([a for a, _ in one.pairs], [b for _, b in one.pairs])
        for names, side, left in zip(
            (one.earlier, one.later), pairs, (one.dropped, one.changed), strict=True
        ):
            places = [ids[names].index(name) for name in side]
            assert places == sorted(set(places))
            assert sorted([*side, *left]) == sorted(ids[names])
        for a, b in one.pairs:
            if one.kind not in (Kind.CONTOUR, Kind.RHYTHM):
                assert sounds[a].sound.reeds == sounds[b].sound.reeds
            if one.kind is not Kind.CONTOUR:
                assert sounds[a].length == sounds[b].length


def test_three_hundred_licks_take_less_than_two_seconds() -> None:
    """The bound our task sets, on a machine that may be busy; measured figures are in bench/."""
    bars = [f"2d {1 + n % 9}d&{1 + n // 9 % 9}d {1 + n // 81 % 9}d 5d" for n in range(300)]
    score = score_of(
        "\n".join(lick(bar, "4d 3d&2d 2d .", name=f"L{n}") for n, bar in enumerate(bars))
    )
    found = units_of(lick_lines(score))
    started_s = time.perf_counter()
    relations = repeats(found, score.tune.harp, 4)
    assert time.perf_counter() - started_s < 2.0
    assert {one.later for one in relations} == {unit.id for unit in found[1:]}

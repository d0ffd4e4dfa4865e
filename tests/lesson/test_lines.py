"""The lines of a lesson: which placing of a lick is taught, and which events belong to it."""

from hypothesis import given

from reedwright.lesson.lines import events_of, lick_lines, ticks
from reedwright.tune.place import Score
from reedwright.tune.ticks import TICKS
from tests.lesson.scores import lick, of_bars, score_of, tab
from tests.strategies import placed_tunes


def test_the_first_of_equal_placings_is_taught() -> None:
    score = score_of(lick("2d 3d 4d ."), "1 Call\n2 Call\n3 Call")
    (line,) = lick_lines(score)
    assert (line.lick, line.slug, line.placings) == ("Call", "call", 3)
    assert [event.id for event in line.events] == [
        "call:1.1.1@1.1",
        "call:1.2.1@1.1",
        "call:1.3.1@1.1",
    ]


def test_a_whole_placing_is_taught_rather_than_a_cut_one() -> None:
    two = lick("2d 3d 4d .", "5d 4d 3d .")
    score = score_of(two, "1 Call, bar 1\n2 Call, from bar 1, to bar 2 beat 2\n4 Call")
    assert [event.bar for event in lick_lines(score)[0].events] == [4, 4, 4, 5, 5, 5]
    cut = score_of(two, "1 Call, bar 1\n3 Call, from bar 1 beat 2, to bar 2 beat 2")
    assert tab(lick_lines(cut)[0].events) == "3d 4d 5d 4d"


def test_licks_that_do_not_sound_have_a_line_without_events() -> None:
    written = lick(". . . .") + "\n" + lick("2d . . .", name="Never")
    unplaced = lick_lines(score_of(written, "1 Call"))
    assert [(line.slug, line.placings, line.events) for line in unplaced] == [
        ("call", 1, ()),
        ("never", 0, ()),
    ]
    assert unplaced[1].placement is None


def test_a_pickup_in_the_placing_before_is_told_apart() -> None:
    score = score_of(lick(". . . 2d", "4d 5d . .", first=0), "1 Call\n2 Call")
    first, second = (events_of(score, placement) for placement in score.order.placements)
    assert [event.id for event in first] == ["call:0.4.1@1.0", "call:1.1.1@1.1", "call:1.2.1@1.1"]
    assert [event.id for event in second] == ["call:0.4.1@1.1", "call:1.1.1@1.2", "call:1.2.1@1.2"]


def test_borrowed_bars_belong_to_the_lick_that_borrows() -> None:
    score = score_of(lick("2d 3d . .") + "\nLick Train\n1-2: as Call\n3: 4d . . .\n")
    train = lick_lines(score)[1]
    assert [event.id for event in train.events] == [
        "call:1.1.1@1.2",
        "call:1.2.1@1.2",
        "call:1.1.1@1.3",
        "call:1.2.1@1.3",
        "train:3.1.1@1.4",
    ]


def test_ticks_are_exact() -> None:
    score = of_bars("2d&3d&4d = . 5d&=&=&6d")
    assert [ticks(event.start) * 12 for event in score.events] == [
        0,
        4 * TICKS,
        8 * TICKS,
        36 * TICKS,
        45 * TICKS,
    ]


@given(placed_tunes())
def test_the_placings_share_out_every_event_once(score: Score) -> None:
    """Two placings of one lick at the same bar want the same beats: there the first may have what
    the other wrote, so only tunes without are asked for exactly once."""
    shared = [event.id for place in score.order.placements for event in events_of(score, place)]
    seats = [(place.start, place.lick and place.lick.lick.slug) for place in score.order.placements]
    if len(set(seats)) == len(seats) and len(set(shared)) == len(shared):
        assert sorted(shared) == sorted(event.id for event in score.events)
    else:
        assert set(shared) == {event.id for event in score.events}
    lines = lick_lines(score)
    assert [line.slug for line in lines] == list(score.tune.licks)
    for line in lines:
        starts = [event.start for event in line.events]
        assert starts == sorted(starts)
        assert {event.lick for event in line.events} <= {line.lick}

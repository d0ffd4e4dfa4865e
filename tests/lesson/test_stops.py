"""Where a student can stop, in words and in points, against the formula worked out by hand."""

from reedwright.lesson.lines import spans_of
from reedwright.lesson.settings import lesson_table
from reedwright.lesson.stops import Place, Stop, places_of
from reedwright.tune.place import Score
from tests.lesson.scores import of_bars


def places(score: Score) -> tuple[Place, ...]:
    spans = spans_of(score.events)
    return places_of(score.events, spans, score.tune.meter.beats, lesson_table()["stop"])


def test_each_reason_takes_off_its_points() -> None:
    found = places(of_bars("2d&2d . 2d =", "2d&2b&=&= 2b . ."))
    # cut 6, rest 4 (a whole beat), held 3 (two beats), bar 2, beat 1, turn 1.5: all in lesson.toml
    assert found == (
        Place((), 6000),
        Place((Stop.REST, Stop.BEAT), 1000),
        Place((Stop.HELD, Stop.BAR), 1000),
        Place((Stop.TURN,), 4500),
        Place((Stop.BEAT,), 5000),
    )


def test_a_short_rest_takes_off_a_share_and_a_beat_is_no_hold() -> None:
    found = places(of_bars("2d&. 2d 2d&.&.&2d ."))
    assert found[0] == Place((Stop.REST, Stop.BEAT), 6000 - 2000 - 1000)
    assert found[1] == Place((Stop.BEAT,), 6000 - 1000)
    assert found[2] == Place((Stop.REST,), 6000 - 2000)


def test_a_bar_line_in_the_silence_counts_and_nothing_costs_less_than_nothing() -> None:
    found = places(of_bars("2d = . .", ". 2b . ."))
    assert found == (Place((Stop.REST, Stop.HELD, Stop.BAR, Stop.TURN), 0),)


def test_a_bar_line_under_a_held_note_is_none() -> None:
    found = places(of_bars(". . . 2d", "=&2d . . ."))
    assert found == (Place((Stop.HELD,), 6000 - 2250),)


def test_compound_bars_are_counted_in_dotted_quarters() -> None:
    found = places(of_bars("2d&3d&4d 4d&3d&2d", head="Meter: 6/8\n"))
    assert [place.stops for place in found] == [(), (), (Stop.BEAT,), (), ()]


def test_one_note_has_no_places() -> None:
    assert places(of_bars("2d . . .")) == ()

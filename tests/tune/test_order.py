"""The running order: choruses, their lengths, people's counting."""

from hypothesis import given
from hypothesis import strategies as st

from reedwright.tune.order import Order, running_order
from tests.tune.samples import tune_of

A = "Lick A\n0: . . . 1d\n1: 4d . . .\n2: 3d . . .\n"


@given(st.lists(st.integers(1, 20), min_size=1, max_size=6))
def test_people_count_from_one_in_each_chorus(lengths: list[int]) -> None:
    starts = [sum(lengths[:n]) for n in range(len(lengths))]
    order = Order((), tuple(starts), sum(lengths) + 2)
    expected = [(c, bar) for c, length in enumerate(lengths, 1) for bar in range(1, length + 1)]
    assert [order.place_of(bar) for bar in range(sum(lengths))] == expected
    assert order.place_of(-1) == (1, 0)
    assert order.place_of(sum(lengths)) == (len(lengths), lengths[-1] + 1)
    assert [order.chorus_end(c) for c in range(1, len(lengths))] == starts[1:]


def test_without_a_chorus_the_licks_follow_each_other() -> None:
    order = running_order(tune_of(A + "\nLick B\n1: 2d . . .", "Form: A7 | D7"))
    assert [(p.chorus, p.start) for p in order.placements] == [(1, 0), (2, 2)]
    assert (order.chorus_starts, order.bars, order.chorus_lines) == ((0, 2), 4, (0, 0))
    plain = running_order(tune_of(A + "\nLick B\n1: 2d . . ."))
    assert (plain.chorus_starts, plain.bars) == ((0,), 3)


def test_a_chorus_without_a_form_ends_with_its_last_lick() -> None:
    order = running_order(tune_of(A + "\nChorus, 2 times\n1 A, 2 times\nChorus\n2 rest, 3 bars"))
    assert order.chorus_starts == (0, 4, 8)
    assert order.bars == 12
    assert order.chorus_lines == (10, 10, 12)


def test_a_form_gives_every_chorus_its_length() -> None:
    order = running_order(tune_of(A + "\nChorus\n1 A\nChorus\n11 A, 2 times", "Form: 12-bar"))
    assert (order.chorus_starts, order.bars) == ((0, 12), 26)


def test_cuts_and_where_they_fall() -> None:
    body = A + "\nChorus\n1 A, from bar 1\n3 A, from bar 2\n4 A, bars 0-1\n5 A, to bar 0, 2 times"
    placed = running_order(tune_of(body)).placements
    assert [(p.start, p.first, p.last, p.base, p.end) for p in placed] == [
        (0, 1, 2, 1, 2),
        (2, 2, 2, 2, 3),
        (3, 0, 1, 1, 4),
        (4, 0, 0, 1, 4),
        (5, 0, 0, 1, 5),
    ]

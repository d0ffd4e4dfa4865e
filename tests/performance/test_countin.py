"""Clicks of the count-in and of whole tunes."""

from fractions import Fraction

import pytest
from hypothesis import given

from reedwright.errors import SettingError
from reedwright.performance.countin import click_track, count_in
from reedwright.performance.perform import perform
from reedwright.performance.playing import ClickKind
from reedwright.performance.values import Performance
from tests.performance.tunes import PICKUP, played, ratios, score_of, tempos, tune_texts

OPENING, BAR, BEAT, COMES_IN = (
    ClickKind.OPENING, ClickKind.BAR, ClickKind.BEAT, ClickKind.PICKUP,
)  # fmt: skip


def short(pickup: str = "", bar: str = "4d . . .", **header: str) -> Performance:
    head = {"Title": "T", "Harp": "C", "Position": "1"} | header
    lines = [f"{key.replace('_', '-')}: {value}" for key, value in head.items()]
    lines += ["Lick A", *([f"0: {pickup}"] if pickup else []), f"1: {bar}", ""]
    return played("\n".join(lines), 60)


def kinds(performance: Performance) -> list[tuple[ClickKind, int, float]]:
    return [(click.kind, click.beat, click.score_s) for click in count_in(performance)]


def test_one_bar_without_a_pickup() -> None:
    assert kinds(short()) == [(OPENING, 1, 0), (BEAT, 2, 1), (BEAT, 3, 2), (BEAT, 4, 3)]


def test_two_bars_and_a_pickup_on_a_beat() -> None:
    assert kinds(short(". . 4d 5d", Count_in="2")) == [
        *((OPENING, 1, 0), (BEAT, 2, 1), (BEAT, 3, 2), (BEAT, 4, 3)),
        *((BAR, 1, 4), (BEAT, 2, 5), (COMES_IN, 3, 6), (BEAT, 4, 7)),
    ]


def test_a_pickup_off_the_beat_has_a_click_of_its_own_where_it_swings() -> None:
    shuffled = kinds(short(". . . .&4d", Feel="shuffle"))
    assert shuffled[3:] == [(BEAT, 4, 3), (COMES_IN, 4, float(Fraction(11, 3)))]
    assert kinds(short(". . . .&4d"))[4:] == [(COMES_IN, 4, 3.5)]


def test_a_pickup_on_beat_one() -> None:
    assert kinds(short("4d . . ."))[0] == (OPENING, 1, 0)
    assert kinds(short("4d . . .", Count_in="2"))[4] == (COMES_IN, 1, 4)


def test_compound_meters_click_their_counted_beats() -> None:
    performance = short(". .&.&4d", "4d .", Meter="6/8")
    assert kinds(performance) == [
        (OPENING, 1, 0),
        (BEAT, 2, 1),
        (COMES_IN, 2, float(Fraction(5, 3))),
    ]


def test_a_whole_track_of_clicks() -> None:
    performance = short(". . . .&4d")
    track = click_track(performance, bars_after=1)
    assert track[:5] == count_in(performance)
    assert [(click.kind, click.beat, click.score_s) for click in track[5:]] == [
        *((BAR, 1, 4), (BEAT, 2, 5), (BEAT, 3, 6), (BEAT, 4, 7)),
        *((BAR, 1, 8), (BEAT, 2, 9), (BEAT, 3, 10), (BEAT, 4, 11)),
    ]


@given(tune_texts(), tempos, ratios)
def test_clicks_of_any_tune(text: str, tempo_bpm: Fraction, ratio: Fraction) -> None:
    performance = perform(score_of(text), tempo_bpm, ratio)
    track = click_track(performance)
    assert [click.kind for click in track].count(OPENING) == 1
    assert track[0].kind is OPENING
    assert [click.kind for click in track].count(COMES_IN) <= 1
    times_s = [click.score_s for click in track]
    assert times_s == sorted(set(times_s))
    beats_s = {performance.seconds(beat) for beat in range(performance.length_beats)}
    assert beats_s <= set(times_s)
    bars_s = [line.score_s for line in performance.bar_lines]
    from_one_s = [click.score_s for click in track if click.score_s >= bars_s[0]]
    assert {click.score_s for click in track if click.kind is BAR} >= set(bars_s)
    assert len(from_one_s) == performance.length_beats - performance.count_in_beats
    announced = [click.score_s for click in track if click.kind is COMES_IN]
    if announced:
        assert announced == [performance.events[0].score_s]


@pytest.mark.parametrize("bars", [-1, 129])
def test_bars_after_the_end(bars: int) -> None:
    with pytest.raises(SettingError) as caught:
        click_track(played(PICKUP), bars)
    assert str(caught.value) == (
        f"{bars} bars of clicks after the end. There are 0 to 128. "
        "Mend: choose a number in that range."
    )

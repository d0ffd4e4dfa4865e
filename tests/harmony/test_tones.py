"""Which chord an event is heard over, and which notes land or pass."""

from fractions import Fraction

from hypothesis import given

from reedwright.harmony.tones import tones
from reedwright.tune.place import Score
from tests.check.shuffle import SHUFFLE
from tests.check.tunes import lick, score_of, tunes

CHANGE = "I7 | IV7 | V7 / I7 /"


def chords(score: Score) -> list[str]:
    return [row.chord.name() if row.chord else "-" for row in tones(score)]


def test_events_are_heard_over_the_chord_of_their_bar_and_beat() -> None:
    score = lick("2d . 2d .", "4b . . 4b", "4d 4d 2d 2d", Form=CHANGE)
    assert chords(score) == ["G7", "G7", "C7", "C7", "D7", "D7", "G7", "G7"]


def test_a_pushed_note_belongs_to_the_chord_it_leads_into() -> None:
    score = lick("2d . . .&4b", "= = . .", ". . . .", Form=CHANGE)
    row = tones(score)[1]
    assert row.chord is not None
    assert row.chord.name() == "C7"
    assert row.landing
    assert [(s.chord.name(), s.length) for s in row.under] == [
        ("G7", Fraction(1, 2)),
        ("C7", Fraction(2)),
    ]


def test_a_note_held_evenly_over_two_chords_belongs_to_the_first() -> None:
    score = lick(". . 2d =", "= = . .", Form="I7 | IV7")
    assert chords(score) == ["G7"]


def test_a_note_held_through_a_whole_chorus_meets_every_chord_once() -> None:
    score = lick("2d = = =", "= = = =", "= = = =", Form="I7 | I7 | IV7")
    assert [(s.chord.name(), s.length) for s in tones(score)[0].under] == [
        ("G7", Fraction(8)),
        ("C7", Fraction(4)),
    ]


def test_landings_are_first_notes_of_a_new_chord_near_its_start() -> None:
    score = lick("2d . . .", ". 4b . 4b", "4d . 2d .", Form=CHANGE)
    assert [row.landing for row in tones(score)] == [False, True, False, True, True]
    late = lick("2d . . .", ". . 4b .", Form="I7 | IV7")
    assert [row.landing for row in tones(late)] == [False, False]
    repeated = lick("2d . . .", "2d . . .", Form="I7 | I7")
    assert [row.landing for row in tones(repeated)] == [False, False]


def test_a_second_bar_of_a_chord_is_no_change() -> None:
    score = lick("2d . . .", ". . . .", "4b . . .", Form="I7 | IV7 | IV7")
    assert [row.landing for row in tones(score)] == [False, False]


def test_a_step_into_the_chord_passes() -> None:
    def passing(cells: str) -> list[bool]:
        return [row.passing for row in tones(lick(cells, Form="IV7"))]

    assert passing("3d 4b . .") == [True, False]  # B to C
    assert passing("3d . 4b .") == [False, False]  # a beat of rest between
    assert passing("3d 2d . .") == [False, False]  # a leap
    assert passing("4b 4b . .") == [False, False]  # a tone of the chord already


def test_a_tune_without_a_form_has_degrees_of_the_key_alone() -> None:
    rows = tones(lick("2d 3d' 5d 1+2+3d"))
    assert [row.chord for row in rows] == [None] * 4
    assert [[tone.degree for tone in row.tones if tone] for row in rows] == [
        ["1"],
        ["b3"],
        ["b7"],
        ["5", "1", "3"],
    ]


def test_a_key_said_to_be_minor_is_heard_as_minor_without_a_form() -> None:
    """So the report's degrees agree with its key and with the key signature of the sheet."""
    (third, *_) = tones(lick("3d' . . .", Key="G minor"))
    assert third.tones[0] is not None
    assert (third.tones[0].degree, third.tones[0].blue) == ("b3", False)
    (third, *_) = tones(lick("3d' . . ."))
    assert third.tones[0] is not None
    assert (third.tones[0].degree, third.tones[0].blue) == ("b3", True)


def test_third_position_without_a_form_is_heard_as_minor() -> None:
    first, second = tones(lick("5d 4d' . .", Position="3"))
    assert first.tones[0] is not None
    assert second.tones[0] is not None
    assert (first.tones[0].degree, first.tones[0].blue) == ("b3", False)
    assert (second.tones[0].degree, second.tones[0].role) == ("7", "outside")


def test_reeds_that_do_not_exist_hold_none() -> None:
    row = tones(lick("1+2d'''' . . ."))[0]
    assert row.tones[1] is None
    assert row.tones[0] is not None


def test_a_pickup_is_heard_over_the_last_bar_of_the_form() -> None:
    rows = tones(score_of(SHUFFLE))
    assert rows[0].chord is not None
    assert rows[0].chord.name(fifths=4) == "B7"


@given(tunes())
def test_one_row_an_event_and_every_beat_of_it_over_some_chord(text: str) -> None:
    score = score_of(text)
    rows = tones(score)
    assert len(rows) == len(score.events)
    for event, row in zip(score.events, rows, strict=True):
        assert len(row.tones) == len(event.sound.reeds)
        if score.tune.form.bars:
            assert sum(stretch.length for stretch in row.under) == event.length
            assert row.chord in [stretch.chord for stretch in row.under]
            assert row.under[0].chord == score.tune.form.chord_at(event.bar, event.beat)
        else:
            assert row.under == ()

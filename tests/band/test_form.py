"""The bars the band plays: fills, turns, the ending and its chords."""

from fractions import Fraction

from reedwright.band.arrange import arrange
from reedwright.band.form import bars_of, home_chord
from reedwright.band.values import BandBar, Options, Part
from reedwright.tune.chords import Chord
from tests.band.tunes import score

PHRASE = 4


def bars(form: str = "quick", *, options: Options | None = None, **given: object) -> list[BandBar]:
    made = score(form, **given)  # type: ignore[arg-type]
    return list(bars_of(made, options or Options(), PHRASE))


def places(found: list[BandBar], what: str) -> list[tuple[int, int]]:
    return [(bar.chorus, bar.bar) for bar in found if getattr(bar, what)]


def test_fills_are_allowed_at_the_end_of_phrases_and_of_a_chorus() -> None:
    allowed = [(chorus, bar) for chorus in (1, 2) for bar in (4, 8, 12)]
    assert places(bars(choruses=2), "fill") == [*allowed, (2, 13)]  # and before the last chord
    ten = " | ".join(["I7"] * 10)
    assert places(bars(ten, choruses=1), "fill") == [(1, 4), (1, 8), (1, 10), (1, 11)]


def test_the_last_bar_of_a_chorus_turns() -> None:
    assert places(bars(choruses=3), "turn") == [(1, 12), (2, 12), (3, 12), (3, 13)]


def test_the_bands_own_ending_goes_home_by_way_of_the_fifth() -> None:
    *_, fore, last = bars("minor", harp="C", choruses=2)  # G minor
    assert (fore.chorus, fore.bar, fore.start, fore.ending, fore.last) == (2, 13, 96, True, False)
    assert fore.chords == ((Fraction(0), Chord(7, "m7")), (Fraction(2), Chord(2, "7")))
    assert (last.bar, last.start, last.last) == (14, 100, True)
    assert last.chords == ((Fraction(0), Chord(7, "m7")),)


def test_a_bar_of_one_beat_has_no_room_for_the_fifth() -> None:
    assert [len(bar.chords) for bar in bars("8-bar", meter="1/4", choruses=1)[-2:]] == [1, 1]


def test_without_an_ending_the_band_stops_with_the_form() -> None:
    found = bars(options=Options(ending=False), choruses=2)
    assert len(found) == 24
    assert not places(found, "last")


def test_a_tune_that_goes_on_past_its_form_sets_the_ending() -> None:
    licks = "Lick Home\n1: 2d = = =\n2: 2d = = ."
    over = score(choruses=1, licks=licks, chorus="1 One\n12 Home")
    found = list(bars_of(over, Options(), PHRASE))
    assert [(bar.bar, bar.ending, bar.last) for bar in found[-2:]] == [
        (12, False, False),
        (13, True, True),
    ]
    # the sheet goes round again: bar 13 has the chord of bar 1
    assert found[-1].chords == found[0].chords
    cut = list(bars_of(over, Options(ending=False), PHRASE))
    assert len(cut) == 12


def test_all_strike_the_last_chord_and_let_it_ring() -> None:
    made = arrange(score(meter="12/8", feel="straight", tempo=60))
    last = made.bars[-1]
    for part in Part:
        notes = [note for note in made.notes[part] if note.start >= last.start]
        assert {(note.start, note.length) for note in notes} == {
            (Fraction(last.start), Fraction(4))
        }, part
    assert made.length_beats == last.start + 4


def test_chords_that_only_go_on_are_named_once() -> None:
    assert bars("I7 / IV7 IV7 | I7", choruses=1)[0].chords == (
        (Fraction(0), Chord(4, "7")),
        (Fraction(2), Chord(9, "7")),
    )


def test_home_is_the_forms_own_chord_or_a_seventh_chord() -> None:
    assert home_chord(score("I6 | IV7").tune) == Chord(4, "6")
    assert home_chord(score("IV7 | V7").tune) == Chord(4, "7")
    assert home_chord(score("iv7 | V7", more="Key: E minor").tune) == Chord(4, "m7")

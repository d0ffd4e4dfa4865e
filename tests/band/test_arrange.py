"""Arranging: what is promised of the whole band, whatever the tune."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reedwright.band.arrange import arrange
from reedwright.band.measures import by_bar
from reedwright.band.rulesfile import rules
from reedwright.band.values import Arrangement, BandNote, Break, Keys, Options, Part
from reedwright.errors import SettingError
from reedwright.tune.chords import QUALITIES
from tests.band.tunes import FORMS, score

METERS = ("4/4", "3/4", "2/4", "6/8", "9/8", "12/8", "1/4", "5/4", "7/4", "11/4", "12/4", "3/8")
FEELS = ("straight", "shuffle", "swing 1.5:1", "swing by tempo")
COMPOUND = ("6/8", "9/8", "12/8", "3/8")


def bar_notes(made: Arrangement, chorus: int, bar: int) -> dict[Part, list[BandNote]]:
    return {part: by_bar(notes)[chorus, bar] for part, notes in made.notes.items()}


def sound(notes: list[BandNote], start: int = 0) -> list[tuple[Fraction, int]]:
    return [(note.start - start, note.midi) for note in notes]


@settings(max_examples=60, deadline=None)
@given(
    form=st.sampled_from([*FORMS, ""]),
    meter=st.sampled_from(METERS),
    feel=st.sampled_from(FEELS),
    style=st.sampled_from(["", *rules().styles]),
    tempo=st.integers(20, 400),
    choruses=st.integers(1, 3),
    seed=st.integers(0, 10**9),
)
def test_any_tune_is_arranged(  # noqa: PLR0917 - given by name
    form: str, meter: str, feel: str, style: str, tempo: int, choruses: int, seed: int
) -> None:
    feel = "straight" if meter in COMPOUND else feel
    form = form if meter not in {"1/4", "3/8"} or form != "rich" else "quick"  # too short for it
    tune = score(form, meter=meter, feel=feel, tempo=tempo, choruses=choruses)
    made = arrange(tune, seed=seed, options=Options(style=style))
    beats = tune.tune.meter.beats
    places = {(bar.chorus, bar.bar): bar for bar in made.bars}
    assert len(places) == len(made.bars) == tune.bars + 2
    assert [bar.start for bar in made.bars] == [n * beats for n in range(len(made.bars))]
    assert made.notes[Part.DRUMS]
    assert made.notes[Part.BASS]
    assert bool(made.notes[Part.GUITAR] + made.notes[Part.KEYS]) is bool(form)
    for part, notes in made.notes.items():
        assert [note.start for note in notes] == sorted(note.start for note in notes)
        for note in notes:
            bar = places[note.chorus, note.bar]
            assert note.part is part
            assert bar.start <= note.start < bar.start + beats
            assert note.end <= bar.start + max(beats, 1)
            assert 0.05 <= note.velocity <= 1
        assert len({(note.start, note.midi) for note in notes}) == len(notes)


def test_the_same_tune_gives_the_same_track() -> None:
    assert arrange(score(), seed=7).notes == arrange(score(), seed=7).notes


def test_another_seed_gives_another_track() -> None:
    one, other = arrange(score(), seed=7), arrange(score(), seed=8)
    assert all(one.notes[part] != other.notes[part] for part in Part)


def test_an_edited_bar_changes_itself_and_what_leads_to_it() -> None:
    chords = ["I7", "IV7", "I7", "I7", "IV7", "IV7", "I7", "I7", "V7", "IV7", "I7", "V7"]
    before = arrange(score(" | ".join(chords)))
    chords[5] = "bVI7"
    after = arrange(score(" | ".join(chords)))
    for bar in before.bars:
        one, other = (bar_notes(made, bar.chorus, bar.bar) for made in (before, after))
        changed = {part for part in Part if one[part] != other[part]}
        if bar.bar == 6:
            assert {Part.BASS, Part.GUITAR, Part.KEYS} <= changed
        else:
            assert changed <= ({Part.BASS} if bar.bar == 5 else set()), bar
        assert Part.DRUMS not in changed


def test_a_seed_is_of_a_chorus_and_bar_so_more_choruses_change_no_earlier_one() -> None:
    two, four = arrange(score(choruses=2)), arrange(score(choruses=4))
    for chorus in (1, 2):
        for bar in range(1, 12):  # what leads out of the last bar knows what follows
            assert bar_notes(two, chorus, bar) == bar_notes(four, chorus, bar)


def test_choruses_are_alike_only_when_asked() -> None:
    def bars(made: Arrangement, chorus: int) -> list[object]:
        start = (chorus - 1) * 48
        played = [bar_notes(made, chorus, bar) for bar in range(1, 12)]
        return [sound(notes[part], start) for notes in played for part in Part]

    free, alike = arrange(score()), arrange(score(), options=Options(alike=True))
    assert all(bars(free, 1) != bars(free, chorus) for chorus in (2, 3, 4))
    assert all(bars(alike, 1) == bars(alike, chorus) for chorus in (2, 3, 4))


def test_every_chord_quality_is_played_by_everyone() -> None:
    for quality in QUALITIES:
        made = arrange(score(f"I{quality} | IV{quality} | bV{quality}"))
        assert all(made.notes[part] for part in Part), quality


def test_comping_follows_a_change_inside_the_bar() -> None:
    made = arrange(score("I7 / V7 / | IV7 | I7 | I7", choruses=8))
    second = {(Fraction(note.start) % 4, note.midi % 12)
              for part in (Part.GUITAR, Part.KEYS)
              for note in made.notes[part]
              if note.bar == 1 and note.start % 4 >= 2}  # fmt: skip
    # V7 of E is B7; its own notes and the ninth
    assert {midi for _, midi in second} <= {11, 3, 6, 9, 1}


def test_no_form_no_chords_but_drums_and_a_bass_on_root_and_fifth() -> None:
    made = arrange(score("", choruses=3))
    assert not made.notes[Part.GUITAR]
    assert not made.notes[Part.KEYS]
    first = {note.midi % 12 for note in made.notes[Part.BASS] if note.start % 4 == 0}
    assert first == {4}  # E: second position on an A harp
    assert {n.midi % 12 for n in made.notes[Part.BASS] if n.start % 2 == 0} <= {4, 11}


def test_a_pickup_is_the_players_alone() -> None:
    made = arrange(score(licks="Lick Up\n0: . . . 2d\n1: 3d . . .", chorus="1 Up", choruses=1))
    assert made.score.has_pickup
    assert min(note.start for part in Part for note in made.notes[part]) == 0


def test_a_style_is_chosen_by_meter_feel_mode_and_tempo() -> None:
    def style(**given: object) -> str:
        return arrange(score(**given)).style  # type: ignore[arg-type]

    assert style(meter="12/8", feel="straight", tempo=56) == "slow"
    assert style(meter="4/4", feel="shuffle", tempo=104) == "shuffle"
    assert style(meter="4/4", feel="straight", tempo=104) == "straight"
    assert style(meter="4/4", feel="straight", tempo=160) == "train"
    assert style(form="minor", feel="straight", tempo=104) == "minor"
    assert style(form="minor", meter="12/8", feel="straight", tempo=60) == "slow"
    assert style(meter="12/8", feel="straight", tempo=120) == "shuffle"


def test_a_style_may_be_asked_for() -> None:
    made = arrange(score(), options=Options(style="Rumba"))
    assert (made.style, made.keys) == ("rumba", Keys.PIANO)


def test_a_tune_may_name_its_style_and_an_option_overrules_it() -> None:
    tune = score(more="Band: rumba")
    assert arrange(tune).style == "rumba"
    assert arrange(tune, options=Options(style="train")).style == "train"


def test_an_unknown_style_is_one_clear_error() -> None:
    with pytest.raises(SettingError) as caught:
        arrange(score(), options=Options(style="rhumba"))
    assert str(caught.value) == (
        "unknown style 'rhumba'. Styles of the band are slow, minor, shuffle, train, straight, "
        "rumba. Mend: did you mean rumba?"
    )


def test_a_break_is_one_stroke_and_silence() -> None:
    pause = Break(bar=5, chorus=2, bars=2)
    made = arrange(score(), options=Options(breaks=(pause,)))
    whole = arrange(score())
    for part, notes in bar_notes(made, 2, 5).items():
        assert {note.start for note in notes} == {64}, part
        assert all(note.length <= Fraction(1, 2) for note in notes)
    assert not any(bar_notes(made, 2, 6).values())
    assert bar_notes(made, 2, 7) == bar_notes(whole, 2, 7)
    assert bar_notes(made, 1, 5) == bar_notes(whole, 1, 5)


def test_a_break_in_every_chorus() -> None:
    made = arrange(score(), options=Options(breaks=(Break(bar=4),)))
    for chorus in (1, 2, 3, 4):
        assert {note.start % 4 for note in bar_notes(made, chorus, 4)[Part.DRUMS]} == {0}


def test_a_cued_stop_ends_the_band_on_the_first_beat_of_its_bar() -> None:
    made = arrange(score(), options=Options(stop=(3, 5)))
    assert (made.bars[-1].chorus, made.bars[-1].bar, made.bars[-1].last) == (3, 5, True)
    for part, notes in bar_notes(made, 3, 5).items():
        assert {(note.start, note.length) for note in notes} == {(Fraction(112), Fraction(4))}, part


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (Options(stop=(5, 1)), "a stop of the band in bar 1 of chorus 5"),
        (Options(stop=(1, 13)), "a stop of the band in bar 13 of chorus 1"),
        (Options(breaks=(Break(40),)), "a break of the band in bar 40 of any chorus"),
        (Options(breaks=(Break(1, chorus=9),)), "a break of the band in bar 1 of chorus 9"),
    ],
)
def test_a_stop_or_break_that_is_nowhere_is_refused(options: Options, told: str) -> None:
    with pytest.raises(SettingError) as caught:
        arrange(score(), options=options)
    mend = "Mend: choose a bar of the tune, or of the ending the band adds."
    assert str(caught.value) == f"{told}. The band has no such bar. {mend}"


@pytest.mark.parametrize("numbers", [(0, 1, 1), (1, -1, 1), (1, 0, 0)])
def test_a_break_that_cannot_be_is_refused(numbers: tuple[int, int, int]) -> None:
    with pytest.raises(SettingError, match="Bars count from 1"):
        Break(*numbers)


def test_the_longest_form_many_times_over_is_linear() -> None:
    form = " | ".join(["I7", "IV7", "I7", "V7"] * 32)
    made = arrange(score(form, choruses=8))
    assert len(made.bars) == 128 * 8 + 2
    assert made.bars[-1].bar == 130

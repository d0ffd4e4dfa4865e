"""Key presses and controls of single notes."""

from fractions import Fraction

import pytest

from reedwright.errors import SheetError
from reedwright.performance.midifile import TICKS_PER_QUARTER
from reedwright.performance.perform import perform
from reedwright.sheet.midi_notes import (
    BEND_RANGE,
    Control,
    NoteWriter,
    Press,
    Turn,
    bend_value,
)
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from tests.performance.tunes import one_bar

BAR = 4 * TICKS_PER_QUARTER


def written(cells: str, tempo_bpm: int = 60, **header: str) -> tuple[list[Press], list[Turn]]:
    performance = perform(one_bar(cells, **header), Fraction(tempo_bpm))
    writer = NoteWriter(performance)
    turns = [turn for timed in performance.events for turn in writer.turns(timed)]
    return [press for timed in performance.events for press in writer.presses(timed)], turns


def bends(turns: list[Turn]) -> list[tuple[int, int, int]]:
    return [(t.tick - BAR, t.channel, t.value) for t in turns if t.control is Control.BEND]


@pytest.mark.parametrize("split", [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12])
@pytest.mark.parametrize("meter", ["4/4", "12/8"])
def test_every_split_but_eleven_falls_on_a_tick(split: int, meter: str) -> None:
    presses, _ = written("&".join(["4d"] * split) + " . . .", Meter=meter)
    beat = TICKS_PER_QUARTER if meter == "4/4" else TICKS_PER_QUARTER * 3 // 2
    assert beat % split == 0
    starts = [press.start - 4 * beat for press in presses]
    assert starts == [beat * part // split for part in range(split)]


def test_elevenths_are_half_a_tick_off_at_most() -> None:
    presses, _ = written("&".join(["4d"] * 11) + " . . .")
    for part, press in enumerate(presses):
        assert abs(press.start - BAR - Fraction(part * TICKS_PER_QUARTER, 11)) <= Fraction(1, 2)


@pytest.mark.parametrize("ratio", ["1", "1.5", "2", "2.5", "3", "3.5"])
@pytest.mark.parametrize("split", [2, 4])
def test_the_usual_swing_ratios_fall_on_ticks(ratio: str, split: int) -> None:
    performance = perform(
        one_bar("&".join(["4d"] * split) + " . . ."), Fraction(60), Fraction(ratio)
    )
    for timed in performance.events:
        assert (timed.onset_beats * TICKS_PER_QUARTER).denominator == 1


def test_a_bent_note_is_its_natural_key_bent_down() -> None:
    presses, turns = written("3d 3d''' 3d .")
    assert [press.key for press in presses] == [71, 71, 71]
    assert bends(turns) == [(5040, 0, -8192 * 3 // BEND_RANGE), (10080, 0, 0)]


def test_an_overbend_is_a_key_of_its_own() -> None:
    presses, turns = written("6bo 7do . .")
    assert [press.key for press in presses] == [82, 85]
    assert bends(turns) == []


def test_chord_members_share_a_channel_when_they_bend_alike() -> None:
    presses, turns = written("1+2+3b . . .")
    assert presses == [Press(BAR, BAR + 5040, 0, key, 74) for key in (60, 64, 67)]
    assert turns == []


def test_a_just_chord_gets_a_channel_for_each_offset() -> None:
    presses, turns = written("1+2+3+4b . . .", Temperament="7-limit just")
    assert [(press.key, press.channel) for press in presses] == [(60, 0), (64, 1), (67, 2), (72, 0)]
    # −13.69 and +1.96 cents from the ratios 5/4 and 3/2
    assert bends(turns) == [
        (0, 1, round(-13.686 * 8192 / 2400)),
        (0, 2, round(1.955 * 8192 / 2400)),
    ]


def test_reeds_of_one_pitch_press_one_key() -> None:
    presses, _ = written("3+4+5b . . .", Tuning="solo")  # 4 and 5 blow are both C
    assert [press.key for press in presses] == [67, 72]


def test_more_different_bends_than_channels() -> None:
    scale = {"0": 1.0} | {str(step): step * 2.0 + 1 for step in range(1, 12)}
    files = {
        "wide.toml": f'name = "wide"\nblow = {list(range(16))}\ndraw = {list(range(3, 19))}\n',
        "uneven.toml": f'name = "uneven"\ncents = {list(scale.values())}\n',
    }
    head = "Title: Wide\nHarp: C\nTuning: wide.toml\nTemperament: uneven.toml\nPosition: 1\n"
    chord = "+".join(f"{hole}d{chr(39) * (hole > 12)}" for hole in range(1, 17))
    score = place(read_tune(f"{head}Lick Only\n1: {chord} . . .\n", neighbour=files.__getitem__))
    timed = perform(score, Fraction(60)).events[0]
    with pytest.raises(SheetError, match=r"^16 reeds bent differently at once\. MIDI has 15 "):
        NoteWriter(perform(score, Fraction(60))).presses(timed)


def test_a_shake_alternates_at_its_rate() -> None:
    presses, _ = written("4x5d@3 . . .")
    assert [press.key for press in presses] == [74, 77, 74]
    assert [press.start - BAR for press in presses] == [0, 1680, 3360]
    assert presses[-1].end == BAR + 5040


def test_the_last_part_of_a_shake_is_cut() -> None:
    presses, _ = written("4x5d@3/2 = =&. .")  # a note of two and a half beats
    assert [press.start - BAR for press in presses] == [0, 3360, 6720, 10080]
    assert presses[-1].end == BAR + 12600


@pytest.mark.parametrize(("tempo_bpm", "changes"), [(60, 10), (120, 4), (240, 2), (400, 2)])
def test_a_shake_of_the_players_own_rate(tempo_bpm: int, changes: int) -> None:
    presses, _ = written("4x5d . . .", tempo_bpm)
    assert len(presses) == changes
    assert [press.key for press in presses] == [74, 77] * (changes // 2)
    assert presses[-1].end == BAR + 5040


@pytest.mark.parametrize(
    ("token", "keys"),
    [
        ("2>4d", [67, 71, 74]),
        ("6>4d", [81, 77, 74]),
        ("4>4d", [74]),
        ("1>2+3d", [62, 67, 71]),
        ("5>2+3d", [77, 74, 67, 71]),
        ("2>1+3d", [62, 71]),
        ("16>8d", [93, 89, 86]),  # a ten-hole harp
    ],
)
def test_a_rake_touches_the_holes_on_its_way(token: str, keys: list[int]) -> None:
    presses, _ = written(f"{token} . . .")
    assert [press.key for press in presses] == keys
    assert presses[0].start == BAR
    assert {press.end for press in presses if press.key == keys[-1]} == {BAR + 5040}


def test_how_loud() -> None:
    cells = "{very soft} 4d&(4d) {soft} 4d {loud} 4d&4d! {very loud} 4d&4d!"
    presses, _ = written(cells)
    assert [press.velocity for press in presses] == [40, 22, 56, 94, 110, 110, 126]


def test_a_dip_glides_and_the_note_after_is_clean() -> None:
    _, turns = written("/4d 4d . .")
    values = [value for _, _, value in bends(turns)]
    assert values[0] == bend_value(-100.0)
    assert values == sorted(values)
    assert values[-1] == 0
    assert bends(turns)[-1][0] <= 0.13 * 5040


def test_a_fall_ends_two_semitones_down_and_the_note_after_is_clean() -> None:
    _, turns = written("4d\\\\ 5b . .")
    found = bends(turns)
    assert found[-2][0] == 5039  # a tick before the end, so a step short
    assert found[-2][2] == min(value for _, _, value in found) == bend_value(-200.0) + 1
    assert found[-1] == (5040, 0, 0)


def test_nothing_is_said_twice() -> None:
    _, turns = written("{cup closed} 4d 5d 4dw@2 4d")
    standing: dict[tuple[int, Control], int] = {}
    for turn in turns:
        assert standing.get((turn.channel, turn.control)) != turn.value
        standing[turn.channel, turn.control] = turn.value


def test_bends_fill_the_range_and_no_more() -> None:
    assert [bend_value(cents) for cents in (0, -2400, 2400, -9999, 1200)] == [
        0,
        -8192,
        8191,
        -8192,
        4096,
    ]

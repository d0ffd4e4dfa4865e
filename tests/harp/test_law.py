"""The law of the two reeds, against a second telling of it that walks the semitones."""

from hypothesis import given

from reedwright.harp import law
from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.note import MAX_BEND, Breath, TabNote, parse_note
from reedwright.harp.tuning import Tuning, Valves
from tests.strategies_harp import own_tunings, tab_notes


def told_again(tuning: Tuning, hole: int) -> set[tuple[str, int]]:
    """(token, semitones) of a hole, pitch by pitch: bends lie strictly between the two reeds."""
    blow, draw = tuning.blow[hole - 1], tuning.draw[hole - 1]
    found = {(f"{hole}b", blow), (f"{hole}d", draw)}
    high, low, letter = (draw, blow, "d") if draw > blow else (blow, draw, "b")
    other = "b" if letter == "d" else "d"
    if tuning.valves is Valves.ALL:
        return found | {(f"{hole}b'", blow - 1), (f"{hole}d'", draw - 1)}
    for depth, pitch in enumerate(range(high - 1, low, -1), 1):
        if depth <= MAX_BEND:
            found.add((f"{hole}{letter}{chr(39) * depth}", pitch))
    if blow == draw:
        return found
    if tuning.valves is Valves.HALF:
        return found | {(f"{hole}{other}'", low - 1)}
    return found | {(f"{hole}{other}o", high + 1)}


@given(own_tunings())
def test_every_hole_sounds_what_the_law_says(tuning: Tuning) -> None:
    for hole in range(1, tuning.holes + 1):
        expected = told_again(tuning, hole)
        if tuning.button:
            expected |= {(f"{token}*", pitch + 1) for token, pitch in expected}
        notes = law.notes_of_hole(tuning, hole)
        assert len(notes) == len(set(notes))
        assert {(str(note), law.offset_of(tuning, note)) for note in notes} == expected


@given(own_tunings(), tab_notes)
def test_a_note_is_refused_exactly_when_the_hole_lacks_it(tuning: Tuning, note: TabNote) -> None:
    there = note.hole <= tuning.holes and note in law.notes_of_hole(tuning, note.hole)
    assert (law.why_not(tuning, note) == "") == there


def why(harp: Harp, token: str) -> str:
    return harp.why_not(parse_note(token))


def test_the_reasons_in_words() -> None:
    harp = harp_named("C")
    assert why(harp, "4d'") == ""
    assert why(harp, "11b") == "this harp has holes 1 to 10"
    assert why(harp, "3b*") == "only a slide harp has a button"
    assert why(harp, "5d'") == "5 draw does not bend on this harp"
    assert why(harp, "2d'''") == "2 draw bends 2 semitones at most on this harp"
    assert why(harp, "4d''") == "4 draw bends 1 semitone at most on this harp"
    assert why(harp, "3b'") == "3 blow does not bend on this harp"
    assert why(harp, "6do") == "hole 6 has an overblow, not an overdraw"
    assert why(harp, "7bo") == "hole 7 has an overdraw, not an overblow"
    assert why(harp_named("C half-valved"), "6bo") == "valves take the overbends away"


def test_equal_reeds_neither_bend_nor_overbend() -> None:
    tuning = Tuning("flat", (0, 4, 7, 12), (2, 4, 11, 14))
    assert [str(note) for note in law.notes_of_hole(tuning, 2)] == ["2b", "2d"]
    assert law.higher_breath(tuning, 2) is None
    assert law.why_not(tuning, TabNote(2, Breath.BLOW, over=True)) == "hole 2 has no overbend"

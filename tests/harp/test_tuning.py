"""Built-in tunings, spirals, and a user's own from a small file."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import HarpError
from reedwright.harp.harp import harp_named
from reedwright.harp.note import Breath, parse_note
from reedwright.harp.pitch import KEYS, pitch_class
from reedwright.harp.tuning import (
    Tuning,
    Valves,
    read_tuning,
    tuning_from_table,
    tuning_named,
    tuning_names,
)
from tests.strategies_harp import own_tunings


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("richter", "Richter"),
        ("Natural  MINOR", "natural minor"),
        ("raised-third-blow", "raised third blow"),
        ("half valved", "half-valved Richter"),
        ("Half-Valved country", "half-valved country"),
        ("spiral", "spiral from C"),
        ("spiral from e", "spiral from E"),
    ],
)
def test_names_are_read_in_any_case(written: str, name: str) -> None:
    assert tuning_named(written).name == name


def test_an_unknown_tuning_names_the_nearest() -> None:
    with pytest.raises(HarpError) as caught:
        tuning_named("contry")
    assert str(caught.value) == (
        "unknown tuning 'contry'. Built-in tunings are Richter, country, raised third blow, "
        "natural minor, harmonic minor, solo, spiral, slide; `half-valved` may stand before one. "
        "Mend: did you mean 'country'? A file of your own ends in .toml."
    )


def test_a_slide_harp_is_not_half_valved() -> None:
    with pytest.raises(HarpError, match="'half-valved slide' has valves already"):
        tuning_named("half-valved slide")


@pytest.mark.parametrize("key", KEYS)
def test_a_spiral_starts_on_its_note_in_every_key(key: str) -> None:
    for start in range(12):
        name = f"spiral from {KEYS[start]}"
        if (pitch_class(KEYS[start]) - pitch_class(key)) % 12 not in (0, 2, 4, 5, 7, 9, 11):
            with pytest.raises(HarpError, match="starts on a note of its own major key"):
                tuning_named(name, key)
            continue
        harp = harp_named(f"{key} {name}")
        first = harp.midi(parse_note("1b"))
        assert first % 12 == pitch_class(KEYS[start])
        assert abs(first - harp.key_midi) <= 7
        round_trip = [harp.midi(note) for note in harp.notes() if not note.bend and not note.over]
        assert [pitch % 12 for pitch in round_trip[0::2][7:]] == [
            pitch % 12 for pitch in round_trip[0::2][:3]
        ]  # seven holes on, the chain of thirds comes round


def test_a_spiral_from_a_word_that_is_no_note() -> None:
    with pytest.raises(HarpError, match="unknown key 'h'"):
        tuning_named("spiral from H")


def test_an_own_tuning_keeps_what_its_base_gives() -> None:
    own = read_tuning('base = "natural minor"\nchange = { "6d" = 20, "10d" = 32 }', "am.toml")
    assert own.label_position == 2
    assert own.offset(6, Breath.DRAW) == 20
    assert own.offset(3, Breath.DRAW) == 10
    assert own.name == "own tuning"
    slide = read_tuning('base = "slide"\nname = "mine"', "s.toml")
    assert (slide.button, slide.valves, slide.holes) == (True, Valves.ALL, 12)


def test_rows_alone_make_a_tuning() -> None:
    text = "blow = [0, 4, 7, 12]\ndraw = [2, 7, 11, 14]\nvalves = 'half'\nlabel_position = 3"
    assert read_tuning(text, "x") == Tuning(
        "own tuning", (0, 4, 7, 12), (2, 7, 11, 14), 3, Valves.HALF
    )


@given(own_tunings())
def test_a_table_of_a_tuning_gives_the_tuning_back(tuning: Tuning) -> None:
    table = {
        "name": tuning.name,
        "blow": list(tuning.blow),
        "draw": list(tuning.draw),
        "label_position": tuning.label_position,
        "valves": tuning.valves.value,
        "button": tuning.button,
    }
    assert tuning_from_table(table) == tuning


@given(own_tunings(), st.integers(1, 16), st.sampled_from(Breath), st.integers(-12, 45))
def test_one_reed_changes_and_no_other(
    tuning: Tuning, hole: int, breath: Breath, offset: int
) -> None:
    if hole > tuning.holes:
        with pytest.raises(HarpError, match=f"no hole {hole}"):
            tuning.with_reed(hole, breath, offset)
        return
    changed = tuning.with_reed(hole, breath, offset)
    assert changed.offset(hole, breath) == offset
    assert changed.with_reed(hole, breath, tuning.offset(hole, breath)) == tuning


def faults(text: str) -> list[str]:
    with pytest.raises(HarpError) as caught:
        read_tuning(text, "my.toml")
    return [str(problem) for problem in caught.value.problems]


def test_all_faults_of_a_file_come_in_one_go_in_its_order() -> None:
    text = (
        'base = "ricter"\ncolour = 1\nbutton = "yes"\n'
        'change = { "3x" = 1, "11d" = 4, "3d" = "a", "4b" = 99 }\nvalves = 3\n'
    )
    found = faults(text)
    assert found[0].startswith("my.toml:1:1: unknown tuning 'ricter'.")
    assert found[1:] == [
        (
            "my.toml:2:1: unknown key 'colour'. Keys are name, base, blow, draw, change, "
            "label_position, valves, button, source. Mend: delete it."
        ),
        "my.toml:3:1: button = 'yes'. This is true or false. Mend: write true.",
        (
            "my.toml:4:12: '3x' is not a reed. A reed is named by hole and breath. "
            "Mend: write it like 3d."
        ),
        "my.toml:4:22: no hole 11. There are holes 1 to 10. Mend: name one.",
        (
            "my.toml:4:33: 3d = 'a'. A whole number from -12 to 60 is needed. "
            "Mend: write one in between."
        ),
        (
            "my.toml:4:45: 4b = 99. A whole number from -12 to 60 is needed. "
            "Mend: write one in between."
        ),
        'my.toml:5:1: valves = 3. Valves are "none", "half" or "all". Mend: write valves = "none".',
    ]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (
            "blow = [0, 4, 7]\ndraw = [2, 7, 11, 14]",
            (
                "my.toml:1:1: blow is a list of 3. A row lists 4 to 16 notes, one for each hole. "
                "Mend: write it like blow = [0, 4, 7, 12]."
            ),
        ),
        (
            "blow = [0, 4, 7, 12]\ndraw = [2, 7, 11, 14, 17]",
            (
                "my.toml:2:1: 4 blow and 5 draw notes. Every hole has one of each. "
                "Mend: make both rows as long."
            ),
        ),
        (
            "draw = [2, 7, 11, 14]",
            (
                "my.toml: no `blow` and no `base`. A tuning gives both rows, or a base. "
                'Mend: write `base = "richter"` and change single reeds.'
            ),
        ),
        (
            'base = "richter"\nname = "two\\nlines"',
            (
                "my.toml:2:1: name = 'two�lines'. This must be one line of text, 60 characters at "
                'most. Mend: write it like name = "my own".'
            ),
        ),
        (
            'base = "richter"\nlabel_position = 13',
            (
                "my.toml:2:1: label_position = 13. A whole number from 1 to 12 is needed. "
                "Mend: write one in between."
            ),
        ),
        (
            'base = "richter"\nchange = 3',
            (
                "my.toml:2:1: change = 3. This must be a table in braces. "
                'Mend: write it like change = { "3d" = 10 }.'
            ),
        ),
        (
            'base = "richter"\nchange = { "3d" = true }',
            (
                "my.toml:2:12: 3d = true. A whole number from -12 to 60 is needed. "
                "Mend: write one in between."
            ),
        ),
    ],
)
def test_one_fault_in_words(text: str, fault: str) -> None:
    assert faults(text) == [fault]


@pytest.mark.parametrize("name", tuning_names())
def test_every_built_in_tuning_names_its_source(name: str) -> None:
    assert tuning_named(name).source


@pytest.mark.parametrize("bad", ["", " ", "a\nb", "x" * 200, "\x1b[31m"])
def test_names_that_would_spoil_a_heading_are_refused(bad: str) -> None:
    with pytest.raises(HarpError, match="The name of a tuning is one short line of text"):
        Tuning(bad, (0, 4, 7, 12), (2, 7, 11, 14))

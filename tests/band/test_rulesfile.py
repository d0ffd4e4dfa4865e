"""The rules of the band: those that come with the program, and faults in a teacher's own."""

import pytest

from reedwright.band.arrange import arrange
from reedwright.band.rules import Rules
from reedwright.band.rulesfile import NAME, read_rules, rules
from reedwright.band.values import Keys, Options, Part
from reedwright.errors import SettingError
from reedwright.tables import packaged_text
from reedwright.tune.chords import QUALITIES
from tests.band.tunes import score

TEXT = packaged_text(NAME)


def changed(*pairs: tuple[str, str]) -> str:
    text = TEXT
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def faults(text: str) -> list[str]:
    with pytest.raises(SettingError) as caught:
        read_rules(text, "mine.toml")
    return [str(problem) for problem in caught.value.problems]


def test_the_rules_that_come_with_the_program() -> None:
    made = rules()
    assert isinstance(made, Rules)
    assert list(made.styles) == ["slow", "minor", "shuffle", "train", "straight", "rumba"]
    assert made.styles["slow"].keyboard is Keys.ORGAN
    for style in made.styles.values():
        assert set(style.grooves) == {3, 4}
        assert len(style.grooves[4]) >= 2
        assert style.fills
        assert set(style.lines) == {Part.BASS, Part.GUITAR, Part.KEYS}
    for part, voicings in made.voicings.items():
        assert set(voicings) <= set(QUALITIES), part


def test_a_style_of_ones_own_is_read_and_played() -> None:
    begin = TEXT.index("[style.train]")
    end = TEXT.index("# Straight eighths.")
    own = TEXT[begin:end].replace("style.train", "style.ferry").replace('keyboard = "piano"', "")
    text = TEXT.replace('order = ["slow"', 'order = ["ferry", "slow"') + own
    made = arrange(score(), options=Options(style="ferry"), rules=read_rules(text))
    assert made.style == "ferry"
    assert made.keys is Keys.ORGAN


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('hat   = "xoo xoo xoo xoo"', 'hat   = "xoo xqo xoo xoo"',
         "'q' in a row of the drums. Its signs are x X o ? . Mend: write it like x. x. x. x."),
        ('hat   = "xoo xoo xoo xoo"', 'hat   = "xoo xoo"',
         "a row of 2 beats: 'xoo xoo'. This row has 4. Mend: write it like x. x. x. x."),
        ('hat   = "xoo xoo xoo xoo"', 'hut   = "xoo xoo xoo xoo"',
         "'hut' is not in the kit. The kit has kick, rim,"),
        ('hat   = "xoo xoo xoo xoo"', 'hat   = "xoooo xoo xoo xoo"',
         "a beat that is not shared evenly: 'xoooo xoo xoo xoo'. A beat has 1, 2, 3, 4, 6 or 8"),
        ('"R-- c-- c-- a-?"', '"R-- z-- c-- a-?"', "'z' in a row of the bass."),
        ("now-and-then = 0.35", "now-and-then = nan",
         "now-and-then = nan. now-and-then is a number from 0 to 1. Mend: write one in between."),
        ("phrase = 4 ", "phrase = 0 ", "phrase = 0. phrase is a whole number from 1 to 128."),
        ("bass = [28, 48]", "bass = [28, 30]",
         "no range of the bass. A range is its lowest and highest MIDI note, at least 14 apart."),
        ('"m6" = ["b3 5 6"]', '"m6" = ["b3 5 q"]', "q is no note of a chord. A voicing has"),
        ('"m6" = ["b3 5 6"]', '"m6" = ["b3"]', "the notes b3. A voicing has 2 to 5"),
        ('"m6" = ["b3 5 6"]', '"mM7" = ["b3 5 6"]', "unknown key 'mM7'. Guitar has"),
        ('keyboard = "organ"', 'keyboard = "spinet"',
         'keyboard \'spinet\'. A keyboard is organ or piano. Mend: write keyboard = "organ".'),
        ('order = ["slow", ', 'order = [', "style 'slow'. Each style stands once in `order`"),
        ("compound = true", 'compound = "yes"', "compound = 'yes'. compound is true or false."),
        ("kick = 36", "kick = 236", "kick = 236. kick is a whole number from 0 to 127."),
        ("kick = 36", "", "no kick in the kit. The kit has kick, snare, crash."),
        ("half-step = 4", "half-step = -4", "half-step = -4. half-step is a number from 0 to"),
        ("dynamics = [0.88, 0.94, 1.0]", "dynamics = []", "dynamics = something else."),
        ('[style.slow.keys]\nfour', '[style.slow.keys]\nfive', "unknown key 'five'. Keys has"),
    ],
)  # fmt: skip
def test_a_fault_is_told_with_its_place(old: str, new: str, told: str) -> None:
    text = changed((old, new))
    found = faults(text)
    assert any(told in fault for fault in found), found
    line = text.count("\n", 0, TEXT.index(old)) + 1
    heads = tuple(f"mine.toml:{number}:" for number in (line, line + 1, line - 1))
    if new and "order" not in old and "kick" not in old:
        assert any(fault.startswith(heads) for fault in found), found


def test_all_faults_are_told_in_one_go_in_their_order() -> None:
    text = changed(("phrase = 4 ", "phrase = 0 "), ('"R-- c-- c-- a-?"', '"R-- c-- c--"'))
    assert [fault.split(":")[0] for fault in faults(text)] == ["mine.toml"] * 2
    lines = [int(fault.split(":")[1]) for fault in faults(text)]
    assert lines == sorted(lines)


@pytest.mark.parametrize("text", ["", "[", "style = 3", "a = " + "[" * 5000, "x = 1", "order = []"])
def test_what_is_no_table_of_rules_is_refused(text: str) -> None:
    assert all("mine.toml" in fault for fault in faults(text))


def test_many_faults_end_somewhere() -> None:
    assert len(faults(TEXT.replace('"R', '"Q'))) <= 40


def test_approaches_all_of_no_weight_are_refused() -> None:
    text = changed(("half-step = 4", "half-step = 0"), ("scale-step = 4", "scale-step = 0"),
                   ("fifth = 3", "fifth = 0"))  # fmt: skip
    assert any("no way to the next root" in fault for fault in faults(text))

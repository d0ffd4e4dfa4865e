"""MusicXML: what stands where. The schema and foreign readers are asked in tests/outside."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Any, TypeAlias

import pytest
from hypothesis import given
from lxml import etree

from reedwright.errors import SettingError, SheetError
from reedwright.sheet.chordxml import harmony
from reedwright.sheet.musicxml import musicxml
from reedwright.sheet.options import SheetOptions, TabStyle
from reedwright.sheet.spelling import spelled
from reedwright.sheet.xmlwriter import escaped
from reedwright.tune.chords import QUALITIES, Chord
from reedwright.tune.place import Score
from tests.sheet.tunes import GATE, bar_of, score_of, tune_texts

Node: TypeAlias = Any  # an element whose parts a test may name without asking


def read(score: Score, options: SheetOptions | None = None) -> Node:
    return etree.fromstring(musicxml(score, options).encode("utf-8"))


def notes(root: Node) -> list[Node]:
    return root.findall(".//note")


def accidentals(score: Score) -> list[str]:
    return [note.findtext("accidental", "") for note in notes(read(score))]


def tab(root: Node, name: str = "tab") -> list[list[str]]:
    """Lines of text of that name under each note that has some."""
    found = [
        [lyric.findtext("text", "") for lyric in note.findall("lyric") if lyric.get("name") == name]
        for note in notes(root)
    ]
    return [lines for lines in found if lines]


def pitches(root: Node) -> Iterator[str]:
    for pitch in root.iter("pitch"):
        alter = {"1": "#", "-1": "b", None: ""}[pitch.findtext("alter")]
        yield f"{pitch.findtext('step')}{alter}{pitch.findtext('octave')}"


def test_head() -> None:
    root = read(score_of(GATE))
    assert root.get("version") == "4.0"
    assert root.findtext("work/work-title") == "The Gate"
    assert root.findtext("identification/creator") == "A. Teacher"
    assert root.findtext("identification/rights") == "Free to copy"
    about = {field.get("name"): field.text for field in root.iter("miscellaneous-field")}
    assert about == {
        "harp": "A",
        "position": "second (cross)",
        "key": "E",
        "feel": "shuffle",
        "tempos": "60, 104",
        "remark 1": "Keep it easy",
    }
    assert root.find(".//encoding-date") is None  # the same bytes tomorrow


def test_first_bar_says_key_meter_tempo_and_swing() -> None:
    root = read(score_of(GATE))
    assert (root.findtext(".//fifths"), root.findtext(".//mode")) == ("4", "major")
    assert (root.findtext(".//time/beats"), root.findtext(".//time/beat-type")) == ("4", "4")
    assert root.findtext(".//per-minute") == "104"
    assert root.find(".//sound[@tempo]").get("tempo") == "104"
    assert [root.findtext(f".//swing/{name}") for name in ("first", "second", "swing-type")] == [
        "2",
        "1",
        "eighth",
    ]
    assert root.find(".//clef/clef-octave-change") is None


def test_swing_in_whole_numbers() -> None:
    root = read(bar_of("4d . . .", Feel="swing 1.5:1"))
    assert (root.findtext(".//swing/first"), root.findtext(".//swing/second")) == ("3", "2")
    assert read(bar_of("4d . . .")).find(".//swing") is None


def test_tempo_of_a_compound_meter_counts_dotted_quarters() -> None:
    root = read(bar_of("4d .", Meter="6/8", Tempo="60"))
    assert root.find(".//metronome/beat-unit-dot") is not None
    assert root.findtext(".//per-minute") == "60"
    assert root.find(".//sound[@tempo]").get("tempo") == "90"
    slow = read(bar_of("4d .", Meter="6/8"), SheetOptions(tempo_bpm=Fraction(41)))
    assert slow.find(".//sound[@tempo]").get("tempo") == "61.5"


def test_pickup_is_an_implicit_bar_counted_from_its_beat() -> None:
    root = read(score_of(GATE))
    pickup = root.find(".//measure")
    assert (pickup.get("number"), pickup.get("implicit")) == ("0", "yes")
    assert [note.findtext("duration") for note in pickup.findall("note")] == ["3"] * 4
    assert tab(pickup, "count") == [["3"], ["&"], ["4"], ["&"]]
    second_chorus = [measure for measure in root.iter("measure") if tab(measure, "count")][1]
    assert second_chorus.get("number") == "4"
    assert tab(second_chorus, "count") == [["3"], ["&"], ["4"], ["&"]]


def test_bars_lines_and_ends() -> None:
    root = read(score_of(GATE))
    numbers = [(m.get("number"), m.get("text")) for m in root.iter("measure")]
    assert numbers == [
        ("0", None), ("1", None), ("2", None), ("3", None), ("4", None),
        ("5", "1"), ("6", "2"), ("7", "3"), ("8", "4"),
    ]  # fmt: skip
    ends = {b.getparent().get("number"): b.findtext("bar-style") for b in root.iter("barline")}
    assert ends == {"4": "light-light", "8": "light-heavy"}
    assert new_lines(root) == ["5"]
    assert new_lines(read(score_of(GATE), SheetOptions(bars_per_line=2))) == ["3", "5", "7"]


def new_lines(root: Node) -> list[str | None]:
    return [mark.getparent().get("number") for mark in root.iter("print")]


def test_names_chords_and_manner() -> None:
    root = read(score_of(GATE))
    names = [(m.get("number"), r.text) for m in root.iter("measure") for r in m.iter("rehearsal")]
    assert names == [
        ("0", "Chorus 1"), ("0", "Call"), ("3", "Train, 2 times"),
        ("4", "Call"), ("5", "Chorus 2"), ("7", "Train, 2 times"),
    ]  # fmt: skip
    chords = [
        (h.getparent().get("number"), h.findtext("root/root-step"), h.findtext("offset"))
        for h in root.iter("harmony")
    ]
    # each line says its first chord again, and the chord of bar 2's last beats falls on a note
    assert [(n, step) for n, step, _ in chords] == [
        ("1", "E"), ("2", "A"), ("2", "B"), ("3", "E"),
        ("5", "E"), ("6", "A"), ("6", "B"), ("7", "E"),
    ]  # fmt: skip
    assert {offset for _, _, offset in chords} == {None}
    said = [word.text for word in root.iter("words")]
    assert said[:4] == ["Shuffle", "cup closed", "Breathe low.", "cup open"]
    assert [sign.tag for mark in root.iter("dynamics") for sign in mark][:3] == ["f", "p", "mf"]
    without = read(score_of(GATE), SheetOptions(remarks=False))
    assert "Breathe low." not in [word.text for word in without.iter("words")]


def test_a_chord_inside_a_long_note_has_an_offset() -> None:
    root = read(bar_of("4d = = =", Form="C7 G7"))
    found = [(h.findtext("root/root-step"), h.findtext("offset")) for h in root.iter("harmony")]
    assert found == [("C", None), ("G", "4")]
    assert root.findtext(".//divisions") == "2"


def test_no_chords_without_a_form() -> None:
    assert read(bar_of("4d . . .")).find(".//harmony") is None


@pytest.mark.parametrize("quality", QUALITIES)
def test_every_quality_has_its_kind(quality: str) -> None:
    symbol: Node = etree.fromstring(harmony(Chord(10, quality), -3))
    assert symbol.findtext("root/root-step") == "B"
    assert symbol.findtext("root/root-alter") == "-1"
    assert symbol.find("kind").get("text") == quality
    assert symbol.findtext("kind")


def test_accidentals_only_where_needed() -> None:
    # 4d' is a flat second in C; said once in its bar, and taken back by 4d
    assert accidentals(bar_of("4d' 4d' 4d 4d | 4d' . . .")) == [
        *("flat", "", "natural", ""),
        *("flat", "", ""),
    ]


def test_a_tie_over_the_bar_line_carries_its_sign_but_does_not_renew_it() -> None:
    assert accidentals(bar_of("4b 4b 4b 4d' | = 4d' . .")) == ["", "", "", "flat", "", "flat", ""]


def test_accidentals_hold_in_their_octave_only() -> None:
    assert accidentals(bar_of("1d' 4d' 1d 4d")) == ["flat", "flat", "natural", "natural"]


def test_pitches_sound_as_written_and_are_spelled_by_the_key() -> None:
    # A harp, second position: E; its flat third is G, its flat seventh D, its flat five B flat
    root = read(bar_of("3d' 5d 4d' 3d | 4d' 4d . .", Harp="A", Position="2"))
    assert list(pitches(root)) == ["G4", "D5", "Bb4", "G#4", "A#4", "B4"]


def test_chord_shake_and_split() -> None:
    root = read(bar_of("1+2d 4x5d@3 1+4b 1+2+3+4d"))
    assert list(pitches(root)) == [
        *("D4", "G4"), *("D5", "F5"), *("C4", "C5"), *("D4", "G4", "B4", "D5"),
    ]  # fmt: skip
    assert tab(root) == [["−2", "−1"], ["−5", "−4"], ["4", "1"], ["−1–4"]]
    assert tab(root, "technique") == [["shake ×3"]]
    assert not root.findall(".//trill-mark")  # it would be played with the next note of the scale
    shaken = [note for note in root.iter("note") if note.find(".//wavy-line") is not None]
    assert [note.find(".//wavy-line").get("type") for note in shaken] == ["start", "stop"]
    assert shaken == root.findall(".//note")[2:4]
    assert [text.text for text in root.iter("other-technical")] == [
        *("1d", "2d"), *("4d", "5d"), *("1b", "4b"), *("1d", "2d", "3d", "4d"),
    ]  # fmt: skip


def test_reeds_in_unison_share_a_head() -> None:
    root = read(bar_of("4+5b 4b . .", Tuning="solo"))
    assert list(pitches(root)) == ["C5", "C5"]
    assert tab(root) == [["5", "4"], ["4"]]
    assert [text.text for text in root.iter("other-technical")] == ["4b", "5b", "4b"]


def test_tab_in_every_style() -> None:
    score = bar_of("3d'' 4b 6bo 1+2d")
    expected = {
        TabStyle.SIGNS: [["−3′′"], ["4"], ["6o"], ["−2", "−1"]],
        TabStyle.ARROWS: [["↓3′′"], ["↑4"], ["↑6o"], ["↓2", "↓1"]],
        TabStyle.LETTERS: [["3d′′"], ["4b"], ["6bo"], ["2d", "1d"]],
    }
    for style, lines in expected.items():
        assert tab(read(score, SheetOptions(tab=style))) == lines


def test_marks_as_notations_and_in_the_tab() -> None:
    root = read(bar_of("/4d 4d\\! (4d) 3>6b | 4dv 4dw@2 4df 4ds | 4dp 4dt 4dh ."))
    assert len(root.findall(".//scoop")) == 1
    assert len(root.findall(".//falloff")) == 1
    assert len(root.findall(".//accent")) == 1
    assert len(root.findall(".//notehead[@parentheses='yes']")) == 1
    assert [wave.get("type") for wave in root.iter("wavy-line")] == ["start", "stop"] * 2
    assert [lines[0] for lines in tab(root)[:4]] == ["/−4", "−4\\", "(−4)", "6"]
    assert [line for lines in tab(root, "technique") for line in lines] == [
        *("rake 3", "vib", "wah ×2", "flutter", "slap", "pull", "tongue", "hand vib"),
    ]
    words = [text.text for text in root.iter("other-technical") if not text.text[0].isdigit()]
    assert words == ["rake", "hand wah", "flutter", "tongue slap", "tongue pull", "tongue block"]


def test_a_tied_sound_has_its_tab_once_and_its_fall_at_the_end() -> None:
    root = read(bar_of("4b 4b 4b /4dv\\! | = . . ."))
    first, last = notes(root)[3:5]
    assert tab(root) == [["4"], ["4"], ["4"], ["/−4\\"]]
    assert [tie.get("type") for tie in (*first.iter("tie"), *last.iter("tie"))] == ["start", "stop"]
    assert first.find(".//scoop") is not None
    assert first.find(".//accent") is not None
    assert first.find(".//falloff") is None
    assert last.find(".//falloff") is not None
    assert last.find(".//scoop") is None
    assert last.find(".//other-technical") is None
    assert first.find(".//wavy-line").get("type") == "start"
    assert last.find(".//wavy-line").get("type") == "stop"


def test_breath_marks_stand_after_their_event() -> None:
    score = bar_of("4b 4b 4b 4d | = 4d . .")
    root = read(score, SheetOptions(breath_marks=frozenset({score.events[3].id})))
    (mark,) = root.iter("breath-mark")
    assert notes(root)[4] is mark.getparent().getparent().getparent()


def test_low_and_high_harps_take_an_octave_clef() -> None:
    assert read(bar_of("4b 5b . .", Harp="low D")).findtext(".//clef-octave-change") is None
    assert read(bar_of("1b 1d . .", Harp="low G")).findtext(".//clef-octave-change") == "-1"
    assert read(bar_of("10b 9b . .", Harp="F#")).findtext(".//clef-octave-change") == "1"


def test_markup_and_illegal_characters_are_data() -> None:
    assert escaped('<a href="x">&</a>') == "&lt;a href=&quot;x&quot;&gt;&amp;&lt;/a&gt;"
    assert escaped("a\x00b\ud800c\uffffd\x0b") == "a\ufffdb\ufffdc\ufffdd\ufffd"
    assert escaped("Été 🎵\t") == "Été 🎵\t"
    score = score_of(GATE)
    tune = replace(score.tune, title="</work><x>\x07\ud83d", by='"&amp;"')
    root = read(replace(score, tune=tune))
    assert root.findtext("work/work-title") == "</work><x>\ufffd\ufffd"
    assert root.findtext("identification/creator") == '"&amp;"'


def test_a_note_the_harp_does_not_have_is_one_clear_error() -> None:
    score = bar_of("4d 4d . . | . 4d''' . .")
    with pytest.raises(SheetError) as caught:
        musicxml(score)
    assert str(caught.value).startswith("line 7: lick Only, chorus 1, bar 2, beat 2: no 4d''' on ")


def test_a_pitch_below_written_music_is_refused() -> None:
    with pytest.raises(SheetError, match=r"A-1 \(MIDI 9\) lies outside the octaves 0 to 9"):
        spelled(9, 0, False, True)


def test_options_are_checked() -> None:
    with pytest.raises(SettingError, match=r"0 bars on a line. A line holds 1 to 8 bars"):
        SheetOptions(bars_per_line=0)
    with pytest.raises(SettingError, match=r"tempo 0. A tempo is more than 0"):
        SheetOptions(tempo_bpm=Fraction(0))


def test_an_empty_chorus_is_a_bar_of_rest() -> None:
    score = replace(bar_of(". . . ."), events=())
    (rest,) = notes(read(score))
    assert rest.find("rest").get("measure") == "yes"
    assert rest.findtext("duration") == "8"


@given(tune_texts())
def test_always_well_formed_and_the_same_again(tune: str) -> None:
    score = score_of(tune)
    text = musicxml(score)
    assert text == musicxml(score)
    root = etree.fromstring(text.encode("utf-8"))
    bars = root.findall(".//measure")
    assert len(bars) == score.bars + score.has_pickup
    assert sum(1 for _ in root.iter("breath-mark")) == 0
    assert root.findtext("work/work-title") == score.tune.title


@given(tune_texts())
def test_every_tab_token_stands_in_order(tune: str) -> None:
    score = score_of(tune)
    root = etree.fromstring(musicxml(score).encode("utf-8"))
    tokens = [text.text or "" for text in root.iter("other-technical")]
    assert [token for token in tokens if token[0].isdigit()] == [
        str(note)
        for event in score.events
        for note in sorted(event.sound.reeds, key=lambda note: note.hole)
    ]

"""Octave lines stand over whole high bars and nowhere else. No outside source; other readers get
the same pitches from them in tests/outside/test_musicxml_standard.py."""

import re

from hypothesis import given

from reedwright.sheet.engrave import engrave
from reedwright.sheet.musicxml import musicxml
from reedwright.sheet.octaveline import HIGHEST, LOWEST
from reedwright.sheet.options import SheetOptions
from reedwright.tune.place import Score
from tests.sheet.tunes import bar_of, score_of, tune_texts

LOW = "4d 4b 4d 4b"
HIGH = "10b 9b 8b 9b"  # C7 G6 E6 G6


def lines(score: Score, per_line: int = 4) -> list[tuple[int, int]]:
    """First and last bar (from 1) of every octave line."""
    found: list[list[int]] = []
    made = musicxml(score, SheetOptions(bars_per_line=per_line))
    for number, bar in enumerate(made.split("</measure>"), 1):
        for kind in re.findall(r'octave-shift type="(\w+)"', bar):
            found.append([number]) if kind == "down" else found[-1].append(number)
    assert all(len(line) == 2 for line in found)
    return [(first, last) for first, last in found]


def of(*bars: str, **header: str) -> Score:
    return bar_of(" | ".join(bars), **header)


def test_a_run_of_high_bars_has_one_line() -> None:
    assert lines(of(LOW, HIGH, HIGH, LOW)) == [(2, 3)]


def test_one_lower_note_keeps_its_bar_out() -> None:
    assert lines(of(LOW, HIGH, "10b 9b 8b 5b", LOW)) == [(2, 2)]


def test_a_run_without_a_very_high_note_has_none() -> None:
    high = of(LOW, "7b 8d 7d 8d", LOW)
    tops = [high.tune.harp.midi(event.sound.notes[0]) for event in high.events[4:8]]
    assert LOWEST <= min(tops) <= max(tops) < HIGHEST
    assert lines(high) == []
    assert lines(of(LOW, "7b 8d 7d 8b", LOW)) == [(2, 2)]


def test_a_bar_of_rests_ends_a_run() -> None:
    assert lines(of(LOW, HIGH, ". . . .", HIGH, LOW, LOW), 8) == [(2, 2), (4, 4)]


def test_each_line_of_music_has_its_own() -> None:
    assert lines(of(LOW, HIGH, HIGH, LOW), 2) == [(2, 2), (3, 3)]


def test_no_tie_crosses_either_end() -> None:
    assert lines(of(LOW, "10b 9b 8b 9b", "= 5b 5b 5b", LOW)) == []
    assert lines(of("4b 4b 4b 10b", "= 9b 8b 9b", HIGH, LOW)) == [(3, 3)]
    assert lines(of(LOW, "10b 9b 8b 9b", "= 9b 8b 9b", LOW)) == [(2, 3)]


def test_the_line_begins_and_ends_with_a_note() -> None:
    made = musicxml(of(LOW, ". 10b 9b .", LOW))
    bar = made.split("</measure>")[1]
    order = re.findall(r"<rest|<pitch|octave-shift type=\"\w+\"", bar)
    assert order == [
        "<rest", 'octave-shift type="down"', "<pitch", "<pitch", 'octave-shift type="stop"', "<rest"
    ]  # fmt: skip


def test_an_octave_clef_moves_the_bound() -> None:
    low, middle = "1b 1d 1b 1d", "6b 7b 6b 7b"
    assert lines(of(low, middle, low, Harp="high G")) == [(2, 2)]
    top = of(middle, "10b 10b 10b 10b", "10b 10b 10b 10b", Harp="high G")
    assert "<clef-octave-change>1<" in musicxml(top)
    assert lines(top) == [(2, 3)]


def test_it_is_drawn_and_saves_height() -> None:
    def height(svg: str) -> float:
        found = re.search(r'viewBox="0 0 [\d.]+ ([\d.]+)"', svg)
        assert found
        return float(found[1])

    made = musicxml(of(LOW, HIGH, HIGH, LOW))
    plain = re.sub(r"<direction[^>]*><direction-type><octave-shift.*?</direction>", "", made)
    (with_line,), (without,) = engrave(made), engrave(plain)
    assert 'class="octave"' in with_line
    assert 'class="octave"' not in without
    assert height(with_line) < height(without)


def test_a_run_broken_over_two_lines_of_music_is_drawn_in_both() -> None:
    dense = "8b&9b&8b&9b 8b&9b&8b&9b 8b&9b&8b&9b 8b&9b&8b&9b"
    pictures = engrave(musicxml(of(dense, dense, dense, dense)))
    assert len(pictures) == 2
    assert all("stroke-dasharray" in picture for picture in pictures)


@given(tune_texts())
def test_lines_never_nest_and_always_end(text: str) -> None:
    for first, last in lines(score_of(text)):
        assert first <= last

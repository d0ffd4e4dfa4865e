"""How a score is broken into lines of music. Common practice, no source; read back as SVG."""

import re

import pytest

from reedwright.sheet.engrave import engrave
from tests.sheet.scores import LONG, PICKUP, RUN, notes, score, twelve_bars
from tests.sheet.svg_reader import Picture, read_picture


def lines_of(*bars: str, pickup: bool = False) -> list[Picture]:
    return [read_picture(svg) for svg in engrave(score(list(bars), pickup=pickup))]


# ---- lines -------------------------------------------------------------------------------------


def test_a_line_holds_four_bars_and_the_pickup_joins_the_first() -> None:
    assert [read_picture(svg).measures for svg in engrave(twelve_bars())] == [5, 4, 4]


def test_large_print_breaks_the_same_score_anew() -> None:
    lines = engrave(twelve_bars(), bars_per_line=2)
    assert [read_picture(svg).measures for svg in lines] == [3, 2, 2, 2, 2, 2]


def test_a_score_without_a_pickup_begins_with_bar_1() -> None:
    lines = engrave(score([LONG] * 6, pickup=False), bars_per_line=4)
    assert [read_picture(svg).measures for svg in lines] == [4, 2]


def test_full_lines_are_as_wide_as_the_page_and_a_short_last_one_is_not_stretched() -> None:
    def right_end(line: Picture) -> float:
        ends = [re.match(r"M\S+ \S+ L(\S+) ", shape) for _, shape in line.paths]
        return max(float(end[1]) for end in ends if end)

    first, second, short = (right_end(line) for line in lines_of(*[LONG] * 9))
    assert first == pytest.approx(second, rel=0.005)
    assert short < first * 0.5


def test_a_larger_scale_makes_a_taller_staff_on_the_same_width() -> None:
    def shape(scale: float) -> float:
        _, _, width, height = read_picture(engrave(score([LONG]), scale=scale)[0]).box
        return height / width

    assert shape(2.0) > 1.8 * shape(1.0)


def test_lines_are_named_for_a_screen_reader_and_numbered_from_the_second_on() -> None:
    lines = [read_picture(svg) for svg in engrave(twelve_bars())]
    assert [line.title for line in lines] == ["Bars 0 to 4", "Bars 5 to 8", "Bars 9 to 12"]
    numbers = [[t.said for t in line.texts if t.style == "italic" and t.x == 0] for line in lines]
    assert numbers == [[], ["5"], ["9"]]


SPARSE = notes("G4:24 −2", "r:24")
SIXTEENTHS = notes(*["G4:3 −2"] * 16)


@pytest.mark.parametrize(("last", "lines"), [(SPARSE, [4, 5]), (RUN, [4, 4, 1])])
def test_a_last_bar_alone_joins_the_line_before_it_when_it_is_sparse(
    last: str, lines: list[int]
) -> None:
    bars = [LONG] * 8 + [last]
    assert [line.measures for line in lines_of(*bars)] == lines


def test_a_sparse_last_bar_joins_no_crowded_line() -> None:
    assert [line.measures for line in lines_of(*[RUN] * 7, SIXTEENTHS, SPARSE)] == [4, 4, 1]


def test_two_last_bars_stay_on_a_line_of_their_own() -> None:
    assert [line.measures for line in lines_of(*[LONG] * 4, SPARSE, SPARSE)] == [4, 2]


def test_a_crowded_line_is_broken_in_two_and_its_halves_are_full_lines() -> None:
    lines = lines_of(PICKUP, *[SIXTEENTHS] * 4, *[LONG] * 4, *[SIXTEENTHS] * 4, pickup=True)
    assert [line.measures for line in lines] == [3, 2, 4, 2, 2]
    assert [line.title for line in lines][:2] == ["Bars 0 to 2", "Bars 3 to 4"]
    assert {round(line.box[2]) for line in lines} == {round(lines[0].box[2])}


def test_a_crowded_bar_of_large_print_has_a_line_of_its_own() -> None:
    crowded = score([SIXTEENTHS] * 2 + [LONG] * 2, pickup=False)
    lines = [read_picture(svg).measures for svg in engrave(crowded, scale=1.6, bars_per_line=2)]
    assert lines == [1, 1, 2]

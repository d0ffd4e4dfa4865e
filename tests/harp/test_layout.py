"""The rows of a chart."""

import pytest
from hypothesis import given

from reedwright.harp.harp import Harp, harp_named
from reedwright.harp.layout import cells_of, chart_of
from reedwright.harp.temperament import temperament_named
from reedwright.harp.tuning import tuning_named
from tests.strategies_harp import harps, positions


@given(harps)
def test_every_note_stands_once_and_on_the_side_of_its_breath(harp: Harp) -> None:
    chart = chart_of(harp)
    shown = [cell for row in chart.rows for cell in row.cells if cell is not None]
    assert sorted(cell.note for cell in shown) == sorted(harp.notes())
    for row in chart.rows:
        assert len(row.cells) == harp.holes
        for hole, cell in enumerate(row.cells, 1):
            if cell is not None:
                assert (cell.note.hole, cell.note.breath) == (hole, row.breath)
                assert cell.note.bend + cell.note.over == row.depth
    assert {row.breath for row in chart.above} == {"b"}
    assert {row.breath for row in chart.below} == {"d"}


@given(harps)
def test_depth_grows_outward(harp: Harp) -> None:
    chart = chart_of(harp)
    for rows in (chart.above[::-1], chart.below):
        order = [(row.depth, row.button) for row in rows]
        assert order == sorted(set(order))
        assert order[0] == (0, False)


@given(harps, positions)
def test_the_key_note_is_degree_one_under_one_name(harp: Harp, position: int) -> None:
    chart = chart_of(harp, position)
    cells = [cell for row in chart.rows for cell in row.cells if cell is not None]
    names = {cell.pitch.rstrip("-0123456789") for cell in cells if cell.degree == "1"}
    assert len(names) <= 1
    letters = {(cell.degree, cell.pitch.rstrip("-0123456789")) for cell in cells}
    assert len(letters) == len({degree for degree, _ in letters})


def test_labels_say_what_a_row_holds() -> None:
    assert [row.label for row in chart_of(harp_named("C")).rows] == [
        *("bend 2", "bend 1, over", "blow", "draw", "bend 1, over", "bend 2", "bend 3"),
    ]
    slide = chart_of(harp_named("C slide"))
    assert [row.label for row in slide.below] == [
        *("draw", "draw, button", "bend 1", "bend 1, button"),
    ]


def test_the_heading_says_only_what_does_not_go_without_saying() -> None:
    assert chart_of(harp_named("C")).remarks == ()
    assert chart_of(harp_named("low A natural minor"), 2).title == "Low A harp, natural minor"
    assert chart_of(harp_named("low A natural minor"), 2).remarks == (
        "named by its second-position key",
        "second (cross) position: A Aeolian",
    )


def test_the_cents_of_a_note_leave_the_reference_pitch_out() -> None:
    just = temperament_named("7-limit just")
    usual, high = (
        Harp("C", tuning_named("Richter"), temperament=just, a4_hz=a) for a in (440, 443)
    )
    assert [cell.cents for cell in cells_of(high)] == pytest.approx(
        [cell.cents for cell in cells_of(usual)]
    )
    assert chart_of(high).remarks[-1] == "A4 = 443 Hz (+11.8 cents)"

"""Bars of beat cells, as text."""

from hypothesis import given
from hypothesis import strategies as st

from reedwright.tune.cells import CellReader, format_bar, format_manner, parse_manner
from reedwright.tune.marks import NO_MANNER, Cup, Loudness, Manner
from reedwright.tune.meter import Meter
from reedwright.tune.reading import Reading
from reedwright.tune.values import Bar, Hold, Rest, Sound
from tests.strategies import bars, manners, sounds


@given(bars(3, 4, sounds, sounding=True), st.booleans())
def test_what_is_written_is_read(bar: Bar, signed: bool) -> None:
    reader = CellReader(Meter(), signed, Reading())
    assert reader.bar(3, format_bar(bar, signed), 1, 1) == bar
    assert reader.reading.problems == []


@given(manners.filter(lambda manner: manner != NO_MANNER))
def test_manners_in_words(manner: Manner) -> None:
    assert parse_manner(format_manner(manner)) == manner
    assert parse_manner(format_manner(manner).upper().replace(" ", "\t ")) == manner


def test_cells_parts_and_columns() -> None:
    bar = CellReader(Meter(), signed=False, reading=Reading()).bar(
        1, ". \t.&2d  {Cup Open}{soft}\u00a03d'&=&. 4d", line=7, column=4
    )
    assert [len(cell.parts) for cell in bar.cells] == [1, 2, 3, 1]
    columns = [part.column for cell in bar.cells for part in cell.parts]
    assert columns == [4, 7, 9, 30, 34, 36, 38]
    kinds = [type(part) for cell in bar.cells for part in cell.parts]
    assert kinds == [Rest, Rest, Sound, Sound, Hold, Rest, Sound]
    assert bar.cells[2].manner == Manner(Cup.OPEN, Loudness.SOFT)
    assert (bar.number, bar.line) == (1, 7)


def test_columns_of_faults() -> None:
    reading = Reading("x.reed")
    CellReader(Meter(3, 4), signed=False, reading=reading).bar(2, "4d\t é&4z 4d  4d", 9, 5)
    assert [(str(p.place), p.found) for p in reading.problems] == [
        ("x.reed:9:9", "bar 2 beat 2: cannot read 'é'"),
        ("x.reed:9:11", "bar 2 beat 2: cannot read '4z'"),
        ("x.reed:9:18", "bar 2 has 4 beat cells"),
    ]

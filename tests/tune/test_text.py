"""Lines and blocks of a tune file."""

import time
from contextlib import suppress

from hypothesis import given
from hypothesis import strategies as st

from reedwright.tune.read import read_text
from reedwright.tune.reading import EnoughError, Reading
from reedwright.tune.text import MAX_LINE, TextReader, heading_word
from reedwright.tune.values import Chorus, Comment, Entry, Header, Lick, Remark, TuneText
from tests.tune.samples import HEAD, problems_of, tune_of


def text_of(text: str) -> TuneText:
    return read_text(text)[0]


def test_values_go_on_in_lines_that_are_further_in() -> None:
    text = text_of("Title: One\n   two\t three\n\n  four\nForm:\n  A7 | A7\n   | D7\nBy: me")
    assert text.head == (
        Header("Title", "One two three four"),
        Header("Form", "A7 | A7 | D7"),
        Header("By", "me"),
    )


def test_a_header_may_stand_in_from_the_left() -> None:
    assert text_of("  Title: One\n  By: me\n    and you").head == (
        Header("Title", "One"),
        Header("By", "me and you"),
    )


def test_places_of_headers() -> None:
    one, two = text_of("Title:\t One\nForm:\n   A7").head
    assert isinstance(one, Header)
    assert isinstance(two, Header)
    assert ((one.line, one.column), (two.line, two.column)) == ((1, 9), (3, 4))


def test_remarks_go_with_what_they_touch() -> None:
    text = text_of(
        "Title: x\n> head\n\n# head too\n\n> one\n# two\nLick A\n> in A\n1: . . . .\n> still A\n"
        "Lick B\n1: . . . .\n\n> B\n\n> chorus\nChorus\n1 A\n\n# chorus too\n"
    )
    assert text.head == (Header("Title", "x"), Remark("head"), Comment("head too"))
    first, second, chorus = text.blocks
    assert isinstance(first, Lick)
    assert isinstance(second, Lick)
    assert isinstance(chorus, Chorus)
    assert [first.lines[0], first.lines[1]] == [Remark("one"), Comment("two")]
    assert first.remarks == ("one", "in A", "still A")
    assert second.remarks == ("B",)
    assert chorus.lines == (Remark("chorus"), Entry(1, "A"), Comment("chorus too"))


def test_headings_as_people_write_them() -> None:
    text = text_of(
        "LICK  Call :\nlick Two (Loud, cup open):\nchorus:\nChorus 2, twice\nChorus 4 , 3 times:"
    )
    assert [block.name for block in text.licks] == ["Call", "Two"]
    assert [block.times for block in text.choruses] == [1, 2, 3]


def test_meter_and_notation_are_those_of_the_header_only() -> None:
    tune = tune_of("Lick A\n1: -4 . .\n# Meter: 4/4", "Tab: SIGNED\nMeter:\n  3/4")
    assert (tune.meter.beats, tune.signed) == (3, True)
    found = problems_of("Lick A\n1: 4d . . .", "By: me\n  Meter: 3/4")
    assert found == ["Meter stands further in than By, as if it were part of it"]


def test_lines_of_nothing_but_one_sign_take_no_time() -> None:
    started_s = time.perf_counter()
    for sign in (" ", "\t", "(", ")", ",", "-", ":", "1", "a", "'", "&", "{", "x", "@"):
        for start in ("Lick a", "Chorus ", "1", "1: as a", "1 a,", "x", "Lick a ("):
            reading = Reading()
            reader = TextReader(reading)
            line = (start + sign * MAX_LINE)[: MAX_LINE - 1] + "z"
            with suppress(EnoughError):
                reader.read(["Lick A" if start.startswith("1") else "", line, "Chorus", line])
    assert time.perf_counter() - started_s < 5


@given(st.text(max_size=8))
def test_heading_words(rest: str) -> None:
    assert heading_word("Lick " + rest) == "lick"
    assert heading_word("chorus, " + rest) == "chorus"
    assert heading_word("x" + rest) == ""


def test_head_is_a_head() -> None:
    assert [item.key for item in text_of(HEAD).head if isinstance(item, Header)] == [
        "Title",
        "Harp",
        "Position",
    ]


def test_a_value_too_long_over_many_lines_is_told_once() -> None:
    rows = "".join(f"  {'A7 ' * 30}|\n" for _ in range(128))
    told = [
        problem for problem in problems_of(f"{HEAD}Form:\n{rows}") if "Form has" in str(problem)
    ]
    assert len(told) == 1

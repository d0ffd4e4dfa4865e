"""Whole files: limits, signs that are no text, every fault at once, bounded time."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reedwright.errors import TuneError
from reedwright.tune.read import MAX_CHARACTERS, MAX_LINES, read_text, read_tune
from tests.tune.mutations import outcome
from tests.tune.samples import HEAD

TUNE = HEAD + "\nLick A\n1: 4d . . .\n"


def refused(text: str) -> list[str]:
    with pytest.raises(TuneError) as caught:
        read_tune(text)
    return [problem.found for problem in caught.value.problems]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_line_ends_of_every_kind(end: str) -> None:
    text = TUNE.replace("\n", end)
    assert read_tune("\ufeff" + text).text == read_tune(TUNE).text
    with pytest.raises(TuneError) as caught:
        read_tune(text + f"2: 4q . . .{end}", "x")
    assert str(caught.value.problems[0].place) == "x:7:4"


@given(
    st.sampled_from([*range(9), *range(11, 13), *range(14, 32), *range(0x7F, 0xA0)])
    | st.sampled_from([0x2028, 0x2029, 0x202E, 0x2066, 0xD800, 0xDFFF, 0xFFFE, 0xFFFF]),
    st.integers(0, len(TUNE)),
)
def test_signs_that_are_no_text(code: int, at: int) -> None:
    text = TUNE[:at] + chr(code) + TUNE[at:]
    found = refused(text)
    assert f"a control character (U+{code:04X})" in found


def test_too_much() -> None:
    assert refused("x" * (MAX_CHARACTERS + 1)) == [f"{MAX_CHARACTERS + 1} characters"]
    assert refused("\n" * MAX_LINES) == [f"{MAX_LINES + 1} lines"]


@pytest.mark.parametrize(
    "text",
    [
        "(" * MAX_CHARACTERS,
        "\n" * (MAX_LINES - 1),
        ("x" * 18 + "\n") * (MAX_LINES - 1),
        "Title: x\n" + "  more\n" * (MAX_LINES - 9),
        ("Foo: x\n") * (MAX_LINES - 1),
        HEAD + "Lick A\n" + "1: 4q 4q 4q 4q\n" * 100_000,
        HEAD + "Lick A\n1: . . . .\nChorus\n" + "1 B\n" * (MAX_LINES - 9),
        HEAD + "Lick A\n" + "1-99999: as B\n" * 100_000 + "Lick B\n1: . . . .\n",
        HEAD + "".join(f"Lick {n}\n1: as Nope{n}\n" for n in range(50_000)),
        HEAD + "Lick A\n1: . . . .\n" + "Chorus\n1 A\n" * 90_000,
        HEAD + "> x\n" * (MAX_LINES - 9),
        HEAD + "Form: " + "A|" * 1900,
        HEAD + "Tempo: " + "9" * 3900,
        HEAD + "Lick A\n1: " + "&".join("." * 1900) + " . . .\n",
        HEAD + ("Lick A " + "(" * 3900 + "\n") * 100,
        HEAD + "Lick A\n1: 4d . . .\n\x00" * 1000,
    ],
    ids=lambda text: text[:20] + "…" + text[-20:],
)  # fmt: skip
def test_huge_files_take_seconds_at_most(text: str) -> None:
    started_s = time.perf_counter()
    outcome(text)
    assert time.perf_counter() - started_s < 20  # a few on a quiet machine


def test_ten_thousand_bars_of_sixteenths_are_fine() -> None:
    bar = " ".join(["4d&5d&=&."] * 4)
    text = HEAD + "Lick A\n" + "".join(f"{n}: {bar}\n" for n in range(1, 10_001))
    tune = read_tune(text)
    assert len(tune.licks["a"].bars) == 10_000


def test_a_broken_value_does_not_hide_the_others() -> None:
    assert refused("Harp: Z\nTempo: x\nMeter: y\n\nLick A\n1: q\n") == [
        "no Position",
        "no Title",
        "'Z' is not a harp",
        "tempo 'x'",
        "meter 'y'",
        "bar 1 beat 1: cannot read 'q'",
        "bar 1 has 1 beat cell",
    ]


def test_the_formatter_needs_no_valid_tune() -> None:
    text, signed = read_text(
        "Tab: signed\nWombat: 3\n\nLick A\n3: -4 . . .\n3: 4 . . .\n\nChorus\n9 B"
    )
    assert signed
    assert len(text.licks[0].lines) == 2

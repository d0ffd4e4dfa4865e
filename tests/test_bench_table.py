"""The gates of bench/ hold and break where they should, and the page shows it."""

import re

import pytest

from bench.row import Gate, Row, median_ms
from bench.table import machine_line, render


@pytest.mark.parametrize(
    ("row", "ratio", "passed"),
    [
        (Row("a", 5.0, Gate.AT_MOST, 5.0), None, True),
        (Row("b", 5.1, Gate.AT_MOST, 5.0), None, False),
        (Row("c", 30.0, Gate.RATIO_AT_MOST, 3.0, baseline=10.0), 3.0, True),
        (Row("d", 31.0, Gate.RATIO_AT_MOST, 3.0, baseline=10.0), 3.1, False),
        (Row("e", 2.0, Gate.FASTER_AT_LEAST, 10.0, baseline=20.0), 10.0, True),
        (Row("f", 2.5, Gate.FASTER_AT_LEAST, 10.0, baseline=20.0), 8.0, False),
    ],
)
def test_gates(row: Row, ratio: float | None, passed: bool) -> None:
    assert (row.ratio, row.passed) == (ratio, passed)


def test_a_gate_on_a_ratio_asks_for_a_baseline() -> None:
    with pytest.raises(ValueError, match="needs a baseline"):
        Row("x", 1.0, Gate.RATIO_AT_MOST, 3.0)


@pytest.mark.parametrize("measured", [0.0, -1.0, float("nan"), float("inf")])
def test_a_row_without_a_real_measurement_is_refused(measured: float) -> None:
    with pytest.raises(ValueError, match="must be above 0"):
        Row("x", measured, Gate.AT_MOST, 3.0)


def test_the_page_shows_what_broke() -> None:
    rows = [
        Row("sheet, warm", 61.0, Gate.AT_MOST, 60.0),
        Row("start-up", 20.0, Gate.RATIO_AT_MOST, 3.0, 10.0, "bare python"),
    ]
    page = render(rows, "2 cores")
    assert "| sheet, warm | 61 ms |  |  | measured at most 60 ms | NO |" in page
    assert (
        "| start-up | 20 ms | 10 ms bare python | 2.00 | times the baseline at most 3 | yes |"
        in page
    )
    assert "Machine: 2 cores." in page


def test_the_machine_has_no_name() -> None:
    assert re.fullmatch(r"\d+ cores, \w+, \w+, \w+ 3\.\d+\.\d+\S*", machine_line())


def test_median_counts_only_measured_rounds() -> None:
    calls: list[int] = []
    assert median_ms(lambda: calls.append(1), rounds=3, warm_up=2) > 0
    assert len(calls) == 5

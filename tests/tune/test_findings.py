"""Findings: their place in words, their order, their JSON."""

from fractions import Fraction

import pytest

from reedwright.tune.findings import Finding, Severity, spoken_beat


@pytest.mark.parametrize(
    ("beat", "spoken"),
    [("2", "2"), ("5/2", "2 &"), ("9/4", "2 e"), ("11/4", "2 a"), ("7/3", "2 and 1/3"), ("1", "1")],
)
def test_beats_as_a_player_counts_them(beat: str, spoken: str) -> None:
    assert spoken_beat(Fraction(beat)) == spoken


def test_where_and_json() -> None:
    finding = Finding(
        Severity.WARNING, "moves", "far", chorus=2, bar=4, beat=Fraction(7, 3), line=9, column=4
    )
    assert finding.where == "chorus 2 bar 4 beat 2 and 1/3"
    json = finding.as_json()
    assert (json["severity"], json["beat"], json["beat_exact"]) == ("warning", 2.3333, "7/3")
    assert (json["chorus"], json["bar"], json["line"], json["column"]) == (2, 4, 9, 4)
    assert Finding(Severity.ADVICE, "breath", "long").where == ""

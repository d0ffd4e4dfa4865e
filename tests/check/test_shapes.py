"""Chords, splits and shakes in their exact words; the splits of the layout: tests/outside."""

import pytest

from reedwright.check.shapes import shape_faults
from reedwright.harp.harp import harp_named
from reedwright.harp.note import parse_note
from reedwright.tune.values import Sound
from tests.check.test_notes import faults


@pytest.mark.parametrize(
    ("token", "severity", "found", "mend"),
    [
        (
            "1b+2d",
            "error",
            "1b+2d blows and draws at the same time",
            "write 1+2b or 1+2d: air goes one way at a time",
        ),
        (
            "4dx5b",
            "error",
            "4dx5b blows and draws at the same time",
            "write 4x5d or 4x5b: air goes one way at a time",
        ),
        (
            "1+3+5d",
            "error",
            "1+3+5d leaves holes out in more than one place",
            "play neighbours, or two runs with one gap: the tongue blocks one run of holes",
        ),
        (
            "1+6d",
            "error",
            "1+6d spans 6 holes: a split spans 3 to 5",
            "the octave on 1d is 1+4d",
        ),
        (
            "2+4d",
            "warning",
            "2+4d is 7 semitones wide: neither an octave nor a seventh",
            "the seventh on 2d is 2+5d",
        ),
        (
            "8+10b",
            "warning",
            "8+10b is 8 semitones wide: neither an octave nor a seventh",
            "8b has no octave above it here; play it alone or with a neighbour",
        ),
        (
            "1+2+3+4+5+6b",
            "warning",
            "a chord of 6 holes: a mouth covers about 5",
            "leave some out, like 1+2+3+4+5b",
        ),
        (
            "2d+3d'",
            "warning",
            "2d+3d' bends some of its notes and not the others alike",
            "write 2+3d, or the bent note alone",
        ),
        (
            "4x6d",
            "error",
            "the shake 4x6d leaves out the holes between: a shake goes between neighbours",
            "write 4x5d",
        ),
        (
            "6x3b",
            "error",
            "the shake 6x3b leaves out the holes between: a shake goes between neighbours",
            "write 6x5b",
        ),
    ],
)
def test_words(token: str, severity: str, found: str, mend: str) -> None:
    assert faults(token) == [(severity, found, mend)]


@pytest.mark.parametrize(
    "token", ["4d", "1+2d", "1+2+3+4+5d", "1+4b", "1+2+4b", "4x5d@3", "5x4d", "4d'x5d", "2d'+3d'"]
)
def test_shapes_that_can_be_played(token: str) -> None:
    assert faults(token) == []


def test_a_shake_on_one_hole() -> None:
    """The reader refuses it; a sound made otherwise is answered all the same."""
    sound = Sound((parse_note("4d"),), parse_note("4d'"))
    found = shape_faults(sound, harp_named("C"), signed=False)
    assert [(fault.found, fault.mend) for fault in found] == [
        ("the shake 4dx4d' stays on one hole", "write 4dv for a vibrato")
    ]

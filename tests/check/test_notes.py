"""Notes a harp does not have, and glides deeper than a note can bend, in their exact words."""

import pytest

from reedwright.check.exists import sound_faults
from reedwright.harp.harp import harp_named
from reedwright.tune.findings import Severity
from reedwright.tune.tokens import parse_sound

C = harp_named("C")


def faults(token: str, harp: str = "C", tuning: str = "") -> list[tuple[str, str, str]]:
    found = sound_faults(parse_sound(token), harp_named(harp, tuning))
    return [(fault.severity.value, fault.found, fault.mend) for fault in found]


@pytest.mark.parametrize(
    ("token", "found", "mend"),
    [
        (
            "4d''",
            "there is no 4d'': 4 draw bends 1 semitone at most on this harp",
            "write 4d'; the pitch you ask for is 4b",
        ),
        (
            "2d'''",
            "there is no 2d''': 2 draw bends 2 semitones at most on this harp",
            "write 2d''; the pitch you ask for is 2b",
        ),
        (
            "4b'",
            "there is no 4b': 4 blow does not bend on this harp",
            "write 4b; the pitch you ask for is 3d",
        ),
        ("1b'", "there is no 1b': 1 blow does not bend on this harp", "write 1b"),
        ("11b", "there is no 11b: this harp has holes 1 to 10", "choose a hole from 1 to 10"),
        (
            "8bo",
            "there is no 8bo: hole 8 has an overdraw, not an overblow",
            "write 8do",
        ),
        ("3b*", "there is no 3b*: only a slide harp has a button", "write 3b"),
    ],
)
def test_notes_that_do_not_exist(token: str, found: str, mend: str) -> None:
    assert faults(token) == [("error", found, mend)]


def test_overbends_of_a_valved_harp() -> None:
    assert faults("6bo", tuning="half-valved Richter") == [
        (
            "error",
            "there is no 6bo: valves take the overbends away",
            "write 6b, or choose another note",
        )
    ]


def test_each_missing_note_of_a_chord_is_named_once() -> None:
    assert [found for _, found, _ in faults("4d''+5d'+6d''")] == [
        "there is no 4d'': 4 draw bends 1 semitone at most on this harp",
        "there is no 5d': 5 draw does not bend on this harp",
        "there is no 6d'': 6 draw bends 1 semitone at most on this harp",
    ]


@pytest.mark.parametrize(
    ("token", "found", "mend"),
    [
        ("//4d", "a dip into 4d of 2 semitones: there is 1 below it", "write / for //"),
        (
            "3d\\\\\\\\",
            "a fall off 3d of 4 semitones: there are 3 below it",
            "write \\\\\\ for \\\\\\\\",
        ),
        (
            "/4b",
            "a dip into 4b has nowhere to go: the note bends no further down",
            "leave the / out, or mark a note that bends",
        ),
        (
            "3d'''\\",
            "a fall off 3d''' has nowhere to go: the note bends no further down",
            "leave the \\ out, or mark a note that bends",
        ),
        (
            "/6bo",
            "a dip into 6bo has nowhere to go: the note bends no further down",
            "leave the / out, or mark a note that bends",
        ),
    ],
)
def test_glides_too_deep(token: str, found: str, mend: str) -> None:
    assert faults(token) == [("warning", found, mend)]


@pytest.mark.parametrize(
    "token", ["/4d", "///3d", "/3d''", "2d\\\\", "/5d", "7b\\", "/10b'", "/1+2d"]
)
def test_glides_that_can_be_played(token: str) -> None:
    """5 draw and 7 blow bend less than a semitone, and are dipped on purpose."""
    assert faults(token) == []


@pytest.mark.parametrize("tuning", ["Richter", "country", "natural minor", "spiral", "slide"])
def test_every_note_of_a_harp_is_fine(tuning: str) -> None:
    harp = harp_named("C", tuning)
    for note in harp.notes():
        assert sound_faults(parse_sound(str(note)), harp) == []


def test_only_what_cannot_be_played_is_an_error() -> None:
    assert [fault.impossible for fault in sound_faults(parse_sound("4d''"), C)] == [True]
    dip = sound_faults(parse_sound("/4b"), C)
    assert [(fault.severity, fault.impossible) for fault in dip] == [(Severity.WARNING, False)]

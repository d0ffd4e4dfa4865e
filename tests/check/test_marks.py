"""Marks that cannot be played together, in their exact words."""

import pytest

from tests.check.test_notes import faults


@pytest.mark.parametrize(
    ("token", "severity", "found", "mend"),
    [
        (
            "4dfs",
            "warning",
            "4dfs has flutter and tongue slap at once: the tongue cannot do both",
            "keep one of the two",
        ),
        (
            "4dft",
            "warning",
            "4dft has flutter and tongue block at once: the tongue cannot do both",
            "keep one of the two",
        ),
        (
            "4dhw",
            "warning",
            "4dhw has hand vibrato and hand wah at once: the same hands do both",
            "keep one of the two",
        ),
        (
            "(4d!)",
            "warning",
            "(4d!) has accent and ghost at once: one says loud, the other barely heard",
            "keep one of the two",
        ),
        (
            "1+4bf",
            "warning",
            "1+4bf flutters in a split: the tongue blocks the holes between",
            "leave the f out, or play one note",
        ),
        (
            "5>5d",
            "warning",
            "5>5d rakes from hole 5, where it already is",
            "name the hole the sweep begins at, or leave the rake out",
        ),
        (
            "12>3d",
            "error",
            "12>3d rakes from hole 12: this harp has holes 1 to 10",
            "rake from a hole of the harp, such as 1",
        ),
    ],
)
def test_words(token: str, severity: str, found: str, mend: str) -> None:
    assert faults(token) == [(severity, found, mend)]


@pytest.mark.parametrize(
    "token",
    ["2>4d", "6>4d", "4dvh", "4dsp", "4dst", "4d!", "(4d)", "1+2df", "/4dvw@2\\!", "1>4x5d"],
)
def test_marks_that_go_together(token: str) -> None:
    assert faults(token) == []

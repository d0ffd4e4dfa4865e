"""Where impossible sounds are told, and which events are left to the other checks."""

from fractions import Fraction

from hypothesis import given

from reedwright.check.exists import existence, sound_faults
from tests.check.tunes import lick, score_of, tunes

TWICE = """\
Title: Twice
Harp: C
Position: 2

Lick One
1: 4d'' 2d . 4d''

Chorus, 3 times
1 One
"""


def test_a_written_place_is_told_once_however_often_it_is_played() -> None:
    result = existence(score_of(TWICE))
    places = [(finding.chorus, finding.bar, finding.beat) for finding in result.findings]
    assert places == [(1, 1, Fraction(1)), (1, 1, Fraction(4))]
    assert [(finding.line, finding.column) for finding in result.findings] == [(6, 4), (6, 14)]
    assert result.playable == (False, True, False) * 3


def test_warnings_leave_a_sound_playable() -> None:
    result = existence(lick("/4b 2+4d . ."))
    assert [finding.severity.value for finding in result.findings] == ["warning", "warning"]
    assert result.playable == (True, True)


@given(tunes())
def test_an_event_is_playable_unless_it_has_an_error(text: str) -> None:
    score = score_of(text)
    result = existence(score)
    for event, playable in zip(score.events, result.playable, strict=True):
        faults = sound_faults(event.sound, score.tune.harp)
        assert playable == (not any(fault.impossible for fault in faults))
        if playable:
            assert len({note.breath for note in event.sound.reeds}) == 1
            for note in event.sound.reeds:
                score.tune.harp.midi(note)  # raises when the harp does not have it

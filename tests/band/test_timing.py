"""When the band's notes sound: exact, and as people play them."""

from fractions import Fraction

import pytest

from reedwright.band.arrange import arrange
from reedwright.band.timing import LOOSE, MOST, timed_notes
from reedwright.band.values import Arrangement, Part
from reedwright.errors import SettingError
from reedwright.performance.humanise import noticeable_s
from reedwright.performance.perform import perform
from tests.band.tunes import score

TEMPO = Fraction(120)


def made_of(feel: str = "shuffle", meter: str = "4/4") -> Arrangement:
    return arrange(score(feel=feel, meter=meter, tempo=TEMPO, choruses=2))


def shifts(made: Arrangement, part: Part) -> list[float]:
    timed = timed_notes(made, perform(made.score, TEMPO), part)
    return [note.played_s - note.onset_s for note in timed]


def test_halves_swing_and_beats_do_not() -> None:
    made = made_of()
    performance = perform(made.score, TEMPO)
    for part in Part:
        for timed in timed_notes(made, performance, part, human=0):
            beat, inside = divmod(timed.note.start, 1)
            wanted = {0: Fraction(0), Fraction(1, 2): Fraction(2, 3)}.get(inside, inside)
            assert timed.onset_beats == 4 + beat + wanted
            assert timed.onset_s == timed.played_s == float(timed.onset_beats / 2)


@pytest.mark.parametrize(("feel", "meter"), [("straight", "4/4"), ("straight", "12/8")])
def test_nothing_swings_where_the_tune_does_not(feel: str, meter: str) -> None:
    made = made_of(feel, meter)
    for part in Part:
        for timed in timed_notes(made, perform(made.score, TEMPO), part):
            assert timed.onset_beats == timed.note.start + made.score.tune.meter.beats


def test_notes_end_after_they_begin() -> None:
    made = made_of("swing 3.5:1")
    for part in Part:
        assert all(n.onset_s < n.end_s for n in timed_notes(made, perform(made.score, TEMPO), part))


def test_people_are_a_little_early_or_late_and_never_noticeably() -> None:
    jnd_s = noticeable_s(0.5)
    found = [shift for part in Part for shift in shifts(made_of(), part)]
    assert max(map(abs, found)) <= MOST * jnd_s + 1e-12
    deviation_s = (sum(shift**2 for shift in found) / len(found)) ** 0.5
    assert deviation_s == pytest.approx(LOOSE * jnd_s, rel=0.2)
    assert abs(sum(found) / len(found)) < 0.1 * jnd_s


def test_shifts_are_of_a_bar_and_survive_more_choruses() -> None:
    two = shifts(arrange(score(choruses=2)), Part.KEYS)
    four = shifts(arrange(score(choruses=4)), Part.KEYS)
    assert four[: len(two) // 2] == two[: len(two) // 2]


def test_looseness_out_of_range_is_refused() -> None:
    made = made_of()
    with pytest.raises(SettingError, match="human timing"):
        list(timed_notes(made, perform(made.score, TEMPO), Part.BASS, human=-1))

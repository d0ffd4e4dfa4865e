"""One score at several tempos: stretching gives what performing anew would."""

from fractions import Fraction

import pytest
from hypothesis import given

from reedwright.errors import SettingError
from reedwright.performance.perform import perform
from reedwright.performance.tempos import Tempos
from tests.performance.tunes import PICKUP, score_of, tempos, tune_texts


@given(tune_texts(), tempos, tempos)
def test_stretched_times_are_those_of_the_other_tempo(
    text: str, first_bpm: Fraction, then_bpm: Fraction
) -> None:
    score = score_of(text)
    played = Tempos(score)
    for tempo_bpm in (first_bpm, then_bpm):
        performance, stretch = played.at(tempo_bpm)
        anew = perform(score, tempo_bpm)
        assert performance.ratio == anew.ratio
        times = [timed.score_s * stretch for timed in performance.events]
        assert times == pytest.approx([timed.score_s for timed in anew.events])


def test_a_score_is_performed_once_for_each_ratio() -> None:
    played = Tempos(score_of(PICKUP))
    full, _ = played.at(Fraction(120))
    slow, stretch = played.at(Fraction(60))
    assert slow is full
    assert stretch == 2.0


def test_a_tempo_nobody_can_count_is_refused_even_when_it_need_not_be_performed() -> None:
    played = Tempos(score_of(PICKUP))
    played.at(Fraction(120))
    with pytest.raises(SettingError, match="tempo 1000"):
        played.at(Fraction(1000))

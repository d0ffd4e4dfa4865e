"""Perform: from a placed tune to times."""

from fractions import Fraction

import pytest
from hypothesis import given

from reedwright.errors import SettingError
from reedwright.performance.perform import perform
from reedwright.performance.values import MarkerKind, Performance
from tests.performance.tunes import (
    PICKUP,
    by_id,
    one_bar,
    onsets,
    played,
    ratios,
    score_of,
    tempos,
    tune_texts,
)

F = Fraction


def test_a_shuffle_with_a_pickup_by_hand() -> None:
    performance = played(PICKUP, 90)
    assert performance.count_in_beats == 8
    assert onsets(performance)[:12] == [
        *(F(-1), F(-1, 3)),  # the pickup: beat 4 and the "and" of it
        *(F(0), F(2, 3), F(1), F(3), F(11, 3)),  # the triplet stays, the chords swing
        *(F(4), F(13, 3), F(14, 3), F(29, 6), F(5)),  # sixteenths, then beat 2
    ]
    first, second = performance.events[:2]
    assert (first.onset_beats, first.length_beats) == (F(7), F(2, 3))
    assert (first.score_s, first.score_end_s) == (7 * 60 / 90, float(F(23, 3) * 60 / 90))
    assert second.score_s == first.score_end_s
    assert second.event.bar == 0
    held = performance.events[11]  # beats 2 and 3 and the long half of beat 4
    assert (held.onset_beats - 8, held.length_beats) == (F(5), F(8, 3))


def test_the_feel_of_the_tune_unless_told() -> None:
    assert played(PICKUP).ratio == 2
    assert played(PICKUP, ratio=F(3)).ratio == 3
    assert onsets(played(PICKUP, ratio=F(3)))[1] == F(-1, 4)
    by_tempo = PICKUP.replace("Feel: shuffle", "Feel: swing by tempo")
    assert played(by_tempo, 160).ratio == F(11, 4)  # published relation: 160 bpm, 2.75 to 1


def test_compound_meters_never_swing() -> None:
    score = one_bar("4d&5d 4d&5d&6d 4d&5d 4d", Meter="12/8")
    performance = perform(score, F(60), F(2))
    assert performance.ratio == 1
    assert onsets(performance) == [event.start for event in score.events]


def test_bar_lines_and_length() -> None:
    performance = played(PICKUP, 120)
    assert [(line.chorus, line.bar) for line in performance.bar_lines] == [
        *((1, 1), (1, 2), (1, 3), (1, 4)),
        *((2, 1), (2, 2), (2, 3), (2, 4)),
    ]
    assert [line.onset_beats for line in performance.bar_lines] == list(range(8, 40, 4))
    assert [line.score_s for line in performance.bar_lines] == [4.0 + 2 * n for n in range(8)]
    assert (performance.length_beats, performance.length_s) == (40, 20.0)


def test_markers_begin_where_the_lick_sounds() -> None:
    performance = played(PICKUP, 60)
    found = [(m.kind, m.text, m.chorus, m.onset_beats - 8) for m in performance.markers]
    lick, chorus = MarkerKind.LICK, MarkerKind.CHORUS
    assert found == [
        (lick, "Call", 1, -1),
        (chorus, "Chorus 1", 1, 0),
        (lick, "Reply", 1, F(26, 3)),
        (lick, "Reply", 1, F(38, 3)),
        (lick, "Call", 2, 15),
        (chorus, "Chorus 2", 2, 16),
        (lick, "Reply", 2, F(74, 3)),
        (lick, "Reply", 2, F(86, 3)),
    ]
    assert all(mark.score_s == float(mark.onset_beats) for mark in performance.markers)


def test_a_lick_of_rests_is_marked_at_its_bar() -> None:
    (chorus, lick) = perform(one_bar(". . . ."), F(60)).markers
    assert (chorus.text, lick.text, lick.onset_beats) == ("Chorus 1", "Only", F(4))


MIXED = """\
Title: Shared beat
Harp: C
Position: 1
Lick Tail
1: . . 4d&5d 4d&.
Lick Head
0: . . . .&.&5d
1: 4d . . .
Chorus
1 Tail
2 Head
"""


def test_a_beat_shared_by_halves_and_a_triplet_is_straight() -> None:
    performance = played(MIXED, ratio=F(7, 2))
    assert onsets(performance) == [2, 2 + F(7, 9), 3, 3 + F(2, 3), 4]
    assert performance.events[2].length_beats == F(1, 2)


def test_an_edit_changes_no_other_event() -> None:
    before = by_id(played(PICKUP))
    after = by_id(played(PICKUP.replace("1: .&4d 5d 4d&3d .", "1: 6b&5b&4b 4d .&2d .")))
    others = {key for key in before if not key.startswith("reply")}
    assert len(others) == 24
    assert others == {key for key in after if not key.startswith("reply")}
    for key in others:
        assert before[key] == after[key]


_TEMPO = "It lies between 20 and 400 counted beats a minute. Mend: choose a tempo in that range."
_RATIO = "It lies between 1 and 3.5 (long:short). Mend: choose a swing ratio in that range."


@pytest.mark.parametrize(
    ("tempo_bpm", "ratio", "words"),
    [
        (19, None, f"tempo 19. {_TEMPO}"),
        (1000, None, f"tempo 1000. {_TEMPO}"),
        (60, F(4), f"swing ratio 4. {_RATIO}"),
        (60, F(1, 2), f"swing ratio 0.5. {_RATIO}"),
    ],
)
def test_settings_out_of_range(tempo_bpm: int, ratio: F | None, words: str) -> None:
    with pytest.raises(SettingError) as caught:
        played(PICKUP, tempo_bpm, ratio)
    assert str(caught.value) == words


def test_the_same_input_gives_the_same_performance() -> None:
    assert played(PICKUP, 90) == played(PICKUP, 90)


@given(tune_texts(), tempos, ratios)
def test_time_runs_forward(text: str, tempo_bpm: F, ratio: F) -> None:
    performance = perform(score_of(text), tempo_bpm, ratio)
    end = F(0)
    for timed in performance.events:
        assert timed.onset_beats >= end
        assert timed.length_beats > 0
        assert timed.score_end_s > timed.score_s >= 0
        end = timed.end_beats
    assert end <= performance.length_beats
    assert performance.length_s == pytest.approx(performance.length_beats * 60 / float(tempo_bpm))
    marks = [mark.onset_beats for mark in performance.markers]
    assert marks == sorted(marks)


@given(tune_texts(), tempos)
def test_straight_is_what_is_written(text: str, tempo_bpm: F) -> None:
    score = score_of(text)
    performance = perform(score, tempo_bpm, F(1))
    assert onsets(performance) == [event.start for event in score.events]
    assert [timed.length_beats for timed in performance.events] == [e.length for e in score.events]


@given(tune_texts(), tempos, ratios)
def test_tempo_only_stretches(text: str, tempo_bpm: F, ratio: F) -> None:
    score = score_of(text)
    one, other = perform(score, F(60), ratio), perform(score, tempo_bpm, ratio)
    assert [t.onset_beats for t in one.events] == [t.onset_beats for t in other.events]
    assert _scaled(other, float(tempo_bpm) / 60) == pytest.approx([t.score_s for t in one.events])


def _scaled(performance: Performance, factor: float) -> list[float]:
    return [timed.score_s * factor for timed in performance.events]

"""Played time against facts from outside: swing ratios, and what a listener can notice.

Each source stands beside its check.
"""

import re
import statistics
from fractions import Fraction

import pytest

from reedwright.performance.countin import click_track
from reedwright.performance.perform import perform
from reedwright.performance.play import play
from reedwright.performance.playing import Played
from reedwright.tune.place import place
from reedwright.tune.read import read_tune

# Common practice, no source: a shuffle is 2:1 at every tempo; long:short in general.
RATIOS = ["1", "1.5", "2", "3", "3.5"]
BARS = 4


def eighths(ratio: str, tempo_bpm: int, human: float, seed: int = 0) -> Played:
    """Four bars of eighths on neighbouring holes, in this swing."""
    bar = " ".join(["4d&5d"] * 4)
    lines = [f"{number}: {bar}" for number in range(1, BARS + 1)]
    head = f"Title: E\nHarp: C\nPosition: 1\nFeel: swing {ratio}:1\nLick A\n"
    score = place(read_tune(head + "\n".join(lines) + "\n"))
    return play(perform(score, Fraction(tempo_bpm)), seed, human)


@pytest.mark.parametrize("tempo_bpm", [40, 90, 133, 240])
@pytest.mark.parametrize("ratio", RATIOS)
def test_swung_eighths_stand_in_their_ratio(ratio: str, tempo_bpm: int) -> None:
    """Independent formula: in integers, a beat of p + q shares with the offbeat after p of them."""
    p, q = Fraction(ratio).as_integer_ratio()
    onsets_s = [playing.played_s for playing in eighths(ratio, tempo_bpm, human=0).playings]
    count_in_beats = 4
    for number, onset_s in enumerate(onsets_s):
        beats = count_in_beats + number // 2
        shares = beats * (p + q) + (number % 2) * p
        assert onset_s == pytest.approx(shares * 60 / (tempo_bpm * (p + q)), abs=1e-12)


def test_a_shuffle_is_a_triplet_with_its_middle_left_out() -> None:
    """Common practice, no source: 2:1 is the first and last of three."""
    onsets_s = [playing.played_s for playing in eighths("2", 60, human=0).playings[:4]]
    assert onsets_s == pytest.approx([4, 4 + 2 / 3, 5, 5 + 2 / 3], abs=1e-12)


# Friberg & Sundberg 1995:
# just noticeable displacement about 6 ms below 240 ms between onsets, 2.5 % above.
@pytest.mark.parametrize("tempo_bpm", [50, 80, 120, 180])
def test_human_timing_is_mostly_not_noticed(tempo_bpm: int) -> None:
    between_s = 60 / tempo_bpm / 2
    noticed_s = 0.006 if between_s < 0.24 else 0.025 * between_s
    late_s = [
        playing.played_s - playing.timed.score_s
        for seed in range(30)
        for playing in eighths("1", tempo_bpm, 1.0, seed).playings
    ]
    assert max(map(abs, late_s)) <= noticed_s + 1e-12
    assert statistics.quantiles(map(abs, late_s), n=10)[-1] < 0.85 * noticed_s
    assert statistics.pstdev(late_s) > 0.3 * noticed_s  # yet it is there


# From memory: the pulse of a player is heard as steady when each of its beats is; nothing here
# wanders off, so the last beat is as near to the count as the first.
def test_the_tempo_does_not_run_away() -> None:
    early, late = [], []
    for seed in range(200):
        playings = eighths("1", 120, 1.0, seed).playings
        early.append(playings[0].played_s - playings[0].timed.score_s)
        late.append(playings[-1].played_s - playings[-1].timed.score_s)
    assert statistics.pstdev(late) == pytest.approx(statistics.pstdev(early), rel=0.25)


# Common practice, no source: a count-in is a bar of beats, "one, two, three, four".
@pytest.mark.parametrize(
    ("meter", "beats"), [("2/4", 2), ("3/4", 3), ("4/4", 4), ("6/8", 2), ("9/8", 3), ("12/8", 4)]
)
@pytest.mark.parametrize("bars", [1, 2])
def test_a_count_in_counts_its_bars(meter: str, beats: int, bars: int) -> None:
    cells = " ".join(["4d"] * beats)
    head = f"Title: C\nHarp: C\nPosition: 1\nMeter: {meter}\nCount-in: {bars}\nLick A\n"
    score = place(read_tune(f"{head}1: {cells}\n"))
    performance = perform(score, Fraction(75))
    clicks = play(performance).count_in
    spoken = "".join(
        "O" if c.kind == "opening" else "1" if c.kind == "bar" else "." for c in clicks
    )
    assert re.fullmatch(r"O\.*(1\.*)?", spoken)
    assert len(clicks) == bars * beats
    assert [click.score_s for click in clicks] == pytest.approx(
        [0.8 * beat for beat in range(bars * beats)], abs=1e-12
    )
    assert click_track(performance)[: len(clicks)] == clicks

"""Recordings of a tune as the lesson room hears of them, without any sound being made.

Their lengths and offsets are worked out here from what docs/recordings.md says of them, not by the
sound room, so that a test of captions has an arithmetic of its own.
"""

from fractions import Fraction
from math import ceil

from reedwright.lesson.heard import Heard
from reedwright.performance.perform import perform
from reedwright.sound.recordings import Recording, plan
from reedwright.tune.place import Score

RATE_HZ = 48_000
RING_S = 3.0
"""What the band rings on, about."""


def heard(score: Score, tempos_bpm: tuple[Fraction, ...] = ()) -> list[Heard]:
    """Every recording of a tune."""
    return [heard_as(score, recording) for recording in plan(score, tempos_bpm)]


def heard_as(score: Score, recording: Recording, seed: int = 0, human: float = 1.0) -> Heard:
    """One recording, on the clock of the whole performance."""
    performance = perform(score, recording.tempo_bpm)
    beats = score.tune.meter.beats
    count_s = performance.seconds(performance.count_in_beats)
    bar_s = performance.seconds(beats)
    first_s, rounds = recording.first_bar * bar_s, 1
    if recording.loops:
        round_samples = round(2 * recording.bars * bar_s * RATE_HZ)
        rounds = max(1, ceil(24 * RATE_HZ / round_samples))
        samples, count_in_s, offset_s = round_samples * rounds, 0.0, -count_s - first_s
    else:
        samples = round((count_s + recording.bars * bar_s + RING_S) * RATE_HZ)
        count_in_s, offset_s = count_s, -first_s
    return Heard(
        path=f"{recording.name}.mp3",
        kind=recording.kind.value,
        title=recording.title,
        tempo_bpm=recording.tempo_bpm,
        harp_name=recording.harp.name,
        lick=recording.lick,
        part=recording.part,
        first_bar=recording.first_bar,
        bars=recording.bars,
        loops=recording.loops,
        rounds=rounds,
        samples=samples,
        rate_hz=RATE_HZ,
        count_in_s=count_in_s,
        tune_offset_s=offset_s,
        seed=seed,
        human=human,
        event_ids=recording.event_ids,
    )


def one(score: Score, kind: str, lick: str = "") -> Heard:
    """The first recording of a kind."""
    return next(found for found in heard(score) if (found.kind, found.lick) == (kind, lick))

"""Captions against sound: where the harp is heard in a rendered file, a note is captioned.

Oracle: the level of the decoded file itself. The tune leaves a rest before every note, so that each
begins out of silence; a note is heard from where the level first passes a hundredth of the loudest.
The reed takes a moment to speak, so that it is heard a little after it is played, never before.
"""

import numpy as np
import pytest

from reedwright.lesson.captions import Captioner
from reedwright.lesson.heard import heard_of
from reedwright.lesson.plan import lesson_plan
from reedwright.lesson.study import study
from reedwright.sound.cache import Store
from reedwright.sound.encode import decode
from reedwright.sound.formats import Format
from reedwright.sound.recordings import Kind, plan
from reedwright.sound.render import Setup, render
from reedwright.tune.place import place
from reedwright.tune.read import read_tune

TUNE = """Title: Apart
Harp: C
Position: 2
Tempo: 120

Lick Wait
1: . . . .

Lick Call
1: 2d . 4d .
2: . 5d . .

Chorus
1 Wait
2 Call
"""
RATE_HZ, HOP = 48_000, 48
QUIET = 0.01
SPEAKS_MS = 20
"""From the breath to a hundredth of full sound, at most; measured here: 2 to 3 ms."""


def onsets_ms(sound: "np.ndarray[tuple[int, ...], np.dtype[np.float32]]") -> list[int]:
    """Where sound begins after at least 200 ms of silence."""
    mono = np.abs(sound if sound.ndim == 1 else sound.mean(axis=1))
    level = mono[: len(mono) // HOP * HOP].reshape(-1, HOP).max(axis=1)
    loud = level > QUIET * level.max()
    return [at for at in np.flatnonzero(loud).tolist() if at < 200 or not loud[at - 200 : at].any()]


@pytest.mark.slow
def test_notes_are_heard_where_they_are_captioned() -> None:
    score = place(read_tune(TUNE))
    (recording,) = (one for one in plan(score) if one.kind is Kind.LICK and one.lick == "call")
    (file,) = render(score, (recording,), (Format.FLAC,), Setup(Store(None), workers=1))
    heard = heard_of(file.path, file.made, recording.event_ids)
    assert heard.length_s == len(decode(file.data)) / RATE_HZ
    captioned = [
        cue.start_ms if run.at_ms is None else run.at_ms
        for cue in Captioner(score).cues(heard)
        for run in cue.lines[0]
        if "d" in run.text
    ]
    begins_ms = round(1000 * heard.count_in_s)
    found = [at for at in onsets_ms(decode(file.data)) if at >= begins_ms - 50]
    late = [at - told for at, told in zip(found, captioned, strict=True)]
    assert len(late) == 3
    assert all(-5 <= ms <= SPEAKS_MS for ms in late), late
    take = next(one for one in lesson_plan(study(score), heard=[heard]).takes if one.paths)
    assert take.paths == (file.path,)

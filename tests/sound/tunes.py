"""Small tunes for the tests of this room, and what makes their recordings."""

from __future__ import annotations

from pathlib import Path

from reedwright.sound.cache import Store
from reedwright.sound.render import Setup, Studio
from reedwright.sound.sources import Sources
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

HEAD = "Title: Small\nBy: Nobody\nHarp: C\nPosition: 2\nTempo: 200\nForm: G7 | C7 | G7 | D7\n"
BODY = """
Lick Call
0: . . . .&2d
1: 3d 4d . .
2: 2d . . .

Lick Train
1: 1+2d 1+2b 1+2d .

Chorus
1 Call
3 Train

Chorus
1 Train
2 Call, from bar 1
"""


def score_of(body: str = BODY, head: str = HEAD) -> Score:
    return place(read_tune(head + body))


def studio(score: Score, folder: Path | None = None) -> Studio:
    return Studio(score, Setup(Store(folder)))


def sources(score: Score, folder: Path | None = None) -> Sources:
    return studio(score, folder).sources(score.tune.harp, score.tune.full_tempo_bpm)

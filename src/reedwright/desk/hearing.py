"""What the sounding worker does: bars of a tune, or one note of a harp, as WAV.

Conventions: runs in a worker (see `workers`). Times are seconds from the first sample of the
count-in, as played; `offset_s` is where the sound begins on that clock. What was made before is
kept by the sound room's store, so that after an edit only the phrases it touches are made.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

from reedwright.desk.asked import Asked
from reedwright.desk.engraving import score_of
from reedwright.desk.faults import ABSENT, WRONG, refused
from reedwright.harp.harp import Harp, harp_named
from reedwright.sound.encode import encode
from reedwright.sound.formats import Format
from reedwright.sound.prepare import prepare as prepare_sound
from reedwright.sound.preview import Wish, bars_sound
from reedwright.sound.signal import RATE_HZ
from reedwright.sound.sources import Sources
from reedwright.sound.tags import Tags
from reedwright.sound.take import Manner, Take
from reedwright.tune.place import place
from reedwright.tune.read import read_tune
from reedwright.tune.tokens import format_sound, parse_sound

if TYPE_CHECKING:
    from reedwright.sound.cache import Store

MOST_S = 1_200.0
"""Seconds of sound made at a time: twenty minutes are 230 MB as WAV."""

MOST_EVENTS = 1_000
"""Events told in the header of an answer: some 40 kB, which every browser takes (measured)."""

NOTE_S = 1.4
_NOTE = "Title: A note\nHarp: C\nPosition: first\nTempo: 60\nCount-in: 1\n\nLick One\n1: {} = . .\n"


def prepare() -> None:
    """Compile the number loops and make a first sound, so that the first tune does not wait."""
    prepare_sound()
    note("C", "4b")


@cache
def store() -> Store:
    """This process's own door to the store of what was made."""
    from reedwright.sound.cache import Store, default_folder

    return Store(default_folder())


@lru_cache(maxsize=6)
def _sources(folder: str, name: str, text: str, tempo_bpm: Fraction | None) -> Sources:
    from reedwright.amp.read import default_rig

    score = score_of(folder, name, text)
    tempo = tempo_bpm or score.tune.full_tempo_bpm
    return Sources(Take(score, score.tune.harp, tempo, Manner()), default_rig())


def sound(folder: str, name: str, text: str, asked: Asked) -> tuple[bytes, dict[str, Any]]:
    """WAV and its times. Errors: DeskError for bars the tune has not; TuneError, SoundError."""
    sources = _sources(folder, name, text, asked.tempo_bpm)
    take = sources.take
    first, bars = _span(take, asked)
    wish = Wish(first, bars, asked.band, asked.amplified, asked.harp, asked.click)
    made = bars_sound(sources, wish, store())
    begin_s = take.bar_sample(first) / RATE_HZ
    return encode(made, Format.WAV, Tags(take.score.tune.title)), _times(take, first, bars, begin_s)


def _span(take: Take, asked: Asked) -> tuple[int, int]:
    score = take.score
    lowest = -1 if score.has_pickup else 0
    if not score.events or not lowest <= asked.first_bar < score.bars:
        rule = f"The tune has {score.bars} bars, counted from 0"
        raise refused(ABSENT, f"no bar {asked.first_bar} to hear", rule, "choose another bar")
    first = lowest if asked.first_bar == 0 and asked.bars is None else asked.first_bar
    left = score.bars - first
    bars = left if asked.bars is None else min(asked.bars, left)
    seconds = (take.bar_sample(first + bars) - take.bar_sample(first)) / RATE_HZ
    if seconds > MOST_S:
        rule = f"At most {MOST_S / 60:g} minutes are made at a time"
        raise refused(WRONG, f"{seconds / 60:.0f} minutes of sound", rule, "hear fewer bars")
    return first, bars


def _times(take: Take, first: int, bars: int, begin_s: float) -> dict[str, Any]:
    end_s = take.bar_sample(first + bars) / RATE_HZ
    events = [
        [playing.id, round(playing.played_s, 4), round(playing.played_end_s, 4)]
        for playing in take.played.playings
        if playing.played_end_s > begin_s and playing.played_s < end_s
    ]
    rows = [
        {"index": bar, "score_s": round(take.bar_sample(bar) / RATE_HZ, 4)}
        for bar in range(first, first + bars)
    ]
    return {
        "offset_s": round(begin_s, 4),
        "bars": rows[:MOST_EVENTS],
        "events": events[:MOST_EVENTS],
    }


@lru_cache(maxsize=200)
def note(harp: str, tab: str) -> bytes:
    """One note, chord or shake of a harp as WAV. Errors: HarpError, TokenError."""
    return _note(harp_named(harp), format_sound(parse_sound(tab)))


def _note(harp: Harp, tab: str) -> bytes:
    for each in parse_sound(tab).reeds:
        harp.midi(each)  # says why where the harp has it not
    from reedwright.amp.read import default_rig

    score = place(read_tune(_NOTE.format(tab)))
    take = Take(score, harp, score.tune.full_tempo_bpm, Manner())
    made = bars_sound(Sources(take, default_rig()), Wish(0, 1, band=False), store())
    ends = round(NOTE_S * RATE_HZ)
    return encode(made[:ends], Format.WAV, Tags(f"{harp.name} {tab}"))

"""The recordings of a pack: planned from the tune, made by the sound room, one file after another.

Conventions: `tell` is told the share of all recordings that is done. What was made before is taken
from the store, so a run that was cut short goes on where it stopped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from reedwright.errors import Problem, SettingError
from reedwright.files import read_bytes
from reedwright.pack.choices import Audio, Choices
from reedwright.pack.folder import Item
from reedwright.sound.formats import Format, formats_named

if TYPE_CHECKING:
    from reedwright.amp.rig import Rig
    from reedwright.sound.recordings import Recording
    from reedwright.sound.render import Setup
    from reedwright.sound.take import Font, Manner
    from reedwright.tune.place import Score

MAX_AMP_BYTES = 1_000_000
MAX_HARPS = 12
PREPARING = "preparing, once"

Progress = Callable[[int, int, str], None]


def recordings(score: Score, choices: Choices) -> tuple[Recording, ...]:
    """What will be recorded. Errors: HarpError for a harp's name; SettingError for too many."""
    from reedwright.harp.harp import harp_named
    from reedwright.sound.recordings import plan

    audio = choices.audio
    if len(audio.harps) > MAX_HARPS:
        found = f"{len(audio.harps)} other harps"
        raise SettingError(Problem(found, f"A pack is made for {MAX_HARPS} at most"))
    tempos = () if choices.tempo_bpm is None else (choices.tempo_bpm,)
    harps = [harp_named(name) for name in audio.harps]
    if not audio.formats:
        return ()
    return plan(score, tempos, harps, stems=audio.stems)


def audio_items(
    score: Score, choices: Choices, tell: Progress, remarks: list[str]
) -> Iterator[Item]:
    """Every recording as a file of the pack; what a teacher should know of it goes to `remarks`.

    Errors: those of the amp file, the SoundFont and the harps; SoundError for a stage that gives no
    numbers.
    """
    planned = recordings(score, choices)
    if not planned:
        return
    from reedwright.sound.cache import Store, default_folder
    from reedwright.sound.render import Setup

    kinds = formats_named(",".join(choices.audio.formats))
    total = len(planned) * len(kinds)
    rig = _rig(choices.audio)
    tell(0, total, PREPARING)
    store = Store(default_folder())
    yield from _rendered(score, planned, kinds, Setup(store, _manner(choices.audio), rig), tell)
    if store.trouble:
        remarks.append(store.trouble)


def _rendered(
    score: Score,
    planned: tuple[Recording, ...],
    kinds: tuple[Format, ...],
    setup: Setup,
    tell: Progress,
) -> Iterator[Item]:
    from reedwright.sound.render import render

    for file in render(score, planned, kinds, setup, tell):
        yield Item(file.path, file.data, file.made)


def _manner(audio: Audio) -> Manner:
    from reedwright.band.values import Options
    from reedwright.sound.take import Manner

    return Manner(seed=audio.seed, band=Options(style=audio.style), font=_font(audio))


def _rig(audio: Audio) -> Rig | None:
    if audio.amp is None:
        return None
    from reedwright.amp.read import read_rig
    from reedwright.tune.load import decoded

    name = str(audio.amp)
    return read_rig(decoded(read_bytes(audio.amp, MAX_AMP_BYTES), name), name)


def _font(audio: Audio) -> Font | None:
    if audio.soundfont is None:
        return None
    from reedwright.band.soundfont import read_font
    from reedwright.sound.take import Font

    return Font(audio.soundfont.name, read_font(audio.soundfont))

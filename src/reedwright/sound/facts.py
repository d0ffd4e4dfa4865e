"""What the manifest says of a recording, and what its file says of itself.

Conventions: seconds from the first sample of the recording; a tempo is a fraction as text.
`tune_offset_s` added to a moment of the whole performance (count-in first) gives the moment in the
recording; `opening_s` says where the opening sound begins, null where there is none.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from typing import Any

import soundfile

from reedwright.sound import bandpart, clicks, drone, encode, mixes, phrases
from reedwright.sound.formats import Format
from reedwright.sound.recipe import Placed
from reedwright.sound.recordings import Recording
from reedwright.sound.signal import RATE_HZ
from reedwright.sound.tags import Tags
from reedwright.sound.take import Manner
from reedwright.tune.tune import Tune
from reedwright.voice.values import RECIPE as VOICE_RECIPE

RECIPES = {
    "voice": VOICE_RECIPE,
    "phrases": phrases.RECIPE,
    "hands": phrases.HANDS_RECIPE,
    "band": bandpart.RECIPE,
    "clicks": clicks.RECIPE,
    "drone": drone.RECIPE,
    "mix": mixes.RECIPE,
    "encode": encode.RECIPE,
}


def facts(
    recording: Recording, placed: Placed, kind: Format, manner: Manner, measured: Mapping[str, Any]
) -> dict[str, Any]:
    """How a recording was made, and what was measured of it, as plain values."""
    opening = placed.opening
    return {
        "title": recording.title,
        "kind": recording.kind.value,
        "format": kind.value,
        "tempo_bpm": str(recording.tempo_bpm),
        "seed": manner.seed,
        "human": manner.human,
        "recipe": RECIPES,
        "harp": recording.harp.as_json(),
        "lick": recording.lick,
        "part": recording.part,
        "first_bar": recording.first_bar,
        "bars": recording.bars,
        "loops": recording.loops,
        "rounds": placed.mix.rounds,
        "count_in_s": placed.bar_one / RATE_HZ,
        "opening_s": None if opening is None else opening / RATE_HZ,
        "tune_offset_s": placed.shift / RATE_HZ,
        **measured,
    }


def tags_of(recording: Recording, tune: Tune) -> Tags:
    """The tags of a recording's file."""
    return Tags(
        title=recording.title,
        artist=tune.by or tune.school,
        album=tune.title,
        comment=f"Harp in {recording.harp.name}, {float(recording.tempo_bpm):g} beats a minute",
        tempo_bpm=round(recording.tempo_bpm),
    )


@cache
def library_versions() -> dict[str, str]:
    """Versions of what shapes the samples and bytes of recordings."""
    found = {"libsndfile": str(soundfile.__libsndfile_version__)}
    for name in ("numba", "numpy", "scipy", "soundfile"):
        try:
            found[name] = version(name)
        except PackageNotFoundError:  # unpacked by hand, without its metadata
            found[name] = "unknown"
    return found

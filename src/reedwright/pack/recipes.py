"""What made a pack beside the tune: the recipe of each stage, and the libraries that shape bytes.

A recipe number goes up by one whenever the stage gives other bytes for the same tune; packs made
before are then made again. `tests/pack/test_golden.py` fails when output moves without it.
"""

from __future__ import annotations

RECIPES = {
    "band": 1,  # band.mid
    "chart": 1,  # harp.svg
    "check": 1,  # check.json
    "midi": 1,  # tune.mid
    "musicxml": 1,  # tune.musicxml
    "page": 2,  # sheet-1.svg …
    "print": 2,  # sheet.pdf, sheet-large.pdf
    "text": 1,  # sheet.txt
}

AUDIO_RECIPES = {
    "playing": 1,  # the performance room's gestures
    "amp": 1,
    "voice": 2,
    "phrases": 1,
    "hands": 1,
    "band": 1,
    "clicks": 1,
    "drone": 1,
    "mix": 1,
    "encode": 2,
}
"""The rooms' own numbers, copied here so that a pack that is fresh need not import the rooms."""

_AUDIO_LIBRARIES = ("numba", "numpy", "scipy", "soundfile")
_LIBRARIES = ("fonttools", "lxml", "mido", "typst", "verovio")


def recipes(*, audio: bool) -> dict[str, int]:
    """The numbers of all stages of a pack, with or without recordings."""
    rooms = {f"audio: {name}": number for name, number in AUDIO_RECIPES.items()}
    return RECIPES | (rooms if audio else {})


def library_versions(*, audio: bool = False) -> dict[str, str]:
    """Installed versions of the libraries whose output lands in a pack."""
    from importlib.metadata import PackageNotFoundError, version

    found = {}
    for name in (*_LIBRARIES, *(_AUDIO_LIBRARIES if audio else ())):
        try:
            found[name] = version(name)
        except PackageNotFoundError:  # unpacked by hand, without its metadata
            found[name] = "unknown"
    return found

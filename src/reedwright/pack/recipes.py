"""What made a pack beside the tune: the recipe of each stage, and the libraries that shape bytes.

A recipe number goes up by one whenever the stage gives other bytes for the same tune; packs made
before are then made again. `tests/pack/test_golden.py` fails when output moves without it.
"""

from __future__ import annotations

RECIPES = {
    "chart": 1,  # harp.svg
    "check": 1,  # check.json
    "midi": 1,  # tune.mid
    "musicxml": 1,  # tune.musicxml
    "page": 2,  # sheet-1.svg …
    "print": 2,  # sheet.pdf, sheet-large.pdf
    "text": 1,  # sheet.txt
}

_LIBRARIES = ("fonttools", "lxml", "mido", "typst", "verovio")


def library_versions() -> dict[str, str]:
    """Installed versions of the libraries whose output lands in a pack."""
    from importlib.metadata import PackageNotFoundError, version

    found = {}
    for name in _LIBRARIES:
        try:
            found[name] = version(name)
        except PackageNotFoundError:  # unpacked by hand, without its metadata
            found[name] = "unknown"
    return found

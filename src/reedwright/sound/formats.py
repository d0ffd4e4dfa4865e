"""The kinds of file a recording can be delivered in. Light to import.

Conventions: `lossy` formats can overshoot when they are decoded and are checked for it;
`ceiling_dbtp` leaves them room from the start.
"""

from __future__ import annotations

from enum import StrEnum

from reedwright.errors import Problem, SettingError
from reedwright.harp.pitch import shown


class Format(StrEnum):
    """A file format, by the ending of its files."""

    MP3 = "mp3"
    OGG = "ogg"
    OPUS = "opus"
    FLAC = "flac"
    WAV = "wav"

    @property
    def lossy(self) -> bool:
        return self not in (Format.FLAC, Format.WAV)

    @property
    def ceiling_dbtp(self) -> float:
        """Where the limiter stands before encoding: -1 dBTP less a usual overshoot (measured:
        docs/sound.md)."""
        return _CEILINGS_DBTP.get(self, -1.05)


_CEILINGS_DBTP = {Format.MP3: -1.8, Format.OGG: -2.0, Format.OPUS: -2.5}


def formats_named(text: str) -> tuple[Format, ...]:
    """Formats from words like `mp3,flac`, each once, in the order given.

    Errors: SettingError with every unknown one.

    >>> [kind.value for kind in formats_named("FLAC, mp3")]
    ['flac', 'mp3']
    """
    by_name = {kind.value: kind for kind in Format}
    found: dict[Format, None] = {}
    problems = []
    for word in text.split(","):
        plain = word.strip().lower().removeprefix(".")
        if plain in by_name:
            found[by_name[plain]] = None
        else:
            rule = "Recordings are written as " + ", ".join(by_name)
            mend = "choose one or more of them"
            problems.append(Problem(f"no format {shown(word.strip())}", rule, mend))
    if problems:
        raise SettingError(tuple(problems))
    return tuple(found)

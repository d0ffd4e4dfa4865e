"""Captions as SRT.

Conventions: UTF-8; cues numbered from 1; no moments inside a cue, since the format has none. There
is no standard: what is written here is what players have in common. Most take `<…>` and `{…}` as
styling and none has a way to escape them, so the signs are replaced by ones that look alike; an
arrow between two times is the one thing that may not stand in a text.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from reedwright.lesson.cue import Cue, clock, in_order

_ALIKE = str.maketrans({"<": "‹", ">": "›", "{": "(", "}": ")"})


def srt(cues: Sequence[Cue]) -> str:
    """The text of a `.srt` file. Linear. Errors: LessonError for cues out of order."""
    return "\n".join(
        f"{number}\n{clock(cue.start_ms, ',')} --> {clock(cue.end_ms, ',')}\n{_text(cue)}\n"
        for number, cue in enumerate(in_order(cues), 1)
    )


def _text(cue: Cue) -> str:
    return cue.text.replace("-->", "→").translate(_ALIKE)

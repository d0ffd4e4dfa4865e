"""Captions as WebVTT.

Conventions: UTF-8, a line feed after every line; cues numbered from 1; moments inside a cue are
inline timestamps, so that a player can show what has been reached. `&`, `<` and `>` are escaped,
which leaves no `-->` in any text either.
Source: W3C WebVTT: The Web Video Text Tracks Format, 4.1 to 4.4 and 4.2.2.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from reedwright.lesson.cue import Cue, Run, clock, in_order, plain


def webvtt(cues: Sequence[Cue], title: str = "") -> str:
    """The text of a `.vtt` file. Linear. Errors: LessonError for cues out of order."""
    parts = ["WEBVTT\n"]
    if plain(title):
        parts.append(f"NOTE\n{escape(plain(title), quote=False)}\n")
    for number, cue in enumerate(in_order(cues), 1):
        times = f"{clock(cue.start_ms, '.')} --> {clock(cue.end_ms, '.')}"
        lines = "\n".join("".join(map(_run, line)) for line in cue.lines)
        parts.append(f"{number}\n{times}\n{lines}\n")
    return "\n".join(parts)


def _run(run: Run) -> str:
    reached = "" if run.at_ms is None else f"<{clock(run.at_ms, '.')}>"
    return reached + escape(run.text, quote=False)

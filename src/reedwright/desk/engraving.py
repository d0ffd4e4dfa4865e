"""What the engraving worker does: the music of a tune as one SVG, or one line of it.

Conventions: runs in a worker (see `workers`); the text is read again there, which costs less than
to send a placed tune. The lines stand under each other in one picture, `GAP` of its units apart.
Every head of a note has its event's id as `data-event`.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from reedwright.breath.lungs_header import lungs_faults
from reedwright.breath.of_tune import breath_marks
from reedwright.desk.beside import neighbour
from reedwright.desk.faults import ABSENT, refused
from reedwright.sheet.limits import refuse_endless
from reedwright.sheet.options import SheetOptions
from reedwright.sheet.redraw import Redrawing
from reedwright.tune.load import SUFFIX
from reedwright.tune.place import Score, place
from reedwright.tune.read import read_tune

GAP = 40.0
"""Between two lines; a line of notes is some 400 high (by eye)."""

WARM = "Title: Warm\nHarp: C\nPosition: second\n\nLick One\n1: 2d 3d' 4d&5d =\n"

_BOX = re.compile(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')


@cache
def redrawing() -> Redrawing:
    """This process's own."""
    return Redrawing()


def prepare() -> None:
    """Load the engraver and its fonts, so that the first tune does not wait."""
    redrawing().lines(place(read_tune(WARM)), SheetOptions(remarks=False))


def score_of(folder: str, name: str, text: str) -> Score:
    """A tune's text placed. Errors: TuneError."""
    return place(
        read_tune(text, f"{name}{SUFFIX}", neighbour(Path(folder)), lungs_faults),
    )


def staff(folder: str, name: str, text: str, system: int | None) -> str:
    """The music as SVG; one line of it where `system` (from 0) is given. Errors: SheetError,
    TuneError, DeskError 404 for a line the tune has not."""
    score = score_of(folder, name, text)
    refuse_endless(score)
    if not score.events:
        raise refused(ABSENT, "no note is placed yet", "", "write a lick")
    marks = breath_marks(score, score.tune.full_tempo_bpm)
    lines = redrawing().lines(score, SheetOptions(breath_marks=marks, remarks=False))
    if system is None:
        return stacked(lines)
    if not 0 <= system < len(lines):
        raise refused(ABSENT, f"no line {system}", f"The tune has {len(lines)}, from 0", "")
    return lines[system]


def stacked(lines: tuple[str, ...]) -> str:
    """The lines under each other."""
    top, width = 0.0, 0.0
    parts: list[str] = []
    for line in lines:
        box = _BOX.search(line)
        if box is None:
            continue
        wide, high = float(box[1]), float(box[2])
        place = f'<svg x="0" y="{top:g}" width="{wide:g}" height="{high:g}"'
        parts.append(line[line.index("<svg") :].replace("<svg", place, 1))
        top += high + GAP
        width = max(width, wide)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {top:g}">'
    return head + "".join(parts) + "</svg>"

"""The drums: a groove for each chorus, fills where the rules allow them, a crash to begin anew.

Conventions: see `session`. Grooves are taken in turn, chorus by chorus. A fill replaces the last
beats of its bar; a chorus always ends in one, a phrase inside it now and then.
"""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from reedwright.band.patterns import Row, Slot, pieces, slots
from reedwright.band.rules import Strokes
from reedwright.band.session import Session, dice_of, note
from reedwright.band.values import BandBar, BandNote, Part

_Struck = tuple[Slot, int, bool]  # when, percussion key, part of a fill


def drums(session: Session, bar: BandBar) -> list[BandNote]:
    """What the drums play in one bar, in order of time."""
    paused = session.paused(bar)
    if paused:
        return []
    dice = session.dice(bar, Part.DRUMS)
    if bar.last or paused == 0:
        keys = (session.rules.kick, session.rules.crash if bar.last else session.rules.snare)
        struck: list[_Struck] = [(session.hit(bar), key, False) for key in keys]
    else:
        struck = list(_bar(session, bar, dice))
    struck.sort(key=lambda item: (item[0].start, item[1]))
    return [
        note(Part.DRUMS, bar, slot, key, session.level(bar, slot.sign, dice), fill=fill)
        for slot, key, fill in struck
    ]


def _bar(session: Session, bar: BandBar, dice: Random) -> Iterator[_Struck]:
    fill = _fill(session, bar, dice)
    filled = session.beats - beats_of(fill)
    crash = bar.bar == 1 and session.chorus(bar) > 1
    for key, row in groove(session, bar):
        for slot in session.sounds(slots(row, session.compound), dice):
            covered = crash and slot.start == 0 and key != session.rules.kick
            if slot.start < filled and not covered:
                yield slot, key, False
    if crash:
        first = session.hit(bar)
        yield first, session.rules.crash, False
    for key, row in fill:
        late = (".",) * filled + row
        for slot in session.sounds(slots(late, session.compound), dice):
            yield slot, key, True


def groove(session: Session, bar: BandBar) -> Iterator[tuple[int, Row]]:
    """The rows of the drums in a bar without a fill."""
    first = dice_of(f"{session.seed}|groove").randrange(12)
    number = first + session.chorus(bar)
    at = 0
    for size in pieces(session.beats):
        grooves = session.style.grooves[3 if size == 3 else 4]
        for key, row in grooves[number % len(grooves)]:
            yield key, (".",) * at + row[:size]
        at += size


def _fill(session: Session, bar: BandBar, dice: Random) -> Strokes:
    """The fill a bar ends in, if any; the long ones at the end of a chorus."""
    room = max(1, session.beats - 1)
    fills = [fill for fill in session.style.fills if beats_of(fill) <= room]
    if not bar.fill or not fills or (not bar.turn and dice.random() >= session.rules.fill):
        return ()
    long = [fill for fill in fills if beats_of(fill) > 1]
    return dice.choice(long if bar.turn and long else fills)


def beats_of(strokes: Strokes) -> int:
    """Beats of a fill, 0 for none."""
    return len(strokes[0][1]) if strokes else 0

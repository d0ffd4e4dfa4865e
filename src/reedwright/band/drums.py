"""The drums: a groove for each chorus, fills where the rules allow them, a crash to begin anew.

Conventions: see `session`. Grooves are taken in turn, chorus by chorus. A fill replaces the last
beats of its bar; a chorus always ends in one, a phrase inside it now and then.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache
from random import Random

from reedwright.band.patterns import Row, Slot, pieces, slots
from reedwright.band.rules import Strokes
from reedwright.band.session import Session, note, thrown
from reedwright.band.values import BandBar, BandNote, Part

_Struck = tuple[Slot, int]  # when and how, and the percussion key


def drums(session: Session, bar: BandBar) -> Iterator[BandNote]:
    """What the drums play in one bar, in order of time."""
    paused = session.paused(bar)
    if paused:
        return
    dice = session.dice(bar, Part.DRUMS)
    if bar.last or paused == 0:
        rules = session.rules
        keys = sorted((rules.kick, rules.crash if bar.last else rules.snare))
        yield from _notes(session, bar, [(session.hit(bar), key) for key in keys], dice)
        return
    fill = _fill(session, bar, dice)
    filled = session.beats - beats_of(fill)
    yield from _notes(session, bar, _before(session, bar, filled), dice)
    late = tuple((key, (".",) * filled + row) for key, row in fill)
    for stroke in _notes(session, bar, struck(late, session.compound), dice):
        yield replace(stroke, fill=True)


def _before(session: Session, bar: BandBar, filled: int) -> Iterator[_Struck]:
    """The groove up to the beat on which a fill begins; a new chorus begins with a crash in place
    of all but the kick."""
    kick, crash = session.rules.kick, session.rules.crash
    anew = bar.bar == 1 and session.chorus(bar) > 1
    if anew:
        yield session.hit(bar), crash
    for slot, key in struck(groove(session, bar), session.compound):
        if slot.start >= filled:
            break
        if slot.start or not anew or key == kick:
            yield slot, key


def _notes(
    session: Session, bar: BandBar, strokes: Iterable[_Struck], dice: Random
) -> Iterator[BandNote]:
    for slot, key in strokes:
        if session.sounds(slot, dice):
            level = session.level(bar, slot.sign, dice)
            yield note(Part.DRUMS, bar, slot, slot.start + bar.start, key, level)


@lru_cache(maxsize=1024)
def struck(strokes: Strokes, compound: bool) -> tuple[_Struck, ...]:
    """All strokes of some rows, in order of time and then of their keys."""
    found = [(slot, key) for key, row in strokes for slot in slots(row, compound)]
    return tuple(sorted(found, key=lambda stroke: (stroke[0].start, stroke[1])))


def groove(session: Session, bar: BandBar) -> Strokes:
    """The rows of the drums in a bar without a fill."""
    first = thrown(f"{session.seed}|groove", 1000)
    number = first + session.chorus(bar)
    found: list[tuple[int, Row]] = []
    at = 0
    for size in pieces(session.beats):
        grooves = session.style.grooves[3 if size == 3 else 4]
        chosen = grooves[number % len(grooves)]
        found += [(key, (".",) * at + row[:size]) for key, row in chosen]
        at += size
    return tuple(found)


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

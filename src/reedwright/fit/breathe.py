"""Whether a tab can be breathed: its notes and rests as segments of the breath room's ledger.

Conventions: as in the breath room (`of_tune`), at medium loudness; a bar of count-in comes before,
in which the player breathes as they like. Litres; the margin is the room left at the tightest spot.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reedwright.breath.ledger import Segment, keep_ledger
from reedwright.breath.lungs import Direction, Lungs
from reedwright.breath.margin import margin
from reedwright.fit.melody import Melody
from reedwright.fit.ways import Way
from reedwright.tune.marks import Loudness


@dataclass(frozen=True, slots=True)
class Air:
    """`fine`: within the hard limits. `margin_l`: room left within them, None where it is not."""

    fine: bool
    margin_l: float | None


def air_of(melody: Melody, ways: Sequence[Way | None], lungs: Lungs) -> Air:
    """How a tab stands with the lungs; None in `ways` is a note left out."""
    segments = list(_segments(melody, ways, lungs))
    if not keep_ledger(segments, lungs, lungs.hard).feasible:
        return Air(False, None)
    left = margin(segments, lungs, lungs.hard)
    return Air(True, None if left is None else left.litres)


def breathable(melody: Melody, ways: Sequence[Way | None], lungs: Lungs) -> bool:
    """Whether the hard limits are kept."""
    return keep_ledger(list(_segments(melody, ways, lungs)), lungs, lungs.hard).feasible


def _segments(melody: Melody, ways: Sequence[Way | None], lungs: Lungs) -> Iterator[Segment]:
    beat_s = melody.beat_s
    yield Segment("open", melody.meter.beats * beat_s)
    played = [(note, way) for note, way in zip(melody.notes, ways, strict=True) if way is not None]
    for at, (note, way) in enumerate(played):
        length_s = float(note.length) * beat_s
        following = played[at + 1] if at + 1 < len(played) else None
        rest_s = 0.0 if following is None else float(following[0].start - note.end) * beat_s
        turns = following is not None and following[1].draws is not way.draws
        gap_s = max(lungs.gap_s(length_s) - rest_s, 0.0) if turns else 0.0
        yield Segment(_direction(way), length_s - gap_s, _flow(way, lungs))
        if rest_s + gap_s > 0.0:
            yield Segment("open", rest_s + gap_s)


def _direction(way: Way) -> Direction:
    return "draw" if way.draws else "blow"


def _flow(way: Way, lungs: Lungs) -> float:
    bend = sum(1 if note.over else note.bend for note in way.notes) / len(way.notes)
    return lungs.flow_l_per_s(_direction(way), len(way.notes), Loudness.MEDIUM, bend)

"""What each note of a run asks of a player, before any tempo is chosen.

Conventions: lists run along the notes, one entry for each, 0.0 for nothing asked; moves stand at
the note they lead to, so the first note of a run has none. Beats are counted beats, unswung: swing
moves a note within its beat and leaves the difficulty alone. Air is in litres at one counted beat
a second and with the default lungs: it is a property of the tune, not of its tempo or its player.
Source: techniques from the ladder's table, flows from the breath room, the rest from memory
(`data/lesson.toml`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from reedwright.breath.of_tune import flow_of
from reedwright.breath.settings import default_lungs
from reedwright.harp.note import Breath
from reedwright.lesson.lines import spans_of
from reedwright.lesson.pitches import pitches_of
from reedwright.lesson.settings import LessonTable, lesson_table
from reedwright.tune.events import Event
from reedwright.tune.marks import Loudness
from reedwright.tune.techniques import ladder, techniques_of
from reedwright.tune.ticks import TICKS
from reedwright.tune.tune import Tune
from reedwright.tune.values import Sound


@dataclass(frozen=True, slots=True)
class Demands:
    """`bends`, `rhythm` and `air` in points; of the moves: `gap_beats` from onset to onset, `holes`
    crossed, `to_bend` holes beyond the first to a bent note, `turns` 1.0 where the breath turns."""

    ids: tuple[str, ...]
    bends: tuple[float, ...]
    rhythm: tuple[float, ...]
    air: tuple[float, ...]
    gap_beats: tuple[float, ...]
    holes: tuple[float, ...]
    to_bend: tuple[float, ...]
    turns: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class _Asked:
    """What one sound asks: the holes it covers, whether it is bent, and its points."""

    low: int
    high: int
    breath: Breath
    bent: bool
    points: float


class Asking:
    """Works out the demands of runs of one tune; each of its sounds only once."""

    def __init__(self, tune: Tune, table: LessonTable | None = None) -> None:
        self.table = table or lesson_table()
        self._tune, self._pitches = tune, pitches_of(tune.harp)
        self._sounds: dict[int, tuple[Sound, _Asked]] = {}  # the sound is kept, so its id is its
        self._flows: dict[tuple[int, Loudness], float] = {}
        third = 0.0 if tune.meter.compound else self.table["rhythm"]["third"]
        self._parts = {1: 0.0, 2: self.table["rhythm"]["half"], 3: third}
        self._parts[4] = self.table["rhythm"]["quarter"]

    def of(self, events: Sequence[Event]) -> Demands:
        """The demands of a run of notes. Linear."""
        starts, ends = spans_of(events)
        asked = [self._asked(event.sound) for event in events]
        moves = [_move(asked[k - 1], asked[k]) for k in range(1, len(asked))]
        none = (0.0,) if events else ()
        gaps = ((starts[k] - starts[k - 1]) / TICKS for k in range(1, len(starts)))
        return Demands(
            ids=tuple(event.id for event in events),
            bends=tuple(one.points for one in asked),
            rhythm=tuple(self._rhythm(events, starts, ends)),
            air=tuple(self._air(events, starts, ends)),
            gap_beats=(*none, *gaps),
            holes=(*none, *(holes for holes, _, _ in moves)),
            to_bend=(*none, *(bent for _, bent, _ in moves)),
            turns=(*none, *(turn for _, _, turn in moves)),
        )

    def _asked(self, sound: Sound) -> _Asked:
        known = self._sounds.get(id(sound))
        if known is None:
            holes = [note.hole for note in sound.reeds]
            bent = any(note.bend or note.over for note in sound.reeds)
            points = self.table["bends"]["technique"] * (self._hardest(sound) - 1.0)
            asked = _Asked(min(holes), max(holes), sound.breath, bent, max(0.0, points))
            known = self._sounds[id(sound)] = (sound, asked)
        return known[1]

    def _hardest(self, sound: Sound) -> float:
        """Difficulty of the hardest technique, 1 to 10; that of the whole ladder for a note the
        harp does not have, which the check tells as an error."""
        steps = ladder().techniques
        if any(self._pitches.of(note) is None for note in sound.reeds):
            return max(step.difficulty for step in steps.values())
        asked = techniques_of(sound, self._tune.harp)
        return max((steps[name].difficulty for name in asked), default=1.0)

    def _rhythm(
        self, events: Sequence[Event], starts: Sequence[int], ends: Sequence[int]
    ) -> list[float]:
        weights: Mapping[str, float] = self.table["rhythm"]
        found: list[float] = []
        for place, (event, start) in enumerate(zip(events, starts, strict=True)):
            asked = self._parts.get(event.start.denominator, weights["other"])
            if event.start.denominator > 1:
                if ends[place] > start - start % TICKS + TICKS:
                    asked += weights["across"]
                if place and start > ends[place - 1]:
                    asked += weights["after-rest"]
            found.append(weights["point"] * asked)
        return found

    def _air(
        self, events: Sequence[Event], starts: Sequence[int], ends: Sequence[int]
    ) -> list[float]:
        """Points of each run on one breath, at its last note."""
        weights = self.table["breath"]
        found = [0.0] * len(events)
        litres = 0.0
        for place, event in enumerate(events):
            litres += self._flow(event) * (ends[place] - starts[place]) / TICKS
            last = place + 1 == len(events)
            if (
                last
                or starts[place + 1] > ends[place]
                or events[place + 1].sound.breath is not event.sound.breath
            ):
                found[place] = weights["litre"] * max(0.0, litres - weights["free-l"])
                litres = 0.0
        return found

    def _flow(self, event: Event) -> float:
        key = (id(event.sound), event.loudness)
        flow = self._flows.get(key)
        if flow is None:
            self._asked(event.sound)  # which keeps the sound
            flow = self._flows[key] = flow_of(event, default_lungs())
        return flow


def _move(before: _Asked, after: _Asked) -> tuple[float, float, float]:
    """Holes crossed, holes beyond the first to a bent note, and 1.0 for a turn of the breath."""
    holes = max(0, after.low - before.high, before.low - after.high)
    to_bend = max(0, holes - 1) if after.bent else 0
    return float(holes), float(to_bend), float(after.breath is not before.breath)

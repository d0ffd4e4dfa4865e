"""Making recordings: in parallel, each kept when it is finished, handed over in order.

How: threads, since the number loops, the codecs and numpy let go of the interpreter's lock
(measured: docs/sound.md). A finished file is kept under the key of all it was made from, so a run
that was killed goes on where it was, and an edit makes anew only what it touched. No more than
`workers` recordings are in the making, and no more than twice as many wait to be handed over.
"""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import nullcontext
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import islice
from threading import Event, Lock
from typing import Any

from reedwright.amp.read import default_rig
from reedwright.amp.rig import Rig
from reedwright.harp.harp import Harp
from reedwright.sound.cache import Kept, Store, key_of
from reedwright.sound.encode import RECIPE as ENCODE_RECIPE
from reedwright.sound.encode import at_level, delivered
from reedwright.sound.facts import facts, library_versions, tags_of
from reedwright.sound.formats import Format
from reedwright.sound.prepare import prepare
from reedwright.sound.recipe import Placed, placed_mix
from reedwright.sound.recordings import Recording
from reedwright.sound.signal import RATE_HZ, SoundError
from reedwright.sound.sources import Sources
from reedwright.sound.tags import Tags
from reedwright.sound.take import Manner, Take
from reedwright.tune.place import Score

STEM_GAIN_DB = -6.0
"""Every stem gets this and nothing else, so that together they are the mix (a design: a loud harp
stays below full scale)."""

LONG = 300 * RATE_HZ
"""Samples above which only one file is in the making: it takes a few hundred MB (measured)."""

Tell = Callable[[int, int, str], None]
"""Is told how many files are done, of how many, and the name of the last one."""


@dataclass(frozen=True, slots=True)
class File:
    """A finished file: its path in the pack, its bytes, and how it was made."""

    recording: Recording
    path: str
    data: bytes
    made: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Setup:
    """What recordings are made with. `rig`: the amplifier, the usual one for None; `workers`: how
    many recordings are made at once, one for each core for 0."""

    store: Store
    manner: Manner = field(default_factory=Manner)
    rig: Rig | None = None
    workers: int = 0

    @property
    def hands(self) -> int:
        return self.workers or os.cpu_count() or 1


def render(
    score: Score,
    recordings: Iterable[Recording],
    formats: Iterable[Format],
    setup: Setup,
    tell: Tell = lambda *_: None,
) -> Iterator[File]:
    """Every recording in every format, in the order given.

    Errors: SoundError where a stage gives no numbers (named), TuneError for a note the harp lacks;
    nothing is handed over half made.
    """
    prepare()
    jobs = [(recording, kind) for recording in recordings for kind in dict.fromkeys(formats)]
    studio = Studio(score, setup)
    waiting: deque[Future[File]] = deque()
    todo = iter(jobs)
    pool = ThreadPoolExecutor(setup.hands)
    try:
        for done in range(1, len(jobs) + 1):
            for recording, kind in islice(todo, 2 * setup.hands - len(waiting)):
                waiting.append(pool.submit(studio.file, recording, kind))
            file = waiting.popleft().result()
            tell(done, len(jobs), file.path)
            yield file
    finally:
        studio.stop()  # a run that is broken off does not wait for whole files
        pool.shutdown(wait=True, cancel_futures=True)


class Studio:
    """Takes of one tune, and the files made of them."""

    def __init__(self, score: Score, setup: Setup) -> None:
        self.score, self.manner, self.store = score, setup.manner, setup.store
        self.rig = setup.rig or default_rig()
        self._long, self._stopped = Lock(), Event()
        self._sources: dict[tuple[Harp, Fraction], Sources] = {}

    def stop(self) -> None:
        """Give up what is in the making, at the next piece of it."""
        self._stopped.set()

    def _keep(self, key: str, make: Callable[[], bytes]) -> bytes:
        if self._stopped.is_set():
            raise SoundError("encode", "broken off")
        return self.store.piece(key, make)

    def sources(self, harp: Harp, tempo_bpm: Fraction) -> Sources:
        """The sources of one take."""
        place = harp, tempo_bpm
        if place not in self._sources:
            take = Take(self.score, harp, tempo_bpm, self.manner)
            self._sources.setdefault(place, Sources(take, self.rig))
        return self._sources[place]

    def placed(self, recording: Recording) -> Placed:
        """What a recording is mixed from."""
        return placed_mix(recording, self.sources(recording.harp, recording.tempo_bpm))

    def file(self, recording: Recording, kind: Format) -> File:
        """One finished file, from the store or made now."""
        if self._stopped.is_set():
            raise SoundError("render", "broken off")
        placed = self.placed(recording)
        path = f"{recording.name}.{kind.value}"
        tags = tags_of(recording, self.score.tune)
        key = key_of("file", ENCODE_RECIPE, placed.mix.key, kind.value, tags, library_versions())
        kept = self.store.file(key)
        if kept is None:
            kept = self._made_now(recording, kind, tags, placed, key)
        said = facts(recording, placed, kind, self.manner, kept.facts)
        return File(recording, path, kept.data, said)

    def _made_now(
        self, recording: Recording, kind: Format, tags: Tags, placed: Placed, key: str
    ) -> Kept:
        """A file made and kept; long ones one after the other."""
        with self._long if placed.mix.samples > LONG else nullcontext():
            mix = placed.mix.sound(self.store)
            if recording.part:
                made = at_level(mix, kind, tags, STEM_GAIN_DB, self._keep)
            else:
                made = delivered(mix, kind, tags, self._keep)
        measured = made.measured
        self.store.keep_file(key, made.data, measured)
        return Kept(made.data, measured)
